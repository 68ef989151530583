import fc from "fast-check";
import Qty from "js-quantities";
import { describe, expect, it } from "vitest";
import {
  afterIntolerance,
  autumnActhTask,
  BASAL_BANDS,
  celsius,
  CONVERSIONS,
  fahrenheit,
  feedingPlan,
  insulinBand,
  judgeLoss,
  metabolicRechecks,
  pergolideStartMg,
  pergolideUsMaxMg,
  PLACE_CUTOFFS,
  readActh,
  readSugarTest,
  readTrh,
  seasonTasks,
  steroidAlarm,
  STUDY_ASSAY,
  sugarTestDose,
  SYRUP_60_BANDS,
  titrationStep,
  toWorkingUnit,
  type FeedingRequest,
  type InsulinSample,
} from "./index.ts";

describe("insulin", () => {
  const basal = (valueUiuPerMl: number, more: Partial<InsulinSample> = {}) =>
    insulinBand({ valueUiuPerMl, assay: STUDY_ASSAY, feeding: "hay only", ...more }).band;

  it("bands basal values as the pony cohort did: 21.5 low, 21.6 and 45.2 middle, 45.3 high (Knowles 2023)", () => {
    expect([21.5, 21.6, 45.2, 45.3].map((value) => basal(value))).toEqual([
      "low",
      "middle",
      "middle",
      "high",
    ]);
    expect(BASAL_BANDS.fourYearRatePercent).toEqual({ low: 6, middle: 22, high: 69 });
  });

  it("bands 60 minutes after 0.3 mL/kg syrup: 53.3 low, 153 already high (Knowles 2023)", () => {
    const syrup = (valueUiuPerMl: number) =>
      insulinBand({ valueUiuPerMl, assay: STUDY_ASSAY, feeding: "not known" }, SYRUP_60_BANDS).band;
    expect([53.3, 53.4, 152.9, 153].map(syrup)).toEqual(["low", "middle", "middle", "high"]);
  });

  it("shows no band for another method, for a fasted sample or after hard feed (assays differ: PMC10083388)", () => {
    expect(basal(60, { assay: "radioimmunoassay" })).toBe("not shown");
    expect(basal(60, { feeding: "fasted" })).toBe("not shown");
    expect(basal(60, { feeding: "hard feed" })).toBe("not shown");
    expect(basal(60, { feeding: "not known" })).toBe("not shown");
  });

  it("measures 75 mL for the low dose and 225 mL for the high dose at 500 kg (Five-Minute Veterinary Consult, 3rd ed.; high dose recalled)", () => {
    expect(sugarTestDose("syrup 0.15 mL/kg", 500)).toBe(75);
    expect(sugarTestDose("syrup 0.45 mL/kg", 500)).toBe(225);
  });

  it("reads the low dose strictly above 45 between 60 and 90 minutes (Five-Minute Veterinary Consult)", () => {
    const low = (value: number, minute: number) =>
      readSugarTest("syrup 0.15 mL/kg", value, minute).result;
    expect([low(46, 75), low(45, 75), low(45.1, 60), low(46, 59), low(46, 91)]).toEqual([
      "positive",
      "not positive",
      "positive",
      "not readable",
      "not readable",
    ]);
    expect(readSugarTest("syrup 0.45 mL/kg", 60, 75).result).toBe("not positive");
    expect(readSugarTest("pellets 0.5 g/kg", 84, 120).result).toBe("positive");
  });
});

