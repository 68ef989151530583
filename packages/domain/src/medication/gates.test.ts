import { describe, expect, it } from "vitest";
import { addDays, atLocalTime } from "../time/index.ts";
import {
  earliestClear,
  FORMULARY,
  judgeCourse,
  judgeResult,
  missingPrescriptionFields,
  missingReasons,
  monitoringTasks,
  onNewWeight,
  requiredPrescriptionFields,
  unverifiedFigures,
  type Animal,
  type Course,
  type CourseRequest,
  type MedicationContext,
} from "./index.ts";

const ZONE = "Europe/Dublin";
const TODAY = "2026-06-01";
const at = (date: string, time: string): number => atLocalTime(date, time, ZONE);
const horse: Animal = {
  type: "horse",
  bornOn: "2014-05-01",
  conditions: [],
  foodChain: "excluded",
};

const context = (more: Partial<MedicationContext> = {}): MedicationContext => ({
  animal: horse,
  weights: [{ weightKg: 500, method: "scale", takenAtMs: at(TODAY, "06:00") }],
  courses: [],
  doses: [],
  holds: [],
  atMs: at(TODAY, "07:00"),
  zone: ZONE,
  jurisdiction: "EU",
  ...more,
});

const ask = (
  drugKey: string,
  presentationKey: string,
  doseMg: number,
  more: Partial<CourseRequest> = {},
): CourseRequest => ({
  drugKey,
  presentationKey,
  route: presentationKey.includes("injection") ? "intravenous" : "oral",
  startOn: TODAY,
  steps: [{ fromDay: 1, toDay: 1, everyDays: 1, timesLocal: ["08:00"], doseMg }],
  ...more,
});
const BUTE = ask("phenylbutazone", "phenylbutazone-powder-1g", 500);
const SUXI = ask("suxibuzone", "suxibuzone-granules-1.5g", 750);
const MELOX = ask("meloxicam", "meloxicam-suspension-15mg-ml", 150);
const FIRO = ask("firocoxib", "firocoxib-paste-eu", 25);
const KETO = ask("ketoprofen", "ketoprofen-injection-100mg-ml", 500);
const FLUNIXIN = ask("flunixin", "flunixin-injection-50mg-ml", 250);
const PERGOLIDE = ask("pergolide", "pergolide-tablet-1mg", 1);
const OMEPRAZOLE = ask("omeprazole", "omeprazole-paste-370mg-g", 1000);
const GRANULES = ask("omeprazole", "omeprazole-granules-400mg", 1200);

const outcome = (request: CourseRequest, where: MedicationContext): string => {
  const judged = judgeCourse(request, where);
  return !judged.ok ? "block" : missingReasons(judged.findings, []).length > 0 ? "warn" : "allow";
};

describe("age (labels)", () => {
  const aged = (request: CourseRequest, days: number) =>
    outcome(request, context({ animal: { ...horse, bornOn: addDays(TODAY, -days) } }));

  it.each([
    ["phenylbutazone 6 weeks, caution", BUTE, 42, "warn", "allow"],
    ["flunixin 6 weeks, caution", FLUNIXIN, 42, "warn", "allow"],
    ["suxibuzone 1 month, bar", SUXI, 30, "block", "warn"],
    ["suxibuzone 12 weeks, caution", SUXI, 84, "warn", "allow"],
    ["meloxicam 6 weeks, bar", MELOX, 42, "block", "allow"],
    ["firocoxib 10 weeks, bar", FIRO, 70, "block", "allow"],
    ["ketoprofen 1 month, bar", KETO, 30, "block", "warn"],
    ["omeprazole paste 4 weeks, bar", OMEPRAZOLE, 28, "block", "allow"],
    ["omeprazole granules 8 months, bar", GRANULES, 243, "block", "allow"],
    ["pergolide 2 years, bar", PERGOLIDE, 730, "block", "allow"],
  ] as const)("%s: one day under and on the day", (_name, request, line, under, on) => {
    expect(aged(request, line - 1)).toBe(under);
    expect(aged(request, line)).toBe(on);
  });

  it("takes loading away from 20 years, 4.4 on day 1, and leaves it at 19 (house rule after Lees 1985)", () => {
    const loading = ask("phenylbutazone", "phenylbutazone-powder-1g", 2000, {
      steps: [{ fromDay: 1, toDay: 1, everyDays: 1, timesLocal: ["08:00", "20:00"], doseMg: 2000 }],
    });
    const born = (bornOn: string) => outcome(loading, context({ animal: { ...horse, bornOn } }));
    expect(born("2006-06-02")).toBe("allow");
    expect(born("2006-06-01")).toBe("block");
  });
});

