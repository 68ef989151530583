import { describe, expect, it } from "vitest";
import { addDays, atLocalTime, daysBetween, localDateOf, startOfDay, withOffset } from "./index.ts";

describe("local time", () => {
  it("gives the yard's day, not the server's, around midnight", () => {
    const lateEvening = Date.parse("2026-07-06T23:30:00Z");
    expect(localDateOf(lateEvening, "Europe/Dublin")).toBe("2026-07-07");
    expect(localDateOf(lateEvening, "UTC")).toBe("2026-07-06");
  });

  it("knows that the clock-change day lasts 25 hours", () => {
    const hours =
      (startOfDay("2026-10-26", "Europe/Dublin") - startOfDay("2026-10-25", "Europe/Dublin")) /
      3_600_000;
    expect(hours).toBe(25);
  });

  it("counts calendar days across a leap day and a clock change", () => {
    expect(daysBetween("2028-02-27", "2028-03-01")).toBe(3);
    expect(daysBetween("2026-10-24", "2026-10-26")).toBe(2);
    expect(addDays("2026-10-24", 2)).toBe("2026-10-26");
  });

  it("takes the first of a repeated hour and moves a skipped one forward", () => {
    expect(atLocalTime("2026-10-25", "01:30", "Europe/Dublin")).toBe(
      Date.parse("2026-10-25T00:30:00Z"),
    );
    expect(atLocalTime("2026-03-29", "01:30", "Europe/Dublin")).toBe(
      Date.parse("2026-03-29T01:30:00Z"),
    );
  });
});

describe("withOffset", () => {
  it("says which of the two half past ones of the clock-change night it was", () => {
    expect(withOffset(Date.parse("2026-10-25T00:30:00Z"), "Europe/Dublin")).toBe(
      "2026-10-25T01:30:00+01:00",
    );
    expect(withOffset(Date.parse("2026-10-25T01:30:00Z"), "Europe/Dublin")).toBe(
      "2026-10-25T01:30:00+00:00",
    );
  });
});
