import fc from "fast-check";
import { DateTime } from "luxon";
import { describe, expect, it } from "vitest";
import { isAllowed } from "../evidence/index.ts";
import { addDays } from "../time/index.ts";
import {
  OUTCOME_RULES,
  RESET_OUTCOMES,
  dueWindow,
  isClosedOn,
  judgeBooking,
  judgeCancellation,
  judgeNextDateBeforeLeaving,
  lastOpenDayBy,
  weekdayOf,
  type Booking,
} from "./index.ts";

const zone = "Europe/Dublin";
const window = dueWindow({
  lastDoneOn: "2026-05-04",
  intervalDays: 28,
  phase: "chronic active",
  zone,
});
const booking = (bookedOn: string, more: Partial<Booking> = {}): Booking => ({
  window,
  bookedOn,
  atMs: Date.parse("2026-05-20T09:00:00Z"),
  ...more,
});
const rules = (one: Booking) => judgeBooking(one).map((finding) => finding.rule);

describe("booking a reset", () => {
  it("passes in silence on or before the due day", () => {
    expect(judgeBooking(booking("2026-05-28"))).toEqual([]);
    expect(judgeBooking(booking("2026-06-01"))).toEqual([]);
  });

  it("asks why from the day after, and bars it past the ceiling of 35 days without a vet's reason", () => {
    expect(rules(booking("2026-06-02"))).toEqual(["cycle/booking-late@1"]);
    expect(isAllowed(judgeBooking(booking("2026-06-08")))).toBe(true);
    expect(isAllowed(judgeBooking(booking("2026-06-09")))).toBe(false);
    const signed = (signedByRole: string) =>
      isAllowed(
        judgeBooking(booking("2026-06-09", { laterBecause: { reason: "foaling", signedByRole } })),
      );
    expect(signed("vet")).toBe(true);
    expect(signed("manager")).toBe(false);
  });

  it("lets the forecast tighten the last day, never loosen it", () => {
    const withLimit = (forecastLimitOn: string) =>
      booking("2026-06-05", {
        window: dueWindow({
          lastDoneOn: "2026-05-04",
          intervalDays: 28,
          phase: "chronic active",
          zone,
          forecastLimitOn,
        }),
      });
    expect(isAllowed(judgeBooking(withLimit("2026-06-04")))).toBe(false);
    expect(isAllowed(judgeBooking(withLimit("2026-06-05")))).toBe(true);
    expect(isAllowed(judgeBooking({ ...withLimit("2026-12-01"), bookedOn: "2026-06-09" }))).toBe(
      false,
    );
    expect(rules({ ...withLimit("2026-05-30"), bookedOn: "2026-05-31" })).toEqual([
      "cycle/booking-past-forecast@1",
    ]);
  });

  it("does not stand in the way of a horse that is already past every limit, for the first days possible", () => {
    const atMs = Date.parse("2026-06-20T08:00:00Z");
    const late = judgeBooking(booking("2026-06-20", { atMs }));
    expect(isAllowed(late)).toBe(true);
    expect(late[0]?.outcome).toBe("warn");
    expect(isAllowed(judgeBooking(booking("2026-06-23", { atMs })))).toBe(true);
    expect(isAllowed(judgeBooking(booking("2026-06-24", { atMs })))).toBe(false);
  });

  it("gives no such grace on the due day itself, when the horse is not late yet", () => {
    const atMs = Date.parse("2026-06-08T08:00:00Z");
    const at35 = dueWindow({
      lastDoneOn: "2026-05-04",
      intervalDays: 35,
      phase: "chronic active",
      zone,
    });
    expect(isAllowed(judgeBooking(booking("2026-06-09", { atMs, window: at35 })))).toBe(false);
    expect(isAllowed(judgeBooking(booking("2026-06-08", { atMs, window: at35 })))).toBe(true);
  });

  it("bars the past by the yard's calendar", () => {
    const atMs = Date.parse("2026-05-19T23:30:00Z");
    expect(rules(booking("2026-05-19", { atMs }))).toEqual(["cycle/booking-past@1"]);
    expect(rules(booking("2026-05-20", { atMs }))).toEqual([]);
  });

  it("bars closed days, days off and pauses, and warns of skill, films and plan", () => {
    expect(rules(booking("2026-05-28", { yardClosed: { weekdays: [4] } }))).toEqual([
      "cycle/booking-yard-closed@1",
    ]);
    expect(rules(booking("2026-05-28", { farrierClosed: { dates: ["2026-05-28"] } }))).toEqual([
      "cycle/booking-farrier-away@1",
    ]);
    expect(
      rules(booking("2026-05-28", { pauses: [{ kind: "sold", fromOn: "2026-05-25" }] })),
    ).toEqual(["cycle/booking-paused@1"]);
    const soft = judgeBooking(
      booking("2026-05-28", {
        skillsNeeded: ["glue-on"],
        farrierSkills: ["heart-bar"],
        filmsMissing: true,
        planSigned: false,
      }),
    );
    expect(soft.map((finding) => finding.outcome)).toEqual(["warn", "warn", "warn"]);
  });
});