describe("breeding, illness, company (labels)", () => {
  const where = (more: Partial<Animal>) => context({ animal: { ...horse, ...more } });

  it("bars meloxicam, firocoxib, acepromazine and misoprostol in pregnancy and asks for a reason with bute", () => {
    const gel = ask("acepromazine", "acepromazine-gel-35mg-ml", 35);
    const miso = ask("misoprostol", "misoprostol-tablet-200ug", 2.5);
    for (const request of [MELOX, FIRO, gel, miso])
      expect(outcome(request, where({ pregnant: true }))).toBe("block");
    for (const request of [BUTE, FLUNIXIN, PERGOLIDE, OMEPRAZOLE])
      expect(outcome(request, where({ pregnant: true }))).toBe("warn");
    expect(outcome(MELOX, where({ lactating: true }))).toBe("block");
    expect(outcome(MELOX, where({ pregnant: false, lactating: false }))).toBe("allow");
  });

  it("stops every anti-inflammatory in a dry, colicky, scouring or kidney-sick horse", () => {
    for (const condition of [
      "dehydrated",
      "not drinking",
      "diarrhoea",
      "colic",
      "renal disease",
      "hepatic disease",
      "cardiac disease",
    ])
      for (const request of [BUTE, SUXI, MELOX, FIRO, KETO, FLUNIXIN])
        expect(outcome(request, where({ conditions: [condition] }))).toBe("block");
    expect(outcome(BUTE, where({ conditions: ["gastric ulcers"] }))).toBe("warn");
    expect(outcome(FIRO, where({ conditions: ["gastric ulcers"] }))).toBe("block");
  });

  it("forgets a steroid after 14 days and wants hydration and creatinine beside a nephrotoxic drug", () => {
    const given = (kind: "corticosteroid" | "nephrotoxic", days: number) =>
      where({
        medicinesGiven: [
          { name: "it", class: kind, givenAtMs: at(TODAY, "07:00") - days * 86_400_000 },
        ],
      });
    expect(outcome(FIRO, given("corticosteroid", 13.9))).toBe("warn");
    expect(outcome(FIRO, given("corticosteroid", 14))).toBe("allow");
    expect(outcome(BUTE, given("nephrotoxic", 1))).toBe("block");
    expect(
      outcome({ ...BUTE, hydrationAndCreatinineRecorded: true }, given("nephrotoxic", 1)),
    ).toBe("warn");
  });

  it("asks why omeprazole goes with bute, both ways round (Ricord 2021)", () => {
    const dose = (request: CourseRequest, doseMg: number) =>
      context({
        doses: [
          {
            id: "d",
            drugKey: request.drugKey,
            presentationKey: request.presentationKey,
            route: "oral",
            doseMg,
            givenAtMs: at("2026-05-31", "08:00"),
            outcome: "given",
            givenBy: "carer",
          },
        ],
      });
    expect(outcome(OMEPRAZOLE, dose(BUTE, 500))).toBe("warn");
    expect(outcome(BUTE, dose(OMEPRAZOLE, 1000))).toBe("warn");
    expect(outcome(OMEPRAZOLE, dose(MELOX, 150))).toBe("allow");
  });

  it("refuses a second anti-inflammatory while a course of another is open and lets it follow once stopped", () => {
    const open: Course = {
      id: "open",
      drugKey: "meloxicam",
      presentationKey: "meloxicam-suspension-15mg-ml",
      route: "oral",
      startOn: "2026-05-30",
      zone: ZONE,
      status: "signed",
      signedAtMs: 0,
      weightKgUsed: 500,
      steps: [{ fromDay: 1, toDay: 10, doseMg: 150, timesLocal: ["08:00"], everyDays: 2 }],
    };
    expect(outcome(BUTE, context({ courses: [open] }))).toBe("block");
    expect(outcome(BUTE, context({ courses: [{ ...open, status: "stopped" }] }))).toBe("allow");
    expect(outcome({ ...BUTE, supersedesCourseId: "open" }, context({ courses: [open] }))).toBe(
      "allow",
    );
  });

  it("starts an SGLT2 inhibitor only with baseline fats, liver and kidney values, a recheck date and a reason", () => {
    const request = {
      ...ask("ertugliflozin", "ertugliflozin-liquid", 25),
      recheckOn: "2026-06-10",
    };
    const results = (["triglycerides", "GGT", "creatinine"] as const).map((test) => ({
      test,
      value: 1,
      unit: "x",
      takenAtMs: at("2026-05-20", "08:00"),
    }));
    expect(outcome(request, context())).toBe("block");
    expect(outcome(request, context({ results: results.slice(1) }))).toBe("block");
    expect(outcome({ ...request, recheckOn: undefined }, context({ results }))).toBe("block");
    expect(outcome(request, context({ results }))).toBe("warn");
    expect(
      outcome(request, context({ results, animal: { ...horse, conditions: ["off feed"] } })),
    ).toBe("block");
  });

  it("keeps acepromazine from animals under 200 kg and pergolide above 4 µg/kg for the clinical lead, never above 10", () => {
    const gel = ask("acepromazine", "acepromazine-gel-35mg-ml", 17.5);
    const weigh = (weightKg: number) =>
      context({ weights: [{ weightKg, method: "scale", takenAtMs: at(TODAY, "06:00") }] });
    expect(outcome(gel, weigh(199))).toBe("block");
    expect(outcome(gel, weigh(200))).toBe("allow");
    const pergolide = (doseMg: number) =>
      outcome(ask("pergolide", "pergolide-tablet-1mg", doseMg), weigh(500));
    expect([pergolide(2), pergolide(2.5), pergolide(5), pergolide(5.5)]).toEqual([
      "allow",
      "warn",
      "warn",
      "block",
    ]);
  });
});

