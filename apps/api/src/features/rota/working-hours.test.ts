import { describe, expect, it } from "vitest";
import {
  isOffForBooking,
  offReason,
  standardWeek,
  workingDay,
  type Rota,
} from "./working-hours.ts";

const rota = (more: Partial<Rota> = {}): Rota => ({
  zone: "Europe/Dublin",
  weeks: new Map(),
  away: [],
  closedOn: new Set(),
  ...more,
});
const hour = 3_600_000;

describe("a working day", () => {
  it("keeps the clock's hours across both clock changes: nine hours each, at other instants", () => {
    // Irish clocks go back on 25 October 2026 and forward on 28 March 2027. source: EU directive 2000/84/EC
    for (const [before, after, shift] of [
      ["2026-10-23", "2026-10-26", 1],
      ["2027-03-26", "2027-03-29", -1],
    ] as const) {
      const [friday, monday] = [workingDay(rota(), "F", before), workingDay(rota(), "F", after)];
      expect(friday === null ? 0 : friday.endMs - friday.startMs).toBe(9 * hour);
      expect(monday === null ? 0 : monday.endMs - monday.startMs).toBe(9 * hour);
      expect((monday?.startMs ?? 0) - (friday?.startMs ?? 0)).toBe((72 + shift) * hour);
    }
  });

  it("is there on the leap day, a Tuesday in 2028", () => {
    expect(workingDay(rota(), "F", "2028-02-29")?.startMs).toBe(Date.parse("2028-02-29T08:00:00Z"));
  });

  it("is none at the weekend of the standard week, on days away and on closed days", () => {
    expect(offReason(rota(), "F", "2026-10-17")).toMatch(/not a working day/u);
    const away = rota({ away: [{ personId: "F", fromOn: "2026-10-14", toOn: "2026-10-15" }] });
    expect(offReason(away, "F", "2026-10-15")).toMatch(/away/u);
    expect(offReason(away, "F", "2026-10-16")).toBeNull();
    expect(offReason(away, "G", "2026-10-15")).toBeNull();
    expect(offReason(rota({ closedOn: new Set(["2026-10-16"]) }), "F", "2026-10-16")).toMatch(
      /closed/u,
    );
  });

  it("leaves a lunch out that does not lie inside the hours", () => {
    const week = {
      ...standardWeek("F"),
      lunch: { from: "17:30", until: "18:00", minutes: 30 },
      isStandard: false,
    };
    expect(
      workingDay(rota({ weeks: new Map([["F", week]]) }), "F", "2026-10-16"),
    ).not.toHaveProperty("lunch");
  });
});

describe("a booking", () => {
  it("may fall on a Saturday of somebody who never entered a week, but not on a day off", () => {
    expect(isOffForBooking(rota(), "F", "2026-10-17")).toBe(false);
    expect(
      isOffForBooking(
        rota({ away: [{ personId: "F", fromOn: "2026-10-17", toOn: "2026-10-17" }] }),
        "F",
        "2026-10-17",
      ),
    ).toBe(true);
    const week = { ...standardWeek("F"), isStandard: false };
    expect(isOffForBooking(rota({ weeks: new Map([["F", week]]) }), "F", "2026-10-17")).toBe(true);
  });
});
