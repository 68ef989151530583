import { Temporal } from "@js-temporal/polyfill";
import fc from "fast-check";
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

describe("days and clocks beside an independent calendar", () => {
  const zones = [
    "Europe/Dublin",
    "America/New_York",
    "America/St_Johns",
    "Australia/Lord_Howe",
    "Africa/Cairo",
    "Asia/Kathmandu",
    "Pacific/Apia",
    "UTC",
  ];
  const zone = fc.constantFrom(...zones);
  const date = fc
    .integer({ min: Date.UTC(1970, 0, 3), max: Date.UTC(2080, 0, 1) })
    .map((at) => new Date(at).toISOString().slice(0, 10));
  const time = fc
    .tuple(fc.integer({ min: 0, max: 23 }), fc.integer({ min: 0, max: 59 }))
    .map((parts) => parts.map((part) => String(part).padStart(2, "0")).join(":"));

  // source: the reference polyfill of ECMAScript Temporal, disambiguation "compatible"
  it("agrees on the instant of any wall-clock time, repeated and skipped ones too", () => {
    fc.assert(
      fc.property(date, time, zone, (day, clock, where) => {
        const expected = Temporal.PlainDateTime.from(`${day}T${clock}`).toZonedDateTime(where, {
          disambiguation: "compatible",
        }).epochMilliseconds;
        // A day that a zone left out altogether has no instant of its own: both go forward.
        expect(atLocalTime(day, clock, where)).toBe(expected);
      }),
      { numRuns: 1500 },
    );
  });

  // source: the same polyfill
  it("agrees on the calendar day of any instant, and on sums and spans of days", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: Date.UTC(1970, 0, 2), max: Date.UTC(2080, 0, 1) }),
        zone,
        date,
        fc.integer({ min: -4000, max: 4000 }),
        (at, where, day, days) => {
          expect(localDateOf(at, where)).toBe(
            Temporal.Instant.fromEpochMilliseconds(at)
              .toZonedDateTimeISO(where)
              .toPlainDate()
              .toString(),
          );
          const moved = Temporal.PlainDate.from(day).add({ days }).toString();
          expect(addDays(day, days)).toBe(moved);
          expect(daysBetween(day, moved)).toBe(days);
        },
      ),
      { numRuns: 1500 },
    );
  });

  it("refuses what is no date, no time and no zone", () => {
    expect(() => addDays("2026-02-30", 1)).toThrow(RangeError);
    expect(() => addDays("14 October", 1)).toThrow(RangeError);
    expect(() => atLocalTime("2026-10-14", "7:5", "UTC")).toThrow(RangeError);
    expect(() => localDateOf(0, "Mars/Olympus")).toThrow(RangeError);
    expect(atLocalTime("2026-10-14", "24:00", "UTC")).toBe(Date.parse("2026-10-15T00:00:00Z"));
  });
});
