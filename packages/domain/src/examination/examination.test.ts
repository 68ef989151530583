import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { MS_PER_DAY, MS_PER_HOUR } from "../time/index.ts";
import {
  PHONE_QUESTIONS,
  RED_FLAG_SIGNS,
  examinationRedFlags,
  isRedFlag,
  judgeExamination,
  judgeFiveSignScore,
  judgeLameness,
  judgeObel,
  judgeVitalSigns,
  obelSeverity,
  painTrend,
  phoneCallTriage,
  slowHealing,
  vitalSignRedFlags,
  type PhoneAnswers,
} from "./index.ts";

const at = (iso: string): number => Date.parse(iso);
const rules = (findings: readonly { readonly rule: string }[]) =>
  findings.map((finding) => finding.rule);

/** Bounds: Obel 1948 (0-4), AAEP lameness scale (0-5), Meier 2019 (total 0-12). */
describe("grades", () => {
  it("take each whole grade of their scale and nothing outside", () => {
    for (const grade of [0, 1, 2, 3, 4]) expect(judgeObel(grade).ok).toBe(true);
    for (const wrong of [-1, 5, 2.5, Number.NaN]) expect(judgeObel(wrong).ok).toBe(false);
    for (const grade of [0, 5]) expect(judgeLameness(grade).ok).toBe(true);
    for (const wrong of [-1, 6, 0.5]) expect(judgeLameness(wrong).ok).toBe(false);
    for (const total of [0, 12]) expect(judgeFiveSignScore(total).ok).toBe(true);
    for (const wrong of [-1, 13, 7.5]) expect(judgeFiveSignScore(wrong).ok).toBe(false);
  });

  it("call Obel 1-2 mild and 3-4 severe (Menzies-Gow 2010)", () => {
    expect([0, 1, 2, 3, 4].map(obelSeverity)).toEqual(["none", "mild", "mild", "severe", "severe"]);
  });

  it("keep points per sign only when they agree with the total", () => {
    const five = (shift: number) => ({
      "weight shifting": shift,
      "lifting a forefoot": 1,
      walk: 2,
      "turning in a circle": 2,
      "digital pulse": 1,
    });
    expect(judgeFiveSignScore(8, five(2)).ok).toBe(true);
    expect(judgeFiveSignScore(8, five(1)).ok).toBe(false);
    expect(judgeFiveSignScore(8, five(3)).ok).toBe(false);
    expect(judgeFiveSignScore(3, { walk: 2 }).ok).toBe(true);
    expect(judgeFiveSignScore(1, { walk: 2 }).ok).toBe(false);
    expect(judgeFiveSignScore(3, { walk: 1.5 }).ok).toBe(false);
    expect(judgeFiveSignScore(3, { walk: -1 }).ok).toBe(false);
  });

  it("name the field that is to blame", () => {
    const judged = judgeExamination({
      obelGrade: 5,
      fiveSign: { total: 13 },
      vitalSigns: { temperatureCelsius: 101.3 },
    });
    expect(judged.ok).toBe(false);
    expect(judged.findings.map((finding) => finding.field)).toEqual([
      "/obelGrade",
      "/fiveSign/total",
      "/vitalSigns/temperatureCelsius",
    ]);
  });

  it("note a score taken within 24 h of a painkiller, because the study withheld them that long", () => {
    const note = (hoursSincePainkiller: number) =>
      judgeExamination({ fiveSign: { total: 3 }, hoursSincePainkiller }).findings.length;
    expect(note(23.9)).toBe(1);
    expect(note(24)).toBe(0);
  });
});

