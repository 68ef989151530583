import { describe, expect, it } from "vitest";
import { withoutNames, withoutOwner } from "./leave-out-owner.ts";

describe("a text without the owner's own data", () => {
  const leaveOut = withoutOwner(["Odo Hartwell"]);

  it("names the owner by the part played, in whatever case and in parts", () => {
    expect(leaveOut("Odo Hartwell rang; ODO agreed, Hartwell's yard")).toBe(
      "the owner rang; the owner agreed, the owner's yard",
    );
  });

  it("leaves out addresses and telephone numbers, and keeps dates, doses and chips", () => {
    expect(leaveOut("odo@example.invalid, +353 1 000 0000 or 01 234 5678")).toBe(
      "[e-mail left out], [number left out] or [number left out]",
    );
    const kept = "2026-10-13: 1000 mg at 08:00, 4.5°, 372000000000001, rotation 0.5";
    expect(leaveOut(kept)).toBe(kept);
  });

  it("takes no word apart that only contains the name", () => {
    expect(withoutNames(["Ann May"])("annual, mayor")).toBe("annual, mayor");
  });
});
