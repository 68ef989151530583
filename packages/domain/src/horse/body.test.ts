import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  ageOn,
  judgeBodyCondition,
  judgeCrestyNeck,
  weeklyLoss,
  weightChange,
  weightFromGirth,
  type GirthMeasurement,
} from "./index.ts";

const kgOf = (measured: Omit<GirthMeasurement, "animalType">): number => {
  const judged = weightFromGirth({ animalType: "horse", ...measured });
  if (!judged.ok) throw new Error("refused");
  return judged.value.weightKg;
};

/** Divisors: Carroll & Huntington 1988 (11,900), the usual 11,880 and 11,877; expected kg by hand. */
describe("weight from girth and length", () => {
  it("gives the worked figures with each divisor in print", () => {
    expect(kgOf({ girthCm: 180, lengthCm: 160 })).toBeCloseTo(436.36, 2);
    expect(kgOf({ girthCm: 180, lengthCm: 160, divisor: "original" })).toBeCloseTo(435.63, 2);
    expect(kgOf({ girthCm: 180, lengthCm: 160, divisor: "alternative" })).toBeCloseTo(436.47, 2);
    expect(kgOf({ girthCm: 190, lengthCm: 170 })).toBeCloseTo(516.58, 2);
    expect(kgOf({ girthCm: 140, lengthCm: 120 })).toBeCloseTo(197.98, 2);
    expect(kgOf({ girthCm: 190, lengthCm: 165 })).toBeCloseTo(501.4, 1);
  });

  it("stays within 0.4 % of the inch and pound form of the University of Minnesota page (76 in, 67 in: 1172.70 lb)", () => {
    const kg = kgOf({ girthCm: 76 * 2.54, lengthCm: 67 * 2.54 });
    expect(kg).toBeCloseTo(533.81, 2);
    const fromPounds = ((76 * 76 * 67) / 330) * 0.453_592_37;
    expect(fromPounds).toBeCloseTo(531.93, 2);
    expect(Math.abs(kg / fromPounds - 1)).toBeLessThan(0.004);
  });

  it("keeps the three divisors within 0.2 % of each other, so none of them matters for a dose", () => {
    fc.assert(
      fc.property(fc.integer({ min: 60, max: 260 }), fc.integer({ min: 60, max: 260 }), (g, l) => {
        const all = (["usual", "original", "alternative"] as const).map((divisor) =>
          kgOf({ girthCm: g, lengthCm: l, divisor }),
        );
        expect(Math.max(...all) / Math.min(...all)).toBeLessThan(1.002);
      }),
    );
  });

  it("states what one centimetre of reading does to the weight", () => {
    const judged = weightFromGirth({ girthCm: 180, lengthCm: 160, animalType: "horse" });
    if (!judged.ok) throw new Error("refused");
    const perGirthCm =
      kgOf({ girthCm: 180.5, lengthCm: 160 }) - kgOf({ girthCm: 179.5, lengthCm: 160 });
    const perLengthCm =
      kgOf({ girthCm: 180, lengthCm: 160.5 }) - kgOf({ girthCm: 180, lengthCm: 159.5 });
    expect(judged.value.readingSdKg).toBeCloseTo(Math.hypot(perGirthCm, perLengthCm), 6);
  });

  it("refuses a donkey and lengths in the wrong unit, and warns below 100 cm", () => {
    expect(weightFromGirth({ girthCm: 120, lengthCm: 100, animalType: "donkey" }).ok).toBe(false);
    const inches = weightFromGirth({ girthCm: 30, lengthCm: 28, animalType: "pony" });
    expect(inches.ok).toBe(false);
    expect(inches.findings.map((finding) => finding.field)).toEqual(["/girthCm", "/lengthCm"]);
    const at = (heightCm: number) =>
      weightFromGirth({ girthCm: 120, lengthCm: 95, animalType: "pony", heightCm }).findings.length;
    expect(at(99)).toBe(1);
    expect(at(100)).toBe(0);
    expect(weightFromGirth({ girthCm: Number.NaN, lengthCm: 90, animalType: "pony" }).ok).toBe(
      false,
    );
  });
});