describe("vital signs (limits: house rule; resting ranges from memory)", () => {
  it("are red above 60 beats, at 38.6 °C, and when the heart is up by 12", () => {
    const red = (now: Parameters<typeof vitalSignRedFlags>[0], before?: typeof now) =>
      vitalSignRedFlags(now, before).length;
    expect(red({ heartRatePerMinute: 60 })).toBe(0);
    expect(red({ heartRatePerMinute: 61 })).toBe(1);
    expect(red({ temperatureCelsius: 38.5 })).toBe(0);
    expect(red({ temperatureCelsius: 38.6 })).toBe(1);
    expect(red({ heartRatePerMinute: 51 }, { heartRatePerMinute: 40 })).toBe(0);
    expect(red({ heartRatePerMinute: 52 }, { heartRatePerMinute: 40 })).toBe(1);
    expect(red({ breathsPerMinute: 30 })).toBe(0);
    expect(red({ breathsPerMinute: 31 })).toBe(1);
  });

  it("refuse readings no living horse has and note unusual ones", () => {
    expect(judgeVitalSigns({ heartRatePerMinute: 400 })[0]?.outcome).toBe("block");
    expect(judgeVitalSigns({ heartRatePerMinute: Number.NaN })[0]?.outcome).toBe("block");
    expect(judgeVitalSigns({ heartRatePerMinute: 48 })[0]?.outcome).toBe("note");
    expect(judgeVitalSigns({ heartRatePerMinute: 36, temperatureCelsius: 37.8 })).toEqual([]);
    const heart = (heartRatePerMinute: number) =>
      judgeVitalSigns({ heartRatePerMinute })[0]?.outcome ?? "quiet";
    expect([9, 10, 27, 28, 44, 45, 240, 241].map(heart)).toEqual([
      "block",
      "note",
      "note",
      "quiet",
      "quiet",
      "note",
      "note",
      "block",
    ]);
  });
});

describe("pain trend", () => {
  const t0 = at("2026-03-28T07:00:00Z");
  const two = (hours: number) =>
    painTrend(
      [
        { total: 2, atMs: t0 },
        { total: 4, atMs: t0 + hours * MS_PER_HOUR },
      ],
      t0 + 30 * MS_PER_DAY,
    ).state;

  it("raises the alarm for +2 in exactly 24 h, calls it creeping a minute later", () => {
    expect(two(24)).toBe("alert");
    expect(two(24 + 1 / 60)).toBe("creeping");
    expect(two(7 * 24)).toBe("creeping");
    expect(two(7 * 24 + 1 / 60)).toBe("steady or falling");
  });

  it("counts real hours across the spring clock change, when the same wall time is only 23 h away", () => {
    const trend = painTrend(
      [
        { total: 2, atMs: at("2026-03-28T07:00:00+00:00") },
        { total: 4, atMs: at("2026-03-29T08:00:00+01:00") },
      ],
      at("2026-03-29T09:00:00+01:00"),
    );
    expect(trend.state).toBe("alert");
  });

  it("counts real hours across the autumn change: the same wall time is 25 h away and not an alarm", () => {
    const trend = painTrend(
      [
        { total: 2, atMs: at("2026-10-24T07:00:00+01:00") },
        { total: 4, atMs: at("2026-10-25T07:00:00+00:00") },
      ],
      at("2026-10-25T09:00:00Z"),
    );
    expect(trend.state).toBe("creeping");
  });

  it("finds a rise hidden by a dip in between and ignores scores from the future and their order", () => {
    const scores = [
      { total: 5, atMs: t0 + 20 * MS_PER_HOUR },
      { total: 4, atMs: t0 },
      { total: 3, atMs: t0 + 6 * MS_PER_HOUR },
      { total: 12, atMs: t0 + 90 * MS_PER_HOUR },
    ];
    expect(painTrend(scores, t0 + 21 * MS_PER_HOUR).state).toBe("alert");
    expect(painTrend(scores.toReversed(), t0 + 21 * MS_PER_HOUR).latest?.total).toBe(5);
    expect(painTrend([], t0).state).toBe("no scores");
  });

  it("leaves the usual course alone: median 8 on day 0 to 0 on day 25 (Meier 2021)", () => {
    const course = [8, 6, 4, 2, 0].map((total, index) => ({
      total,
      atMs: t0 + [0, 4, 9, 14, 25][index]! * MS_PER_DAY,
    }));
    for (const { atMs } of course) {
      expect(painTrend(course, atMs).findings).toEqual([]);
      expect(slowHealing(course, t0, atMs)).toEqual([]);
    }
  });

  it("prompts on day 14 for the slow quarter (median 5 against 0-2), not on day 13", () => {
    const scored = (day: number, total: number) =>
      slowHealing([{ total, atMs: t0 + day * MS_PER_DAY }], t0, t0 + day * MS_PER_DAY).length;
    expect(scored(14, 5)).toBe(1);
    expect(scored(13.99, 5)).toBe(0);
    expect(scored(14, 2)).toBe(0);
    expect(scored(14, 3)).toBe(1);
  });
});