describe("ACTH", () => {
  const read = (valuePgPerMl: number, on: string, more = {}) =>
    readActh({ valuePgPerMl, on, assay: "chemiluminescent", ...more }).reading;

  it("reads the same value differently in May and in September, with a grey zone between (EEG table, recalled)", () => {
    expect(read(60, "2026-05-11")).toBe("likely");
    expect(read(60, "2026-09-11")).toBe("equivocal");
    expect(read(25, "2026-09-11")).toBe("unlikely");
    expect([14.9, 15, 40, 40.1].map((value) => read(value, "2026-05-11"))).toEqual([
      "unlikely",
      "equivocal",
      "equivocal",
      "likely",
    ]);
    expect([19.9, 20, 75, 75.1].map((value) => read(value, "2026-08-24"))).toEqual([
      "unlikely",
      "equivocal",
      "equivocal",
      "likely",
    ]);
  });

  it("shifts six months in the south: March there is September here", () => {
    expect(read(60, "2026-03-15", { hemisphere: "south" })).toBe(read(60, "2026-09-15"));
    expect(read(60, "2026-12-15", { hemisphere: "south" })).toBe(read(60, "2026-06-15"));
  });

  it("puts the laboratory's own cut-off of the week first, and reads no other method and no donkey", () => {
    expect(read(24, "2026-05-11", { laboratoryCutoffPgPerMl: 29 })).toBe("below the cut-off");
    expect(read(88, "2026-08-24", { laboratoryCutoffPgPerMl: 45 })).toBe("above the cut-off");
    expect(read(52, "2026-10-05", { assay: "fluorescent" })).toBe("not shown");
    expect(read(52, "2026-10-05", { animalType: "donkey" })).toBe("not shown");
  });

  it("keeps the printed lines of single places: UK 29 and 47, Perth 43 and 94, Townsville 67 and 101 (2011; Secombe 2017)", () => {
    expect(
      [
        PLACE_CUTOFFS["UK two-tier"]("2026-07-31"),
        PLACE_CUTOFFS["UK two-tier"]("2026-08-01"),
        PLACE_CUTOFFS["UK two-tier"]("2026-11-01"),
      ].map(({ likelyAbove }) => likelyAbove),
    ).toEqual([29, 47, 29]);
    expect(
      [PLACE_CUTOFFS.Perth("2026-02-28"), PLACE_CUTOFFS.Perth("2026-03-01")].map(
        ({ likelyAbove }) => likelyAbove,
      ),
    ).toEqual([43, 94]);
    expect(
      [PLACE_CUTOFFS.Townsville("2026-05-01"), PLACE_CUTOFFS.Townsville("2026-04-30")].map(
        ({ likelyAbove }) => likelyAbove,
      ),
    ).toEqual([67, 101]);
  });

  it("reads a TRH test at exactly ten minutes and not in autumn: 109, 110, 220, 221 (equine endocrinology group)", () => {
    expect([109, 110, 220, 221].map((value) => readTrh(value, 10, "2026-03-10").reading)).toEqual([
      "negative",
      "equivocal",
      "equivocal",
      "positive",
    ]);
    expect(readTrh(300, 11, "2026-03-10").reading).toBe("not readable");
    expect(readTrh(300, 10, "2026-09-10").reading).toBe("not readable");
    expect(readTrh(300, 10, "2026-09-10", "south").reading).toBe("positive");
  });

  it("opens the autumn task for every horse with PPID on the first of August", () => {
    expect(autumnActhTask(["PPID"], "2026-07-31")).toBeUndefined();
    expect(autumnActhTask(["PPID"], "2026-08-01")?.dueOn).toBe("2026-08-15");
    expect(autumnActhTask([], "2026-08-01")).toBeUndefined();
    expect(autumnActhTask(["PPID"], "2026-12-01")).toBeUndefined();
  });
});

describe("rechecks (house rule)", () => {
  it("weighs weekly, looks at the crest every two weeks, and draws insulin by state", () => {
    const last = { weightOn: "2026-06-01", crestOn: "2026-06-01", insulinOn: "2026-06-01" };
    const dates = (state: "after a change" | "not yet low" | "low") =>
      metabolicRechecks(state, last).map(({ dueOn }) => dueOn);
    expect(dates("after a change")).toEqual(["2026-06-08", "2026-06-15", "2026-06-22"]);
    expect(dates("not yet low")[2]).toBe("2026-08-31");
    expect(dates("low")[2]).toBe("2026-11-30");
  });
});

