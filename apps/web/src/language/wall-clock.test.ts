import { Temporal } from "@js-temporal/polyfill";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { instantOf, instantText, wallClockOf } from "./wall-clock.ts";

const ZONES = ["Europe/Dublin", "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu", "UTC"];
const zone = fc.constantFrom(...ZONES);
const minute = fc
  .integer({ min: Date.parse("2020-01-01") / 60_000, max: Date.parse("2035-01-01") / 60_000 })
  .map((value) => value * 60_000);

// Reference: the polyfill of the Temporal proposal (TC39), which reads the same zone rules by its own code.
describe("the wall clock of a yard", () => {
  it("shows every instant as the reference library shows it", () => {
    fc.assert(
      fc.property(minute, zone, (atMs, timeZone) => {
        const expected = Temporal.Instant.fromEpochMilliseconds(atMs)
          .toZonedDateTimeISO(timeZone)
          .toPlainDateTime()
          .toString({ smallestUnit: "minute" });
        expect(wallClockOf(new Date(atMs).toISOString(), timeZone)).toBe(expected);
      }),
    );
  });

  it("writes an offset that names the same instant again", () => {
    fc.assert(
      fc.property(minute, zone, (atMs, timeZone) => {
        expect(Date.parse(instantText(atMs, timeZone))).toBe(atMs);
      }),
    );
  });

  it("takes a typed moment as the reference library does, clock changes included", () => {
    fc.assert(
      fc.property(minute, zone, (atMs, timeZone) => {
        const typed = wallClockOf(new Date(atMs).toISOString(), timeZone);
        const expected = Temporal.PlainDateTime.from(typed).toZonedDateTime(timeZone, {
          disambiguation: "compatible",
        }).epochMilliseconds;
        expect(Date.parse(instantOf(typed, timeZone))).toBe(expected);
      }),
    );
  });

  it("takes the first of the hour that repeats on 25 October 2026 in Dublin", () => {
    expect(instantOf("2026-10-25T01:30", "Europe/Dublin")).toBe("2026-10-25T01:30:00+01:00");
  });

  it("moves a time that the spring change skips forward, so that no dose time vanishes", () => {
    expect(instantOf("2026-03-29T01:30", "Europe/Dublin")).toBe("2026-03-29T02:30:00+01:00");
  });
});