describe("red flags", () => {
  const now = at("2026-10-14T05:55:00Z");

  it("fires for every sign on the list, given an anti-inflammatory for those that need one", () => {
    for (const sign of RED_FLAG_SIGNS) {
      const flags = examinationRedFlags({
        atMs: now,
        signs: { [sign]: true },
        onAntiInflammatory: true,
      });
      expect(flags).toHaveLength(1);
      expect(flags.every(isRedFlag)).toBe(true);
      expect(examinationRedFlags({ atMs: now, signs: { [sign]: false } })).toEqual([]);
    }
  });

  it("puts 'cannot get up' first", () => {
    const flags = examinationRedFlags({
      atMs: now,
      signs: { badSmell: true, colic: true, cannotGetUp: true },
      vitalSigns: { heartRatePerMinute: 84 },
    });
    expect(flags[0]?.rule).toBe("examination/red-flag-cannot-get-up@1");
    expect(flags).toHaveLength(4);
  });

  it("takes off food as a red flag only on an anti-inflammatory", () => {
    expect(examinationRedFlags({ atMs: now, signs: { offFood: true } })).toEqual([]);
  });

  it("calls for the vet on the overdue gelding: 4 today, 3 yesterday, 2 four days ago, 13 days late", () => {
    const previous = [
      { atMs: at("2026-10-13T06:05:00Z"), fiveSignTotal: 3 },
      { atMs: at("2026-10-10T06:00:00Z"), fiveSignTotal: 2 },
      { atMs: at("2026-09-20T06:00:00Z"), fiveSignTotal: 1 },
    ];
    const check = (resetDaysLate: number) =>
      rules(examinationRedFlags({ atMs: now, fiveSignTotal: 4, resetDaysLate }, previous));
    expect(check(13)).toEqual(["examination/red-flag-late-and-sore@1"]);
    expect(check(7)).toEqual(["examination/red-flag-late-and-sore@1"]);
    expect(check(6)).toEqual([]);
  });

  it("holds the afterbirth limit at 3 hours and 'no better' at day 4", () => {
    const flags = (facts: object) => examinationRedFlags({ atMs: now, ...facts }).length;
    expect(flags({ hoursSinceFoalingWithoutAfterbirth: 2.99 })).toBe(0);
    expect(flags({ hoursSinceFoalingWithoutAfterbirth: 3 })).toBe(1);
    expect(flags({ treatment: { day: 3, better: false } })).toBe(0);
    expect(flags({ treatment: { day: 4, better: false } })).toBe(1);
    expect(flags({ treatment: { day: 9, better: true } })).toBe(0);
    expect(flags({ steroidInInsulinRiskHorse: true, footSore: true })).toBe(1);
    expect(flags({ steroidInInsulinRiskHorse: true })).toBe(0);
  });

  it("compares the heart with the latest reading of the last day, not with an old low one", () => {
    const previous = [
      { atMs: now - 2 * MS_PER_HOUR, vitalSigns: { heartRatePerMinute: 50 } },
      { atMs: now - 20 * MS_PER_HOUR, vitalSigns: { heartRatePerMinute: 36 } },
    ];
    const flags = (list: typeof previous) =>
      examinationRedFlags({ atMs: now, vitalSigns: { heartRatePerMinute: 52 } }, list).length;
    expect(flags(previous)).toBe(0);
    expect(flags(previous.slice(1))).toBe(1);
    const calm = { vitalSigns: { heartRatePerMinute: 36 } };
    expect(flags([{ atMs: now - 24 * MS_PER_HOUR, ...calm }])).toBe(1);
    expect(flags([{ atMs: now, ...calm }])).toBe(1);
    expect(flags([{ atMs: now + 1, ...calm }])).toBe(0);
    expect(flags([{ atMs: now - 25 * MS_PER_HOUR, vitalSigns: { heartRatePerMinute: 36 } }])).toBe(
      0,
    );
  });

  it("never loses a flag when more is known", () => {
    fc.assert(
      fc.property(
        fc.subarray([...RED_FLAG_SIGNS]),
        fc.subarray([...RED_FLAG_SIGNS]),
        (some, more) => {
          const flags = (names: readonly string[]) =>
            new Set<string>(
              rules(
                examinationRedFlags({
                  atMs: now,
                  signs: Object.fromEntries(names.map((name) => [name, true])),
                }),
              ),
            );
          const all = flags([...some, ...more]);
          expect([...flags(some)].every((rule) => all.has(rule))).toBe(true);
        },
      ),
    );
  });
});