describe("weight", () => {
  it("blocks a new course on a weight older than 30 days and takes one of exactly 30", () => {
    const old = (hours: number) =>
      context({
        weights: [
          { weightKg: 500, method: "scale", takenAtMs: at(TODAY, "07:00") - hours * 3_600_000 },
        ],
      });
    expect(outcome(BUTE, old(720))).toBe("allow");
    expect(outcome(BUTE, old(721))).toBe("block");
    expect(outcome(BUTE, { ...old(240), settings: { weightMaxAgeDays: 9 } })).toBe("block");
    expect(outcome(BUTE, { ...old(721), settings: { weightMaxAgeDays: 90 } })).toBe("block");
  });

  it("never doses on a guess by eye, on a tape under 100 cm or on a tape for a donkey", () => {
    const by = (method: "estimate" | "tape", more: Partial<Animal>) =>
      outcome(
        PERGOLIDE,
        context({
          weights: [{ weightKg: 300, method, takenAtMs: at(TODAY, "06:00") }],
          animal: { ...horse, ...more },
        }),
      );
    expect(by("estimate", {})).toBe("block");
    expect(by("tape", { type: "pony", heightCm: 99 })).toBe("block");
    expect(by("tape", { type: "donkey" })).toBe("block");
    expect(by("tape", { type: "pony", heightCm: 120 })).toBe("allow");
  });

  it("lets a practice tighten a ceiling and ignores one that loosens it", () => {
    const dose = ask("phenylbutazone", "phenylbutazone-powder-1g", 2000);
    const set = (absoluteMg: number) =>
      judgeCourse(
        dose,
        context({ settings: { ceilings: [{ ceilingId: "pbz/absolute", absoluteMg }] } }),
      );
    expect(set(1999).ok).toBe(false);
    expect(set(2000).ok).toBe(true);
    const looser = set(5000);
    expect(looser.findings.map(({ rule }) => rule)).toContain("medication/setting-ignored@1");
    const five = ask("phenylbutazone", "phenylbutazone-powder-1g", 4500);
    expect(
      judgeCourse(
        five,
        context({
          weights: [{ weightKg: 900, method: "scale", takenAtMs: at(TODAY, "06:00") }],
          settings: { ceilings: [{ ceilingId: "pbz/absolute", absoluteMg: 5000 }] },
        }),
      ).ok,
    ).toBe(false);
  });

  it("holds bute (2.34 over 2.2) and asks about pergolide (3.90 µg/kg) the moment 385 kg is saved", () => {
    const signed = { route: "oral", zone: ZONE, status: "signed", signedAtMs: 1 } as const;
    const bute: Course = {
      ...signed,
      id: "bute",
      drugKey: "phenylbutazone",
      presentationKey: "phenylbutazone-paste-200mg-ml",
      startOn: "2026-08-23",
      weightKgUsed: 428,
      steps: [
        { fromDay: 1, toDay: 5, doseMg: 900, timesLocal: ["08:00", "20:00"], everyDays: 1 },
        { fromDay: 6, toDay: 40, doseMg: 900, timesLocal: ["08:00"], everyDays: 1 },
      ],
    };
    const pergolide: Course = {
      ...signed,
      id: "pergolide",
      drugKey: "pergolide",
      presentationKey: "pergolide-tablet-1mg",
      startOn: "2026-08-31",
      weightKgUsed: 428,
      steps: [{ fromDay: 1, toDay: 365, doseMg: 1.5, timesLocal: ["08:00"], everyDays: 1 }],
    };
    const where = context({
      animal: { ...horse, bornOn: "2000-05-01" },
      courses: [bute, pergolide],
      atMs: at("2026-09-14", "07:31"),
      weights: [
        { weightKg: 438, method: "scale", takenAtMs: at("2026-05-11", "07:00") },
        { weightKg: 428, method: "tape", takenAtMs: at("2026-08-23", "07:00") },
      ],
      doses: Array.from({ length: 22 }, (_, day) => ({
        id: `d${String(day)}`,
        courseId: "bute",
        drugKey: "phenylbutazone",
        route: "oral" as const,
        doseMg: 900,
        givenAtMs: at(addDays("2026-08-23", day), "08:00"),
        scheduledAtMs: at(addDays("2026-08-23", day), "08:00"),
        outcome: "given" as const,
        givenBy: "carer",
      })),
    });
    const weighed = (weightKg: number) =>
      onNewWeight(where, { weightKg, method: "scale", takenAtMs: at("2026-09-14", "07:30") });
    const review = weighed(385);
    expect(review.holdCourseIds).toEqual(["bute"]);
    expect(review.line).toContain("2.34 mg/kg is over 2.20 mg/kg");
    expect(review.line).toContain("3.90 µg/kg");
    expect(review.line).toContain("−12.1 % on the last scale weight, −10.0 % on 428 kg by tape");
    expect(review.courses.find(({ courseId }) => courseId === "pergolide")?.action).toBe("ask");
    // 900 mg crosses 2.2 × 1.015 mg/kg at 403.04 kg
    expect(weighed(404).holdCourseIds).toEqual([]);
    expect(weighed(403).holdCourseIds).toEqual(["bute"]);
    expect(weighed(428).courses.map(({ action }) => action)).toEqual(["keep", "keep"]);
  });
});