describe("season", () => {
  it("reminds of spring grass and frost, and shifts both by six months in the south (common practice, no source)", () => {
    const kinds = (on: string, hemisphere?: "south") =>
      seasonTasks(["insulin dysregulation"], on, hemisphere).map(({ kind }) => kind);
    expect(kinds("2026-03-31")).toEqual([]);
    expect(kinds("2026-04-01")).toEqual(["spring grass"]);
    expect(kinds("2026-05-31")).toEqual(["spring grass"]);
    expect(kinds("2026-11-01")).toEqual(["frost"]);
    expect(kinds("2026-10-01", "south")).toEqual(["spring grass"]);
    expect(seasonTasks([], "2026-04-01")).toEqual([]);
    expect(seasonTasks(["PPID"], "2026-08-01").map(({ kind }) => kind)).toEqual(["autumn ACTH"]);
    expect(seasonTasks(["PPID"], "2026-02-01", "south").map(({ kind }) => kind)).toEqual([
      "autumn ACTH",
    ]);
  });
});

describe("units", () => {
  const value = (...asked: Parameters<typeof toWorkingUnit>): number => {
    const judged = toWorkingUnit(...asked);
    return judged.ok ? judged.value.value : Number.NaN;
  };

  it("takes 6.00 pmol/L for one µIU/mL of insulin and flags a laboratory on 6.945 (Knopp 2019)", () => {
    expect(value("insulin", 300, "pmol/L")).toBeCloseTo(50, 6);
    expect(50 * 6.945).toBeCloseTo(347.3, 0);
    expect(value("insulin", 347.25, "pmol/L", 6.945)).toBeCloseTo(50, 6);
    expect(value("insulin", 300, "pmol/L", 6.945)).toBeCloseTo(43.2, 1);
    const flagged = toWorkingUnit("insulin", 300, "pmol/L", 6.945);
    expect(flagged.findings.map(({ outcome }) => outcome)).toEqual(["warn"]);
    expect(value("insulin", 12, "uIU/mL")).toBe(12);
    expect(value("insulin", 12, "mIU/L")).toBe(12);
  });

  it("turns ACTH 6.39, 10.35 and 24.22 pmol/L into 29, 47 and 110 pg/mL (AMA table, recalled)", () => {
    expect([6.39, 10.35, 24.22].map((pmol) => value("ACTH", pmol, "pmol/L"))).toEqual([
      expect.closeTo(29, 1),
      expect.closeTo(47, 1),
      expect.closeTo(110, 1),
    ]);
    expect(value("ACTH", 2, "pmol/L")).toBeCloseTo(9.1, 1);
    expect(value("ACTH", 10, "pmol/L")).toBeCloseTo(45.4, 1);
  });

  it("asks back for ketones in µmol/L, as a study of 48 horses on SGLT2 inhibitors printed 0.30, and for creatinine in mmol/L", () => {
    expect(toWorkingUnit("beta-hydroxybutyrate", 0.3, "µmol/L").ok).toBe(false);
    expect(value("beta-hydroxybutyrate", 0.3, "mmol/L")).toBe(0.3);
    expect(toWorkingUnit("creatinine", 120, "mmol/L").ok).toBe(false);
    expect(toWorkingUnit("creatinine", 1.2, "µmol/L").ok).toBe(false);
    expect(value("creatinine", 0.3, "mg/dL")).toBeCloseTo(26.5, 1);
  });

  it("agrees with a general units library given only molar masses (standard atomic weights)", () => {
    const molar: Readonly<Record<string, readonly [string, string, string]>> = {
      ACTH: ["4541 g/mol", "pmol/L", "pg/mL"],
      creatinine: ["113.12 g/mol", "mg/dL", "umol/L"],
      triglycerides: ["885.4 g/mol", "mg/dL", "mmol/L"],
      "beta-hydroxybutyrate": ["104.1 g/mol", "mg/dL", "mmol/L"],
      glucose: ["180.16 g/mol", "mg/dL", "mmol/L"],
    };
    for (const [analyte, [mass, from, to]] of Object.entries(molar)) {
      const theirs =
        from === "pmol/L"
          ? Qty(`1 ${from}`).mul(Qty(mass)).to(to).scalar
          : Qty(`1 ${from}`).div(Qty(mass)).to(to).scalar;
      const ours =
        CONVERSIONS.find((entry) => entry.analyte === analyte && entry.from === from)?.factor ?? 0;
      expect(Math.abs(ours / theirs - 1)).toBeLessThan(0.002);
    }
    expect(Qty("1 g/dL").to("g/L").scalar).toBeCloseTo(10, 9);
    expect(CONVERSIONS.find(({ analyte }) => analyte === "protein")?.factor).toBe(10);
    // urea from urea nitrogen: two nitrogen atoms of 14.007 in each molecule
    expect(CONVERSIONS.find(({ analyte }) => analyte === "urea")?.factor).toBeCloseTo(
      Qty("1 mg/dL").div(Qty("28.014 g/mol")).to("mmol/L").scalar,
      3,
    );
  });

  it("reads 38.5 °C as 101.3 °F and back, as a units library does (js-quantities)", () => {
    expect(fahrenheit(38.5)).toBeCloseTo(101.3, 6);
    fc.assert(
      fc.property(fc.double({ min: 30, max: 45, noNaN: true }), (degrees) => {
        expect(celsius(fahrenheit(degrees))).toBeCloseTo(degrees, 9);
        expect(fahrenheit(degrees)).toBeCloseTo(Qty(degrees, "tempC").to("tempF").scalar, 6);
      }),
    );
  });
});