describe("first phone call", () => {
  it("says 'vet now' on 'cannot get up' alone, before any other question is answered", () => {
    const triage = phoneCallTriage({ canStand: false });
    expect(triage.urgency).toBe("vet now");
    expect(triage.nextQuestion).toBeUndefined();
    expect(triage.sendFirstAidSheet).toBe(true);
    expect(PHONE_QUESTIONS[0]?.key).toBe("canStand");
  });

  it("starts with that question and asks on until something decides", () => {
    expect(phoneCallTriage({}).nextQuestion).toBe(PHONE_QUESTIONS[0]?.ask);
    expect(phoneCallTriage({ canStand: true })).toMatchObject({
      urgency: "ask on",
      nextQuestion: PHONE_QUESTIONS[1]?.ask,
    });
  });

  it("treats any sign of laminitis as at least today (an emergency on a par with colic)", () => {
    for (const answers of [
      { shiftsWeight: true },
      { leansBack: true },
      { feetWarm: true },
      { pulsesStrong: true },
      { willMove: "stiffly" },
      { canLiftFrontFoot: "with difficulty" },
    ] satisfies readonly PhoneAnswers[])
      expect(phoneCallTriage(answers).urgency).toBe("vet today");
  });

  it("says 'vet now' at 3 hours without the afterbirth and not just before", () => {
    expect(phoneCallTriage({ hoursSinceFoalingWithoutAfterbirth: 3 }).urgency).toBe("vet now");
    expect(phoneCallTriage({ hoursSinceFoalingWithoutAfterbirth: 2.9 }).urgency).toBe("ask on");
  });

  it("says 'vet now' when it moves only when forced or the good leg of an injured horse gets sore", () => {
    const urgency = (answers: PhoneAnswers) => phoneCallTriage(answers).urgency;
    expect(urgency({ willMove: "only when forced" })).toBe("vet now");
    expect(urgency({ willMove: "not at all" })).toBe("vet now");
    expect(urgency({ otherLegInjured: true })).toBe("ask on");
    expect(urgency({ otherLegInjured: true, shiftsWeight: true })).toBe("vet now");
    expect(urgency({ otherLegInjured: true, feetWarm: true })).toBe("vet now");
    expect(urgency({ otherLegInjured: false, feetWarm: true })).toBe("vet today");
  });

  it("never becomes less urgent when another danger is told, and never ends in 'no vet'", () => {
    const rank = { "vet now": 2, "vet today": 1, "ask on": 0 } as const;
    const danger = fc.record(
      {
        canStand: fc.constant(false),
        allFourFeetSore: fc.constant(true),
        grainBreakIn: fc.constant(true),
        shiftsWeight: fc.constant(true),
        otherLegInjured: fc.constant(true),
        willMove: fc.constantFrom("stiffly" as const, "not at all" as const),
      },
      { requiredKeys: [] },
    );
    fc.assert(
      fc.property(danger, danger, (first, second) => {
        const worse: PhoneAnswers = { ...second, ...first };
        expect(rank[phoneCallTriage(worse).urgency]).toBeGreaterThanOrEqual(
          rank[phoneCallTriage(first).urgency],
        );
      }),
    );
    const allFine: PhoneAnswers = {
      canStand: true,
      willMove: "freely",
      canLiftFrontFoot: "easily",
      shiftsWeight: false,
      leansBack: false,
      feetWarm: false,
      pulsesStrong: false,
      allFourFeetSore: false,
      suddenThreeLeggedLameness: false,
      grainBreakIn: false,
      hoursSinceFoalingWithoutAfterbirth: 0,
      steroidLately: false,
      otherLegInjured: false,
      knownInsulinTroubleOrPpid: false,
      colicDiarrhoeaOrOffFood: false,
      medicineAlreadyGiven: "none",
    };
    expect(phoneCallTriage(allFine).urgency).toBe("vet today");
  });
});
