import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { addDays, atLocalTime, MS_PER_HOUR } from "../time/index.ts";
import { healingCurve, iceLog, ladderPosition, painRise, standardLadder } from "./index.ts";

const ZONE = "Europe/Dublin";
const at = (date: string, time: string): number => atLocalTime(date, time, ZONE);

describe("ice log (continuous cold, foot to above the fetlock, under 10 °C: Kullmann 2014)", () => {
  it("shows the one gap of 3 h 10 min in 72 h and the total", () => {
    const start = at("2026-04-28", "11:00");
    const log = iceLog(
      [
        { fromMs: start, toMs: start + 30 * MS_PER_HOUR, hoofCelsius: 5 },
        {
          fromMs: start + (30 + 190 / 60) * MS_PER_HOUR,
          toMs: start + 72 * MS_PER_HOUR,
          hoofCelsius: 9,
        },
      ],
      ZONE,
    );
    expect(log.gaps).toHaveLength(1);
    expect(log.gaps[0]?.hours).toBeCloseTo(190 / 60, 6);
    expect(log.totalHours).toBeCloseTo(72 - 190 / 60, 6);
    expect(log.warmReadings).toEqual([]);
    expect(log.hoursByDay[0]).toEqual({ on: "2026-04-28", hours: 13 });
  });

  it("lets a gap of exactly 2 h pass and shows one a minute longer; 10 °C is warm", () => {
    const gap = (minutes: number) =>
      iceLog(
        [
          { fromMs: 0, toMs: 60_000 },
          {
            fromMs: 60_000 + minutes * 60_000,
            toMs: 60_000 + (minutes + 1) * 60_000,
            hoofCelsius: 10,
          },
        ],
        ZONE,
      );
    expect(gap(120).gaps).toEqual([]);
    expect(gap(121).gaps).toHaveLength(1);
    expect(gap(1).warmReadings).toHaveLength(1);
  });

  it("counts 25 h of ice on the long day in October and never counts overlapping entries twice", () => {
    const day = { fromMs: at("2026-10-25", "00:00"), toMs: at("2026-10-26", "00:00") };
    expect(iceLog([day, day], ZONE).hoursByDay).toEqual([{ on: "2026-10-25", hours: 25 }]);
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 0, max: 4000 }), fc.integer({ min: 1, max: 900 })), {
          minLength: 1,
          maxLength: 12,
        }),
        (entries) => {
          const minutes = new Set<number>();
          for (const [from, length] of entries)
            for (let minute = from; minute < from + length; minute += 1) minutes.add(minute);
          const log = iceLog(
            entries.map(([from, length]) => ({
              fromMs: from * 60_000,
              toMs: (from + length) * 60_000,
            })),
            ZONE,
          );
          expect(log.totalHours).toBeCloseTo(minutes.size / 60, 6);
          expect(log.hoursByDay.reduce((sum, { hours }) => sum + hours, 0)).toBeCloseTo(
            minutes.size / 60,
            6,
          );
        },
      ),
    );
  });
});

describe("return to movement (house rule; effect of bute lasts three days: UK label)", () => {
  const where = (painkillerDays: readonly string[], today: string, painFlag = false) =>
    ladderPosition({
      ladder: standardLadder(),
      stageIndex: 1,
      stageSince: "2026-07-20",
      today,
      painkillerDays,
      painFlag,
    });

  it("does not count the day of a painkiller and the three days after it", () => {
    expect(where([], "2026-07-27")?.countedDays).toBe(7);
    expect(where(["2026-07-20"], "2026-07-27")?.countedDays).toBe(3);
    expect(where(["2026-07-18"], "2026-07-27")?.countedDays).toBe(5);
    expect(where(["2026-07-16"], "2026-07-27")?.countedDays).toBe(7);
  });

  it("moves up only after the days of the stage and never with pain", () => {
    expect(where([], "2026-07-26")?.mayMoveUp).toBe(false);
    expect(where([], "2026-07-27")?.mayMoveUp).toBe(true);
    expect(where([], "2026-07-27", true)?.mayMoveUp).toBe(false);
    expect(
      ladderPosition({
        ladder: standardLadder(),
        stageIndex: 9,
        stageSince: "2026-07-20",
        today: "2026-08-20",
        painkillerDays: [],
        painFlag: false,
      }),
    ).toBeUndefined();
  });
});

describe("healing curve (median 8 to 0 by day 25, one in four slow)", () => {
  const curve = (scores: readonly (readonly [string, number])[], today: string) =>
    healingCurve(
      scores.map(([on, score]) => ({ on, score })),
      today,
    );

  it("finds the typical pony inside the band on day 14 and asks nothing", () => {
    const typical = curve(
      [
        ["2026-07-06", 8],
        ["2026-07-10", 6],
        ["2026-07-15", 4],
        ["2026-07-20", 2],
      ],
      "2026-07-20",
    );
    expect(typical?.rethink).toBe(false);
    expect(typical?.expected.mid).toBeLessThan(2.1);
  });

  it("prompts a rethink on day 14 for a slow one, and not on day 13", () => {
    const slow = (days: number) =>
      curve(
        [
          ["2026-07-06", 9],
          ["2026-07-11", 8.5],
          [addDays("2026-07-06", days), 8],
        ],
        addDays("2026-07-06", days),
      )?.slow;
    expect(slow(14)).toBe(true);
    expect(slow(13)).toBe(false);
  });

  it("sees a relapse: 0, then 3 and 6", () => {
    expect(
      curve(
        [
          ["2026-05-04", 0],
          ["2026-06-12", 3],
          ["2026-06-19", 6],
        ],
        "2026-06-19",
      )?.relapse,
    ).toBe(true);
  });

  it("recovers the rate of an exact exponential fall", () => {
    fc.assert(
      fc.property(fc.double({ min: 0.02, max: 0.3, noNaN: true }), (rate) => {
        const scores = [0, 3, 7, 12, 20]
          .map((day) => ({
            on: addDays("2026-01-01", day),
            score: 8.5 * Math.exp(-rate * day) - 0.5,
          }))
          .filter(({ score }) => score > -0.5);
        expect(healingCurve(scores, "2026-03-01")?.ratePerDay).toBeCloseTo(rate, 6);
      }),
    );
  });

  it("alerts on two points up within 24 h and not over 25 h", () => {
    const rise = (hours: number, score: number) =>
      painRise([
        { atMs: 0, score: 2 },
        { atMs: hours * MS_PER_HOUR, score },
      ]).alert;
    expect([rise(24, 4), rise(25, 4), rise(24, 3)]).toEqual([true, false, false]);
  });
});