describe("closed days", () => {
  it("moves a holiday's reset to the last open day before, never after", () => {
    const closed = [{ weekdays: [6, 7], dates: ["2026-12-25"] }];
    expect(lastOpenDayBy("2026-12-27", "2026-12-20", closed)).toBe("2026-12-24");
    expect(lastOpenDayBy("2026-12-23", "2026-12-20", closed)).toBe("2026-12-23");
    expect(lastOpenDayBy("2026-12-27", "2026-12-25", closed)).toBeUndefined();
    expect(lastOpenDayBy("2026-12-27", "2026-12-24", closed)).toBe("2026-12-24");
  });

  it("never answers a day that is closed, late or too early", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 1500 }),
        fc.uniqueArray(fc.integer({ min: 1, max: 7 })),
        fc.integer({ min: 0, max: 20 }),
        (start, weekdays, span) => {
          const due = addDays("2025-01-01", start);
          const from = addDays(due, -span);
          const day = lastOpenDayBy(due, from, [{ weekdays }]);
          if (day === undefined) return;
          expect(day <= due && day >= from).toBe(true);
          expect(isClosedOn({ weekdays }, day)).toBe(false);
        },
      ),
    );
  });

  it("knows weekdays as luxon does, before and after 1970", () => {
    fc.assert(
      fc.property(fc.integer({ min: -30_000, max: 30_000 }), (days) => {
        const on = addDays("1970-01-01", days);
        expect(weekdayOf(on)).toBe(DateTime.fromISO(on, { zone: "utc" }).weekday);
      }),
    );
  });
});

describe("a visit that does not happen", () => {
  const cancelled = { dueOn: "2026-06-01", outcome: "cancelled" } as const;

  it("cannot be saved without a new date, or a reason and a named person", () => {
    expect(isAllowed(judgeCancellation(cancelled).findings)).toBe(false);
    expect(
      isAllowed(judgeCancellation({ ...cancelled, noDateBecause: "van off the road" }).findings),
    ).toBe(false);
    expect(
      judgeCancellation({ ...cancelled, noDateBecause: "van off the road" }).findings[0]?.field,
    ).toBe("/namedPersonId");
    expect(
      isAllowed(
        judgeCancellation({
          ...cancelled,
          noDateBecause: "van off the road",
          namedPersonId: "M1",
        }).findings,
      ),
    ).toBe(true);
    expect(isAllowed(judgeCancellation({ ...cancelled, newDate: "2026-06-03" }).findings)).toBe(
      true,
    );
  });

  it("never moves the due day, whatever happened and whatever the new date", () => {
    for (const outcome of RESET_OUTCOMES) {
      if (outcome === "done") continue;
      for (const newDate of ["2026-05-20", "2026-06-01", "2026-07-01"])
        expect(judgeCancellation({ dueOn: "2026-06-01", outcome, newDate }).dueOn).toBe(
          "2026-06-01",
        );
    }
  });

  it("says that a later date counts as late from the due day", () => {
    expect(judgeCancellation({ ...cancelled, newDate: "2026-06-01" }).findings[0]?.outcome).toBe(
      "pass",
    );
    expect(judgeCancellation({ ...cancelled, newDate: "2026-06-02" }).findings[0]?.outcome).toBe(
      "note",
    );
  });

  it("takes a decline as a proper outcome: to the vet, never against the farrier", () => {
    expect(OUTCOME_RULES.declined).toMatchObject({
      nextRole: "vet",
      countsAgainstFarrier: false,
      needsHandoff: true,
    });
    expect(RESET_OUTCOMES.filter((outcome) => OUTCOME_RULES[outcome].countsAgainstFarrier)).toEqual(
      ["missed"],
    );
  });

  it("closes an as-done record only with the next date or a reason and a person", () => {
    expect(judgeNextDateBeforeLeaving("2026-06-29", {})[0]).toMatchObject({
      rule: "cycle/next-date@1",
      outcome: "block",
      detail: "Book the next date before leaving. Or write down why not, and who will.",
    });
    expect(isAllowed(judgeNextDateBeforeLeaving("2026-06-29", { newDate: "2026-06-29" }))).toBe(
      true,
    );
    expect(
      isAllowed(
        judgeNextDateBeforeLeaving("2026-06-29", {
          noDateBecause: "horse goes to hospital",
          namedPersonId: "M1",
        }),
      ),
    ).toBe(true);
  });
});