describe("change of weight (house rule 5 % and 10 %)", () => {
  it("holds orders on the mare that went from 438 to 385 kg: −12.1 %", () => {
    const change = weightChange(438, 385);
    expect(change.changePercent).toBeCloseTo(-12.1, 1);
    expect(change.band).toBe("hold");
  });

  it("acts at the very limit and not a gram before, up or down", () => {
    expect(weightChange(500, 475).band).toBe("recalculate");
    expect(weightChange(500, 475.1).band).toBe("steady");
    expect(weightChange(500, 525).band).toBe("recalculate");
    expect(weightChange(500, 524.9).band).toBe("steady");
    expect(weightChange(500, 450).band).toBe("hold");
    expect(weightChange(500, 450.1).band).toBe("recalculate");
    expect(weightChange(70, 77).band).toBe("hold");
  });

  it("finds the pony's 262 to 240 kg in 97 days to be 0.6 % a week, inside the planned band", () => {
    const loss = weeklyLoss(
      { weightKg: 262, on: "2026-07-07" },
      { weightKg: 240, on: "2026-10-12" },
    );
    expect(loss?.lossPercentPerWeek).toBeCloseTo(0.61, 2);
    expect(loss?.band).toBe("inside the band");
  });

  it("judges 2.5 to 5 kg a week in a 500 kg horse as planned, 6 kg as too fast (0.5-1 % a week)", () => {
    const after = (kg: number) =>
      weeklyLoss({ weightKg: 500, on: "2026-03-26" }, { weightKg: kg, on: "2026-04-02" })?.band;
    expect(after(497.5)).toBe("inside the band");
    expect(after(497.6)).toBe("slower than planned");
    expect(after(495)).toBe("inside the band");
    expect(after(494)).toBe("faster than planned");
    expect(after(501)).toBe("gaining");
  });

  it("gives no rate for two weighings on one day", () => {
    const same = { weightKg: 500, on: "2026-01-01" };
    expect(weeklyLoss(same, same)).toBeUndefined();
  });

  it("treats a weight of nothing as a bug", () => {
    expect(() => weightChange(0, 500)).toThrow(RangeError);
  });
});

/** Scales: Henneke 1983 (1-9), Carter 2009 (0-5). */
describe("condition and crest", () => {
  it("accepts 1 to 9 in halves and nothing outside", () => {
    expect(judgeBodyCondition(1).ok).toBe(true);
    expect(judgeBodyCondition(9).ok).toBe(true);
    expect(judgeBodyCondition(6.5).ok).toBe(true);
    for (const wrong of [0.5, 9.5, 5.25, Number.NaN, Infinity])
      expect(judgeBodyCondition(wrong).ok).toBe(false);
  });

  it("calls 4 to 6 ideal, above that over target, 8 and above obese, and notes the dispute from 7", () => {
    const band = (score: number) => {
      const judged = judgeBodyCondition(score);
      return judged.ok ? judged.value.band : undefined;
    };
    expect([3.5, 4, 6, 6.5, 7.5, 8].map(band)).toEqual([
      "under",
      "ideal",
      "ideal",
      "over",
      "over",
      "obese",
    ]);
    expect(judgeBodyCondition(6.5).findings).toEqual([]);
    expect(judgeBodyCondition(7).findings[0]?.outcome).toBe("note");
  });

  it("calls a crest of 3 cresty, 2 not, and takes whole numbers only", () => {
    const cresty = (score: number) => {
      const judged = judgeCrestyNeck(score);
      return judged.ok ? judged.value.cresty : undefined;
    };
    expect([0, 2, 3, 5].map(cresty)).toEqual([false, false, true, true]);
    for (const wrong of [-1, 6, 2.5]) expect(judgeCrestyNeck(wrong).ok).toBe(false);
  });
});

describe("age", () => {
  it("completes a leap-day year on 1 March in common years and on the day in leap years", () => {
    const birth = { bornOn: "2024-02-29" };
    expect(ageOn(birth, "2025-02-28")?.years).toBe(0);
    expect(ageOn(birth, "2025-03-01")?.years).toBe(1);
    expect(ageOn(birth, "2028-02-28")?.years).toBe(3);
    expect(ageOn(birth, "2028-02-29")?.years).toBe(4);
  });

  it("counts days, which young foals are judged by, and refuses the unborn", () => {
    expect(ageOn({ bornOn: "2026-03-01" }, "2026-04-12")).toEqual({
      years: 0,
      days: 42,
      exact: true,
    });
    expect(ageOn({ bornOn: "2026-03-01" }, "2026-03-01")).toEqual({
      years: 0,
      days: 0,
      exact: true,
    });
    expect(ageOn({ bornYear: 2026 }, "2026-03-01")?.years).toBe(0);
    expect(ageOn({ bornOn: "2026-03-01" }, "2026-02-28")).toBeUndefined();
    expect(ageOn({ bornYear: 2027 }, "2026-12-31")).toBeUndefined();
  });

  it("says that an age from the year alone is not exact", () => {
    expect(ageOn({ bornYear: 2000 }, "2026-10-14")).toEqual({ years: 26, exact: false });
  });
});
