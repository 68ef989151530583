import fc from "fast-check";
import { DateTime } from "luxon";
import { describe, expect, it } from "vitest";
import { addDays } from "../time/index.ts";
import {
  INTERVAL_SETTINGS,
  dueWindow,
  judgeInterval,
  runningIntervalAfter,
  lastDoneOn,
  orderBySlack,
  resetStandingAt,
  resetStandingOn,
  type CycleFacts,
  type CyclePhase,
} from "./index.ts";

const zone = "Europe/Dublin";
const facts = (lastDone: string, intervalDays: number, more: Partial<CycleFacts> = {}) => ({
  lastDoneOn: lastDone,
  intervalDays,
  phase: "chronic active" as CyclePhase,
  zone,
  ...more,
});

/** Horse, last reset, interval, due day, days to go, middle of the forecast meets the limit. */
const DEMO_DAY = "2026-10-14";
const DUE_LIST: readonly (readonly [string, string, number, string, number, string])[] = [
  ["H22", "2026-09-03", 28, "2026-10-01", -13, "2026-10-17"],
  ["H08", "2026-09-02", 35, "2026-10-07", -7, "2026-10-17"],
  ["H16", "2026-09-14", 28, "2026-10-12", -2, "2026-10-30"],
  ["H03", "2026-09-16", 28, "2026-10-14", 0, "2026-11-29"],
  ["H04", "2026-09-09", 35, "2026-10-14", 0, "2026-11-20"],
  ["H12", "2026-09-17", 28, "2026-10-15", 1, "2026-12-06"],
  ["H17", "2026-09-25", 21, "2026-10-16", 2, "2026-12-08"],
  ["H20", "2026-09-11", 35, "2026-10-16", 2, "2026-11-21"],
  ["H19", "2026-09-21", 28, "2026-10-19", 5, "2026-11-01"],
  ["H24", "2026-09-14", 35, "2026-10-19", 5, "2026-11-06"],
  ["H18", "2026-09-23", 28, "2026-10-21", 7, "2026-11-18"],
  ["H09", "2026-09-10", 42, "2026-10-22", 8, "2026-11-26"],
  ["H02", "2026-09-28", 28, "2026-10-26", 12, "2026-12-16"],
  ["H10", "2026-09-28", 28, "2026-10-26", 12, "2026-12-07"],
  ["H05", "2026-09-23", 35, "2026-10-28", 14, "2026-11-16"],
  ["H15", "2026-09-16", 42, "2026-10-28", 14, "2026-11-30"],
  ["H21", "2026-09-30", 28, "2026-10-28", 14, "2026-11-21"],
  ["H23", "2026-09-23", 35, "2026-10-28", 14, "2026-12-06"],
  ["H14", "2026-10-02", 28, "2026-10-30", 16, "2026-11-22"],
  ["H07", "2026-10-05", 28, "2026-11-02", 19, "2026-11-15"],
  ["H11", "2026-10-01", 35, "2026-11-05", 22, "2026-11-23"],
  ["H01", "2026-10-09", 28, "2026-11-06", 23, "2027-01-06"],
  ["H06", "2026-09-30", 42, "2026-11-11", 28, "2026-12-21"],
];

describe("due list of the demo morning", () => {
  const standings = DUE_LIST.map(([horse, last, interval, dueOn, days, likelyLimitOn]) => {
    const window = dueWindow(facts(last, interval, { likelyLimitOn }));
    return { horse, dueOn, days, window, standing: resetStandingOn(window, DEMO_DAY) };
  });
  const inState = (state: string) =>
    standings.filter((one) => one.standing.state === state).map((one) => one.horse);

  it("has every due day and every count of days", () => {
    for (const { window, standing, dueOn, days } of standings) {
      expect(window.dueOn).toBe(dueOn);
      expect(-standing.daysLate + 0).toBe(days + 0);
    }
  });

  it("is red for H22 (13 days) and H08 (7), amber for H16 (2), due for H03 and H04, due soon for six", () => {
    expect(inState("red")).toEqual(["H22", "H08"]);
    expect(inState("amber")).toEqual(["H16"]);
    expect(inState("due")).toEqual(["H03", "H04"]);
    expect(inState("due soon")).toEqual(["H12", "H17", "H20", "H19", "H24", "H18"]);
  });

  it("gives the reason in words", () => {
    const reasonOf = (horse: string) =>
      standings.find((one) => one.horse === horse)?.standing.reasons[0];
    expect(["H22", "H16", "H03", "H12", "H17", "H09"].map(reasonOf)).toEqual([
      "13 days late",
      "2 days late",
      "due today",
      "due in 1 day",
      "due in 2 days",
      "due on 22 October 2026",
    ]);
  });

  it("reads the same at 07:10 by the yard's clock", () => {
    const atMs = Date.parse("2026-10-14T07:10:00+01:00");
    for (const { window, standing } of standings)
      expect(resetStandingAt(window, atMs)).toEqual(standing);
  });
});

