import type { FindingView } from "@heelward/contracts";
import { describe, expect, it } from "vitest";
import { CEILING, hindranceOf, overridesOf, UNREAD } from "./read-back.ts";

const finding = (rule: string, outcome: FindingView["outcome"]): FindingView => ({
  rule,
  outcome,
  detail: `${rule} said so`,
  source: { id: "x", citation: "none", status: "house rule" },
});

describe("reading back before a signature", () => {
  it("lets nothing be confirmed while a rule blocks it, whatever was read", () => {
    expect(hindranceOf([finding("a@1", "block")], ["film"], { ...UNREAD, opened: ["film"] })).toBe(
      "blocked",
    );
  });

  it("asks for every film before anything is confirmed", () => {
    expect(hindranceOf([], ["one", "two"], { ...UNREAD, opened: ["one"] })).toBe("openFilmsFirst");
    expect(hindranceOf([], ["one"], { ...UNREAD, opened: ["one"] })).toBeUndefined();
  });

  it("asks for a reason of each warning once, and blanks are none", () => {
    const warned = [finding("a@1", "warn"), finding("a@1", "warn"), finding("b@1", "warn")];
    expect(hindranceOf(warned, [], { ...UNREAD, reasons: { "a@1": "known" } })).toBe(
      "reasonsFirst",
    );
    const read = { ...UNREAD, reasons: { "a@1": "known", "b@1": " seen " } };
    expect(hindranceOf(warned, [], read)).toBeUndefined();
    expect(overridesOf(warned, read)).toEqual([
      { rule: "a@1", reason: "known" },
      { rule: "b@1", reason: "seen" },
    ]);
    expect(overridesOf(warned, { ...UNREAD, reasons: { "a@1": "  " } })).toEqual([]);
  });

  it("takes the reason for a longer interval apart from the others", () => {
    const past = [finding(CEILING, "block")];
    expect(hindranceOf(past, [], UNREAD)).toBe("reasonsFirst");
    expect(hindranceOf(past, [], { ...UNREAD, longer: "winter" })).toBeUndefined();
  });
});