describe("monitoring, results, paper", () => {
  it("opens albumin and creatinine at the start, day 5, day 14, then four-weekly (house rule; labels fix no interval)", () => {
    const bloods = monitoringTasks({
      drugKey: "phenylbutazone",
      startOn: TODAY,
      lastDay: 60,
    }).filter(({ kind }) => kind === "blood");
    expect(bloods.map(({ dueOn }) => dueOn)).toEqual([
      "2026-06-01",
      "2026-06-06",
      "2026-06-15",
      "2026-07-13",
    ]);
    expect(bloods[2]?.tests).toEqual(expect.arrayContaining(["albumin", "creatinine"]));
    expect(
      monitoringTasks({ drugKey: "ertugliflozin", startOn: TODAY, lastDay: 20 }).filter(
        ({ kind }) => kind === "weigh",
      ),
    ).toHaveLength(2);
  });

  it("flags albumin that falls 31, 28, 27 although no single step reaches 4 g/L, and red under 22", () => {
    const albumin = (values: readonly number[]) => {
      const series = values.map((value, index) => ({
        test: "albumin" as const,
        value,
        unit: "g/L" as const,
        takenAtMs: index,
      }));
      const last = series.at(-1);
      if (last === undefined) throw new Error("no values");
      return judgeResult(last, series.slice(0, -1));
    };
    expect(albumin([31, 28]).level).toBe("none");
    expect([albumin([31, 28, 27]).level, albumin([31, 28, 27]).falling]).toEqual(["amber", true]);
    expect(albumin([31, 28, 28]).falling).toBe(false);
    expect(albumin([26, 22]).level).toBe("amber");
    expect(albumin([26, 21.9]).level).toBe("red");
  });

  it("alerts on triglycerides above 2 and withholds above 5 mmol/L (house limits; 21 % of 48 horses passed 2 on these drugs)", () => {
    const fats = (value: number) =>
      judgeResult({ test: "triglycerides", value, unit: "mmol/L", takenAtMs: 1 }, []).level;
    expect([fats(2), fats(2.1), fats(5), fats(5.1)]).toEqual(["none", "amber", "amber", "red"]);
  });

  it("asks a controlled UK prescription for words and figures and the vet's number, a plain one not (MDR 2001)", () => {
    const fields = (controlled?: "schedule 3") =>
      requiredPrescriptionFields({ jurisdiction: "UK", controlled }).map(({ field }) => field);
    expect(fields("schedule 3")).toEqual(
      expect.arrayContaining([
        "quantityInWordsAndFigures",
        "prescriberNumber",
        "underCareDeclaration",
      ]),
    );
    expect(fields()).not.toContain("quantityInWordsAndFigures");
    expect(fields()).toHaveLength(14);
    expect(
      requiredPrescriptionFields({ jurisdiction: "UK", foodAnimal: true, offLabel: true }).map(
        ({ field }) => field,
      ),
    ).toEqual(expect.arrayContaining(["withdrawal", "cascadeStatement"]));
    expect(
      missingPrescriptionFields({ jurisdiction: "US" }, { prescriberName: "N. T.", product: " " }),
    ).toContain("product");
  });

  it("adds a recalled detection time to the last dose and says that it is recalled and no withdrawal time", () => {
    const clear = earliestClear("phenylbutazone", 0);
    expect(clear?.earliestMs).toBe(168 * 3_600_000);
    expect(clear?.verified).toBe(false);
    expect(clear?.caution).toContain("not withdrawal time");
    expect(earliestClear("meloxicam", 0)?.verified).toBe(true);
    expect(earliestClear("paracetamol", 0)).toBeUndefined();
  });
});

describe("the formulary itself", () => {
  it("gives every drug a version, a review date, a source for each limit and at least one way to measure it", () => {
    for (const drug of FORMULARY) {
      expect(drug.version).not.toBe("");
      expect(drug.reviewOn).toMatch(/^\d{4}-\d\d-\d\d$/u);
      expect(drug.presentations.length).toBeGreaterThan(0);
      expect(drug.hospitalOnly || drug.ceilings.length > 0).toBe(true);
      for (const ceiling of drug.ceilings) {
        expect(ceiling.source.citation.length).toBeGreaterThan(10);
        expect((ceiling.mgPerKg ?? 0) + (ceiling.absoluteMg ?? 0)).toBeGreaterThan(0);
      }
    }
    const keys = FORMULARY.flatMap((drug) => [
      drug.key,
      ...drug.presentations.map(({ key }) => key),
    ]);
    expect(new Set(keys).size).toBe(keys.length);
  });

  it("lists what was recalled until a vet of the practice confirms it", () => {
    const open = unverifiedFigures();
    expect(open.map(({ id }) => id)).toContain("suxibuzone/molar");
    expect(unverifiedFigures(["suxibuzone/molar"])).toHaveLength(open.length - 1);
  });
});