/** The mare whose visit of 2026-06-01 was cancelled and never rebooked; forecast from the scenario. */
describe("the reset that slipped", () => {
  const window = dueWindow(
    facts("2026-05-04", 28, { forecastLimitOn: "2026-05-30", likelyLimitOn: "2026-06-07" }),
  );
  const stateOnDay = (day: number) => resetStandingOn(window, addDays("2026-05-04", day)).state;

  it("says that 28 days leave no slack, because fast growth meets the limit on day 26, and keeps the vet's 28", () => {
    expect(window.dueOn).toBe("2026-06-01");
    expect(window.bookBy).toBe("2026-05-30");
    expect(window.pulledEarlier).toBe(true);
    expect(window.slackDays).toBe(-2);
    expect(window.findings[0]?.detail).toContain("day 26");
  });

  it("turns amber on day 29 and red on day 35", () => {
    expect([25, 26, 28, 29, 34, 35, 47].map(stateOnDay)).toEqual([
      "due soon",
      "due",
      "due",
      "amber",
      "amber",
      "red",
      "red",
    ]);
  });

  it("does not count the cancelled visit as done", () => {
    expect(
      lastDoneOn([
        { on: "2026-05-04", outcome: "done" },
        { on: "2026-06-01", outcome: "cancelled" },
      ]),
    ).toBe("2026-05-04");
    expect(lastDoneOn([{ on: "2026-06-01", outcome: "weather" }])).toBeUndefined();
  });

  it("is red at once when the limit has most likely passed, before the seventh day late", () => {
    const sooner = dueWindow(facts("2026-05-04", 28, { likelyLimitOn: "2026-05-29" }));
    expect(resetStandingOn(sooner, "2026-05-29").state).toBe("due soon");
    expect(resetStandingOn(sooner, "2026-05-30")).toMatchObject({
      state: "red",
      reasons: ["growth limit most likely passed on 29 May 2026"],
    });
  });

  it("is red at once when pain is up", () => {
    expect(resetStandingOn(window, "2026-05-10", { painUp: true }).state).toBe("red");
  });
});

describe("due window", () => {
  it("moves earlier with the forecast, never later", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 56 }),
        fc.integer({ min: -30, max: 200 }),
        (days, limit) => {
          const window = dueWindow(
            facts("2026-02-01", days, { forecastLimitOn: addDays("2026-02-01", limit) }),
          );
          expect(window.dueOn).toBe(addDays("2026-02-01", days));
          expect(window.bookBy <= window.dueOn).toBe(true);
          expect(window.bookBy > "2026-02-01").toBe(true);
        },
      ),
    );
  });

  it("is not pulled earlier by a forecast that falls on the due day", () => {
    const window = dueWindow(facts("2026-05-04", 28, { forecastLimitOn: "2026-06-01" }));
    expect(window).toMatchObject({ pulledEarlier: false, slackDays: 0, findings: [] });
    expect(resetStandingOn(window, "2026-06-01").reasons).toEqual(["due today"]);
  });

  it("agrees with luxon's calendar for any start in any of four zones, over clock changes and leap days", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 2000 }),
        fc.integer({ min: 1, max: 56 }),
        fc.constantFrom(zone, "America/New_York", "Australia/Lord_Howe", "Pacific/Apia"),
        (start, days, yardZone) => {
          const last = addDays("2024-01-01", start);
          const due = dueWindow(facts(last, days, { zone: yardZone })).dueOn;
          expect(due).toBe(DateTime.fromISO(last, { zone: yardZone }).plus({ days }).toISODate());
        },
      ),
    );
  });

  it("counts the leap day: 28 days from 2028-02-05 end on 2028-03-04, a year earlier on 2027-03-05", () => {
    expect(dueWindow(facts("2028-02-05", 28)).dueOn).toBe("2028-03-04");
    expect(dueWindow(facts("2027-02-05", 28)).dueOn).toBe("2027-03-05");
  });

  it("turns at the yard's midnight, not at the server's, also when the hour repeats", () => {
    const window = dueWindow(facts("2026-09-27", 28));
    const stateAt = (iso: string) => resetStandingAt(window, Date.parse(iso)).state;
    expect(window.dueOn).toBe("2026-10-25");
    expect(stateAt("2026-10-24T22:59:59Z")).toBe("due soon");
    expect(stateAt("2026-10-24T23:00:00Z")).toBe("due");
    // The day lasts 25 hours.
    expect(stateAt("2026-10-25T23:59:59Z")).toBe("due");
    expect(stateAt("2026-10-26T00:00:00Z")).toBe("amber");
  });

  it("gives two yards in different zones their own day for one instant", () => {
    const atMs = Date.parse("2026-10-15T02:00:00Z");
    const due = (yardZone: string) =>
      resetStandingAt(dueWindow(facts("2026-09-16", 28, { zone: yardZone })), atMs).state;
    expect(due("Europe/Dublin")).toBe("amber");
    expect(due("America/New_York")).toBe("due");
  });

  it("never jumps back to a milder state as days pass", () => {
    const rank = { "not due": 0, "due soon": 1, due: 2, amber: 3, red: 4, paused: 5 } as const;
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 56 }),
        fc.option(fc.integer({ min: 0, max: 80 }), { nil: undefined }),
        fc.integer({ min: 0, max: 20 }),
        (days, edge, spread) => {
          const last = "2026-01-10";
          const window = dueWindow(
            facts(
              last,
              days,
              edge === undefined
                ? {}
                : {
                    forecastLimitOn: addDays(last, edge),
                    likelyLimitOn: addDays(last, edge + spread),
                  },
            ),
          );
          let worst = 0;
          for (let day = 0; day < 90; day += 1) {
            const now = rank[resetStandingOn(window, addDays(last, day)).state];
            expect(now).toBeGreaterThanOrEqual(worst);
            worst = now;
          }
        },
      ),
    );
  });

  it("treats an interval that is no whole day count as a bug", () => {
    for (const wrong of [0, -1, 1.5, Number.NaN])
      expect(() => dueWindow(facts("2026-01-01", wrong))).toThrow(RangeError);
  });
});