describe("feeding", () => {
  const base: FeedingRequest = {
    weightKg: 500,
    animalType: "horse",
    dryMatterPercent: 1.25,
    forage: "hay",
    dryShare: 0.88,
    activePhase: true,
    grazing: false,
    vetSigned: true,
  };
  const plan = (more: Partial<FeedingRequest> = {}) => feedingPlan({ ...base, ...more });

  it("weighs 6.25 kg dry as 7.10 kg of hay at 88 %, floor 5.68 kg (restriction trial; hay dry matter)", () => {
    const judged = plan();
    expect(judged.ok && judged.value.dryMatterKg).toBe(6.25);
    expect(judged.ok && judged.value.asFedKg).toBeCloseTo(7.1, 2);
    expect(judged.ok && judged.value.floorAsFedKg).toBeCloseTo(5.68, 2);
    expect(judged.ok && judged.value.weeklyLossKg).toEqual({ least: 2.5, most: 5 });
  });

  it("gives 262 kg at 1.5 % and 85 % dry 3.93 kg dry, 4.6 kg as fed", () => {
    const judged = plan({
      weightKg: 262,
      animalType: "pony",
      dryMatterPercent: 1.5,
      dryShare: 0.85,
    });
    expect(judged.ok && judged.value.dryMatterKg).toBeCloseTo(3.93, 2);
    expect(judged.ok && judged.value.asFedKg).toBeCloseTo(4.6, 1);
  });

  it("never goes under 1 %, wants a vet's signature under 1.5 %, bars grass in the active phase", () => {
    expect(plan({ dryMatterPercent: 1 }).ok).toBe(true);
    expect(plan({ dryMatterPercent: 0.99 }).ok).toBe(false);
    expect(plan({ dryMatterPercent: 1.49, vetSigned: false }).ok).toBe(false);
    expect(plan({ dryMatterPercent: 1.5, vetSigned: false }).ok).toBe(true);
    expect(plan({ grazing: true }).ok).toBe(false);
    expect(plan({ grazing: true, activePhase: false }).ok).toBe(true);
    expect(plan({ dryShare: 8.8 }).ok).toBe(false);
    expect(plan({ forage: "haylage", dryShare: 0.6 }).ok).toBe(true);
  });

  it("warns of blood fats in ponies and donkeys and refuses to restrict one that has stopped eating (common practice)", () => {
    for (const animalType of ["pony", "donkey"] as const) {
      expect(plan({ animalType }).findings.map(({ rule }) => rule)).toContain(
        "metabolic/hyperlipaemia@1",
      );
      expect(plan({ animalType, offFeedHours: 6 }).ok).toBe(false);
    }
  });

  it("alerts on 6 kg lost in a week from 500 kg in week 3, not on 5 kg and not in week 1 (advice in print: 0.5 to 1 % a week, at most 1 % after week one)", () => {
    const lost = (kg: number, week: number) =>
      judgeLoss({ weightKg: 500, on: "2026-06-01" }, { weightKg: 500 - kg, on: "2026-06-08" }, week)
        .finding?.outcome;
    expect([lost(6, 3), lost(5, 3), lost(6, 1)]).toEqual(["warn", "pass", "note"]);
  });
});