/** 4-5 weeks laminitic, 5-6 weeks sound: common practice, no source. */
describe("interval ceilings", () => {
  it("are 28-35 days for a laminitic horse and 35-42 for the sound reference, marked as common practice", () => {
    expect(INTERVAL_SETTINGS["chronic active"].value).toEqual({ leastDays: 28, mostDays: 35 });
    expect(INTERVAL_SETTINGS.maintenance.value).toEqual({ leastDays: 28, mostDays: 35 });
    expect(INTERVAL_SETTINGS["sound reference"].value).toEqual({ leastDays: 35, mostDays: 42 });
    expect(INTERVAL_SETTINGS.maintenance.source.status).toBe("common practice");
  });

  const outcome = (
    intervalDays: number,
    phase: CyclePhase = "chronic active",
    signed?: "vet" | "manager",
  ) =>
    judgeInterval({
      phase,
      intervalDays,
      ...(signed === undefined
        ? {}
        : { longerBecause: { reason: "hospital abroad", signedByRole: signed } }),
    })[0]?.outcome;

  it("pass inside, note shorter, block longer, on both sides of each edge", () => {
    expect([27, 28, 35, 36].map((days) => outcome(days))).toEqual([
      "note",
      "pass",
      "pass",
      "block",
    ]);
    expect([34, 35, 42, 43].map((days) => outcome(days, "sound reference"))).toEqual([
      "note",
      "pass",
      "pass",
      "block",
    ]);
  });

  it("let a vet's signed reason go past the ceiling, nobody else's, and nothing past 56 days", () => {
    expect(outcome(42, "chronic active", "vet")).toBe("warn");
    expect(outcome(42, "chronic active", "manager")).toBe("block");
    expect(outcome(56, "chronic active", "vet")).toBe("warn");
    expect(outcome(57, "chronic active", "vet")).toBe("block");
    expect(
      judgeInterval({
        phase: "acute",
        intervalDays: 20,
        longerBecause: { reason: " ", signedByRole: "vet" },
      })[0]?.outcome,
    ).toBe("block");
  });

  it("let a running cycle grow only with a vet's written reason, also inside the ceiling", () => {
    const running = (intervalDays: number, reason?: string) =>
      judgeInterval({
        phase: "chronic active",
        intervalDays,
        runningDays: 28,
        ...(reason === undefined
          ? {}
          : { longerBecause: { reason, signedByRole: "vet" as const } }),
      })[0]?.outcome;
    expect([running(28), running(29), running(35)]).toEqual(["pass", "block", "block"]);
    expect(running(35, "hoof grows slowly in frost")).toBe("warn");
    expect(running(21)).toBe("note");
  });

  it("never move a running due day later when a plan is signed, and earlier at once", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 7, max: 56 }),
        fc.integer({ min: 7, max: 56 }),
        (now, signed) => {
          const after = runningIntervalAfter(now, signed);
          expect(after).toBeLessThanOrEqual(now);
          expect(after).toBe(signed < now ? signed : now);
        },
      ),
    );
  });

  it("allow an interval of a single day", () => {
    expect(outcome(1, "acute")).toBe("note");
    expect(outcome(14, "acute")).toBe("pass");
    expect(outcome(15, "acute")).toBe("block");
  });

  it("refuse what is not a whole number of days", () => {
    for (const wrong of [0, 27.5, Number.NaN]) expect(outcome(wrong)).toBe("block");
  });
});

describe("board by slack", () => {
  it("puts the horse whose fast edge meets the limit soonest first, those without forecast last by due day", () => {
    const row = (horseId: string, days: number, forecastLimitOn?: string) => ({
      horseId,
      window: dueWindow(
        facts("2026-10-01", days, forecastLimitOn === undefined ? {} : { forecastLimitOn }),
      ),
    });
    const board = orderBySlack(
      [
        row("d", 28),
        row("c", 21),
        row("e", 28, "2026-10-20"),
        row("a", 35, "2026-10-10"),
        row("b", 28, "2026-10-20"),
      ],
      "2026-10-14",
    );
    expect(board.map((one) => [one.horseId, one.daysUntilLatestSafe])).toEqual([
      ["a", -4],
      ["b", 6],
      ["e", 6],
      ["c", undefined],
      ["d", undefined],
    ]);
  });
});