describe("pergolide and steroids", () => {
  it("starts at the label's bands: 400, 401, 600, 601, 850, 851 kg (UK and EU data sheets)", () => {
    expect([400, 401, 600, 601, 850, 851].map(pergolideStartMg)).toEqual([0.5, 1, 1, 1.5, 1.5, 2]);
    const micrograms = ([400, 401, 600, 601, 850, 851] as const).map(
      (kg) => titrationStep(pergolideStartMg(kg) ?? 0, kg, "2026-01-01").microgramsPerKg,
    );
    [1.25, 2.49, 1.67, 2.5, 1.76, 2.35].forEach((expected, index) =>
      expect(micrograms[index]).toBeCloseTo(expected, 2),
    );
    expect([199, 200, 1000, 1001].map(pergolideStartMg)).toEqual([undefined, 0.5, 2, undefined]);
  });

  it("caps at 2 tablets for 500 kg and at none the table prints for 136 kg (21 CFR 520.1705: 4 µg/kg)", () => {
    expect(pergolideUsMaxMg(500)).toBe(2);
    expect(pergolideUsMaxMg(136)).toBe(0.5);
  });

  it("opens the blood window 4-6 weeks after a change and asks the clinical lead above 4 µg/kg (label)", () => {
    const step = titrationStep(1.5, 428, "2026-08-31");
    expect([step.retestFrom, step.retestBy, step.needs]).toEqual([
      "2026-09-28",
      "2026-10-12",
      "vet",
    ]);
    expect(step.microgramsPerKg).toBeCloseTo(3.5, 2);
    expect(titrationStep(1.5, 385, "2026-09-14").microgramsPerKg).toBeCloseTo(3.9, 2);
    expect(
      [
        titrationStep(2, 500, "2026-01-01"),
        titrationStep(2.5, 500, "2026-01-01"),
        titrationStep(5, 500, "2026-01-01"),
        titrationStep(5.5, 500, "2026-01-01"),
      ].map(({ needs }) => needs),
    ).toEqual(["vet", "clinical lead", "clinical lead", "refused"]);
  });

  it("halves after intolerance and climbs by 2 µg/kg every two weeks (US label)", () => {
    const steps = afterIntolerance(2, 500, "2026-01-01");
    expect(steps.map(({ doseMg }) => doseMg)).toEqual([1, 2]);
    expect(steps.map(({ from }) => from)).toEqual(["2026-01-01", "2026-01-06"]);
    // 1 mg is 2 µg/kg at 500 kg; a quarter tablet cannot be measured, so half of 1.5 is 0.5
    expect(afterIntolerance(1.5, 500, "2026-01-01").map(({ doseMg }) => doseMg)).toEqual([
      0.5, 1.5,
    ]);
    expect(afterIntolerance(2, 300, "2026-01-01").map(({ doseMg }) => doseMg)).toEqual([1, 1.5, 2]);
    expect(afterIntolerance(0.5, 250, "2026-01-01").map(({ doseMg }) => doseMg)).toEqual([0, 0.5]);
  });

  it("asks for a reason and a 14-day watch when a steroid meets high or unknown insulin (2023 abstract: 5 of 33)", () => {
    const alarm = (insulinBand: "low" | "high" | "not known", conditions: readonly string[] = []) =>
      steroidAlarm({ on: "2026-06-01", insulinBand, conditions });
    expect(alarm("high").finding.outcome).toBe("warn");
    expect(alarm("high").watchUntil).toBe("2026-06-15");
    expect(alarm("not known").finding.outcome).toBe("warn");
    expect(alarm("low").watchUntil).toBeUndefined();
    expect(alarm("low", ["previous laminitis"]).finding.outcome).toBe("warn");
  });
});
