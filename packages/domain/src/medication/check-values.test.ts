import { describe, expect, it } from "vitest";
import { atLocalTime } from "../time/index.ts";
import {
  buildCourse,
  drugOf,
  judgeCourse,
  judgeDose,
  judgeResult,
  missingReasons,
  prescriptionValidity,
  weightInterval,
  type Animal,
  type CourseRequest,
  type DoseEvent,
  type MedicationContext,
  type RequestedStep,
} from "./index.ts";

const ZONE = "Europe/Dublin";
const LB = 0.45359237;
const TODAY = "2026-06-01";
const at = (date: string, time: string): number => atLocalTime(date, time, ZONE);

const horse: Animal = {
  type: "horse",
  bornOn: "2015-05-01",
  conditions: [],
  foodChain: "excluded",
};

const context = (weightKg: number, more: Partial<MedicationContext> = {}): MedicationContext => ({
  animal: horse,
  weights: [{ weightKg, method: "scale", takenAtMs: at(TODAY, "06:00") }],
  courses: [],
  doses: [],
  holds: [],
  atMs: at(TODAY, "07:00"),
  zone: ZONE,
  jurisdiction: "UK",
  place: "hospital",
  ...more,
});

const TIMES = {
  1: ["08:00"],
  2: ["08:00", "20:00"],
  3: ["06:00", "14:00", "22:00"],
  4: ["06:00", "12:00", "18:00", "23:59"],
} as const;

const request = (
  drugKey: string,
  presentationKey: string,
  steps: readonly (Partial<RequestedStep> & { readonly perDay?: 1 | 2 | 3 | 4 })[],
  more: Partial<CourseRequest> = {},
): CourseRequest => ({
  drugKey,
  presentationKey,
  route: presentationKey.includes("injection") ? "intravenous" : "oral",
  startOn: TODAY,
  steps: steps.map(({ perDay = 1, ...step }) => ({
    fromDay: 1,
    toDay: 1,
    everyDays: 1,
    timesLocal: TIMES[perDay],
    ...step,
  })),
  ...more,
});

const blocks = (asked: CourseRequest, where: MedicationContext): readonly string[] =>
  judgeCourse(asked, where)
    .findings.filter((finding) => finding.outcome === "block")
    .map((finding) => finding.rule.replace(/^medication\/|@1$/gu, ""));

const POWDER = "phenylbutazone-powder-1g";
const BUTE200 = "phenylbutazone-powder-200mg-g";
const INJECTION = "phenylbutazone-injection-200mg-ml";
const SUXI = "suxibuzone-granules-1.5g";

const phasesOf = (drugKey: string, presentationKey: string, type: "horse" | "pony") =>
  (drugOf(drugKey)?.phases ?? []).filter(
    (phase) => phase.presentationKeys.includes(presentationKey) && phase.types.includes(type),
  );

describe("phenylbutazone, UK labels", () => {
  it("wants 2.2 g twice on day 1 at 500 kg and measures 2 sachets, 4.0 mg/kg (UK label 1 g powder; rounding down)", () => {
    const plan = buildCourse(
      request("phenylbutazone", POWDER, [{ targetMgPerKg: 4.4, perDay: 2 }]),
      context(500),
    );
    expect(4.4 * 500).toBe(2200);
    expect(plan?.steps[0]?.unitsPerDose).toBe(2);
    expect(plan?.steps[0]?.perDose.bestMgPerKg).toBe(4);
    expect(plan?.totalUnits).toBe(4);
  });

  it("repeats the label's worked example at 450 kg: 2+2, then 1+1 to day 5, then 1 (UK label 1 g powder)", () => {
    const phases = phasesOf("phenylbutazone", POWDER, "horse");
    expect(
      phases.map(({ fromDay, toDay, timesPerDay, anchor }) => [
        fromDay,
        Math.min(toDay, 99),
        timesPerDay,
        anchor?.units,
      ]),
    ).toEqual([
      [1, 1, 2, 2],
      [2, 5, 2, 1],
      [6, 99, 1, 1],
    ]);
    expect(
      blocks(
        request("phenylbutazone", POWDER, [
          { doseMg: 2000, perDay: 2 },
          { fromDay: 2, toDay: 5, doseMg: 1000, perDay: 2 },
          { fromDay: 6, toDay: 13, doseMg: 1000 },
        ]),
        context(450),
      ),
    ).toEqual([]);
  });

  it("ends the middle step on day 4 for the 200 mg/g family and on day 5 for the 1 g family (data sheets of both)", () => {
    expect(phasesOf("phenylbutazone", BUTE200, "horse").map(({ fromDay }) => fromDay)).toEqual([
      1, 2, 5,
    ]);
    const twiceOnDayFive = (presentationKey: string) =>
      blocks(
        request("phenylbutazone", presentationKey, [
          { fromDay: 1, toDay: 5, doseMg: 1000, perDay: 2 },
        ]),
        context(450),
      );
    expect(twiceOnDayFive(POWDER)).toEqual([]);
    expect(twiceOnDayFive(BUTE200)).toContain("calendar-day-limit");
    expect(
      blocks(
        request("phenylbutazone", BUTE200, [
          { fromDay: 1, toDay: 4, doseMg: 1000, perDay: 2 },
          { fromDay: 5, toDay: 5, doseMg: 1000 },
        ]),
        context(450),
      ),
    ).toEqual([]);
  });

  it("accepts 2 g twice at 450 kg (8.89) and refuses it at 440 kg (9.09): +1.5 % and no more (label's own example)", () => {
    const day = request("phenylbutazone", POWDER, [{ doseMg: 2000, perDay: 2 }]);
    expect(4000 / 450).toBeCloseTo(8.89, 2);
    expect(4000 / 440).toBeCloseTo(9.09, 2);
    expect(blocks(day, context(450))).toEqual([]);
    expect(blocks(day, context(440))).toContain("rolling-limit");
    // both sides of 8.8 × 1.015 = 8.932 mg/kg: 447.83 kg
    expect(blocks(day, context(447.9))).toEqual([]);
    expect(blocks(day, context(447.7))).toContain("rolling-limit");
  });

  it("takes 1 g every second day for a 225 kg pony, mean 2.22 mg/kg a day, and refuses it daily (UK pony label)", () => {
    const pony = context(225, { animal: { ...horse, type: "pony" } });
    const phase = phasesOf("phenylbutazone", POWDER, "pony")[0];
    expect([phase?.everyDays, phase?.anchor?.units, phase?.anchor?.weightKg]).toEqual([
      [2],
      1,
      225,
    ]);
    const every = (everyDays: number) =>
      request("phenylbutazone", POWDER, [{ toDay: 9, doseMg: 1000, everyDays }]);
    expect(blocks(every(2), pony)).toEqual([]);
    expect(blocks(every(1), pony)).toContain("rolling-limit");
    expect(buildCourse(every(2), pony)?.steps[0]?.perDose.bestMgPerKg).toBeCloseTo(4.44, 2);
    expect(1000 / 225 / 2).toBeCloseTo(2.22, 2);
  });

  it("refuses 2 g twice a day at 305 kg: 6.56 per dose is 13.11 a day (published report of a pony overdosed by that mix-up)", () => {
    const asked = request("phenylbutazone", POWDER, [{ toDay: 5, doseMg: 2000, perDay: 2 }]);
    const pony = context(305, { animal: { ...horse, type: "pony" } });
    expect(blocks(asked, pony)).toContain("calendar-day-limit");
    const plan = buildCourse(asked, pony);
    expect(plan?.steps[0]?.perDose.bestMgPerKg).toBeCloseTo(6.56, 2);
    expect(plan?.steps[0]?.perDay.bestMgPerKg).toBeCloseTo(13.11, 2);
  });

  it("refuses 6 g a day at 500 kg, 12 mg/kg (the dose that induced right dorsal colitis)", () => {
    expect(
      blocks(request("phenylbutazone", POWDER, [{ doseMg: 3000, perDay: 2 }]), context(500)),
    ).toEqual(["calendar-day-limit", "rolling-limit"]);
  });
});

describe("phenylbutazone, US code", () => {
  const range = (weightKg: number, gramsPer500lb: number): number =>
    Math.min(4, (gramsPer500lb * weightKg) / (500 * LB));

  it("gives 1.76-3.53 g at 400 kg, caps 600 kg at 4 g, and reaches 4 g at 1,000 lb (21 CFR 520.1720)", () => {
    const figures = drugOf("phenylbutazone")?.figures ?? [];
    const perKg = (id: string): number => figures.find((figure) => figure.id === id)?.value ?? 0;
    expect(perKg("pbz/us-oral-low") * 0.4).toBeCloseTo(1.76, 2);
    expect(perKg("pbz/us-oral-high") * 0.4).toBeCloseTo(3.53, 2);
    expect(range(600, 1)).toBeCloseTo(2.65, 2);
    expect(range(600, 2)).toBe(4);
    expect(4000 / perKg("pbz/us-oral-high")).toBeCloseTo(453.59, 2);
    const us = (weightKg: number, mg: number) =>
      blocks(
        request("phenylbutazone", "phenylbutazone-tablet-1g", [{ doseMg: mg / 2, perDay: 2 }]),
        context(weightKg, { jurisdiction: "US" }),
      );
    expect(us(400, 3500)).toEqual([]);
    expect(us(400, 3600)).toContain("rolling-limit");
    expect(us(600, 4000)).toEqual([]);
    expect(us(600, 4001)).toContain("rolling-limit");
  });

  it("allows 1.1-2.2 g by vein at 1,100 lb in 3 doses and refuses day 6 (21 CFR 522.1720)", () => {
    const asked = (toDay: number, mgPerDay: number) =>
      blocks(
        request("phenylbutazone", INJECTION, [{ toDay, doseMg: mgPerDay / 3, perDay: 3 }]),
        context(1100 * LB, { jurisdiction: "US" }),
      );
    expect(asked(5, 1100)).toEqual([]);
    expect(asked(5, 2200)).toEqual([]);
    expect(asked(5, 2300)).toContain("rolling-limit");
    expect(asked(6, 2200)).toEqual(["course-length"]);
  });
});

describe("suxibuzone", () => {
  it("prints 12.5 then 6.25 mg/kg a day at 480 kg, and half for a 240 kg pony (EU label)", () => {
    const perDay = (type: "horse" | "pony") =>
      phasesOf("suxibuzone", SUXI, type).map(({ mgPerKg, timesPerDay, anchor }) => [
        mgPerKg * timesPerDay,
        anchor?.units,
        ((anchor?.units ?? 0) * 1500) / (anchor?.weightKg ?? 1),
      ]);
    expect(perDay("horse").slice(0, 2)).toEqual([
      [12.5, 2, 6.25],
      [6.25, 1, 3.125],
    ]);
    expect(perDay("pony").slice(0, 2)).toEqual([
      [6.25, 1, 6.25],
      [3.125, 0.5, 3.125],
    ]);
  });

  it("counts 6 g as 4.22 g of bute (molar masses 308.4 and 438.5) and so passes the 4 g line at 480 kg", () => {
    const factor = drugOf("suxibuzone")?.moietyFactor ?? 0;
    expect(factor).toBeCloseTo(0.7033, 4);
    expect(6 * factor).toBeCloseTo(4.22, 2);
    expect(
      blocks(request("suxibuzone", SUXI, [{ doseMg: 3000, perDay: 2 }]), context(480)),
    ).toContain("rolling-limit");
    expect(
      blocks(request("suxibuzone", SUXI, [{ toDay: 5, doseMg: 1500, perDay: 2 }]), context(480)),
    ).toEqual([]);
  });

  it("stops bute 12 h after suxibuzone as overlap, with 2.05 g of bute on board (UK labels: 24 h, one at a time)", () => {
    const first: DoseEvent = {
      id: "a",
      drugKey: "suxibuzone",
      presentationKey: SUXI,
      route: "oral",
      doseMg: 1500,
      givenAtMs: at(TODAY, "08:00"),
      outcome: "given",
      givenBy: "vet",
      givenByRole: "vet",
    };
    const judged = judgeDose(
      {
        ...first,
        id: "b",
        drugKey: "phenylbutazone",
        presentationKey: POWDER,
        doseMg: 1000,
        givenAtMs: at(TODAY, "20:00"),
      },
      context(480, { doses: [first] }),
    );
    expect(judged.ok).toBe(false);
    expect(judged.findings.find((f) => f.outcome === "block")?.rule).toBe("medication/nsaid-gap@1");
    expect(judged.findings.map((f) => f.detail).join(" ")).toMatch(/20(54|55) mg/u);
  });
});

describe("other anti-inflammatories", () => {
  it("gives flunixin 550 mg = 11.0 mL at 500 kg, refuses day 6, and the paste treats 3,000 lb (21 CFR 522.970, 520.970b)", () => {
    const asked = (toDay: number) =>
      request("flunixin", "flunixin-injection-50mg-ml", [{ toDay, targetMgPerKg: 1.1 }]);
    const step = buildCourse(asked(5), context(500))?.steps[0];
    expect([step?.doseMg, step?.unitsPerDose]).toEqual([550, 11]);
    expect(500 / 45).toBeCloseTo(11.1, 1);
    expect(blocks(asked(5), context(500))).toEqual([]);
    expect(blocks(asked(6), context(500))).toEqual(["course-length"]);
    expect(1500 / 0.5).toBe(3 * 1000);
    const paste = drugOf("flunixin")?.presentations.find(
      ({ key }) => key === "flunixin-paste-1500mg",
    );
    expect((paste?.unitsPerPack ?? 0) * (paste?.mgPerUnit ?? 0)).toBe(1500);
  });

  it("gives meloxicam 20.0 mL at 500 kg and 14.0 mL at 350 kg, day 15 refused (UK data sheet)", () => {
    const asked = (toDay: number) =>
      request("meloxicam", "meloxicam-suspension-15mg-ml", [{ toDay, targetMgPerKg: 0.6 }]);
    expect(buildCourse(asked(14), context(500))?.steps[0]?.unitsPerDose).toBeCloseTo(20, 6);
    expect(buildCourse(asked(14), context(350))?.steps[0]?.unitsPerDose).toBeCloseTo(14, 6);
    expect(blocks(asked(14), context(500))).toEqual([]);
    expect(blocks(asked(15), context(500))).toEqual(["course-length"]);
  });

  it("keeps the firocoxib tablet to 362.9-589.7 kg in the US and 450-600 kg in the EU (21 CFR 520.928; EU label)", () => {
    const tablet = (weightKg: number, jurisdiction: "US" | "EU") =>
      blocks(
        request("firocoxib", `firocoxib-tablet-57mg-${jurisdiction === "US" ? "us" : "eu"}`, [
          { toDay: 14, doseMg: 57 },
        ]),
        context(weightKg, { jurisdiction }),
      );
    expect([340, 362.8, 363, 500, 589.6, 589.8, 600].map((kg) => tablet(kg, "US").length)).toEqual([
      1, 1, 0, 0, 0, 1, 1,
    ]);
    expect([340, 449.9, 450, 500, 600, 600.1].map((kg) => tablet(kg, "EU").length)).toEqual([
      1, 1, 0, 0, 0, 1,
    ]);
    expect(57 / 450).toBeCloseTo(0.127, 3);
    expect(57 / 600).toBeCloseTo(0.095, 3);
  });

  it("holds 60.0 mg in an EU firocoxib syringe and sets the US one up to the next 50 lb (labels)", () => {
    const eu = drugOf("firocoxib")?.presentations.find(({ key }) => key === "firocoxib-paste-eu");
    expect((eu?.unitsPerPack ?? 0) * (eu?.mgPerUnit ?? 0)).toBeCloseTo(60, 1);
    const notch = (pounds: number) =>
      buildCourse(
        request("firocoxib", "firocoxib-paste-us", [{ targetMgPerKg: 0.1 }]),
        context(pounds * LB, { jurisdiction: "US" }),
      )?.steps[0];
    expect((notch(1165)?.unitsPerDose ?? 0) / LB).toBeCloseTo(1200, 6);
    expect(notch(1165)?.doseMg).toBeCloseTo(54.4, 1);
    expect((notch(1150)?.unitsPerDose ?? 0) / LB).toBeCloseTo(1150, 6);
    const us = (pounds: number, set: number) =>
      blocks(
        request("firocoxib", "firocoxib-paste-us", [{ doseMg: set * LB * 0.1 }]),
        context(pounds * LB, { jurisdiction: "US" }),
      );
    expect(us(1165, 1200)).toEqual([]);
    expect(us(1165, 1250)).toContain("rolling-limit");
  });

  it("sums every form of firocoxib: 5 days by vein and 9 of paste, the 15th day refused; 2.25 mL at 500 kg (21 CFR 522.930)", () => {
    const vein: DoseEvent[] = [0, 1, 2, 3, 4].map((day) => ({
      id: `v${String(day)}`,
      drugKey: "firocoxib",
      presentationKey: "firocoxib-injection-20mg-ml",
      route: "intravenous",
      doseMg: 45,
      givenAtMs: at(TODAY, "08:00") - (5 - day) * 86_400_000,
      outcome: "given",
      givenBy: "vet",
    }));
    const paste = (toDay: number) =>
      blocks(
        request("firocoxib", "firocoxib-paste-eu", [{ toDay, doseMg: 50 }], {}),
        context(500, { doses: vein }),
      );
    expect(paste(9)).toEqual([]);
    expect(paste(10)).toEqual(["course-length"]);
    expect(
      buildCourse(
        request("firocoxib", "firocoxib-injection-20mg-ml", [{ targetMgPerKg: 0.09 }]),
        context(500),
      )?.steps[0]?.unitsPerDose,
    ).toBeCloseTo(2.25, 6);
  });

  it("gives ketoprofen 10 mL at 1,000 lb and 11 mL at 500 kg (21 CFR 522.1225)", () => {
    const ml = (weightKg: number, mgPerKg: number) =>
      buildCourse(
        request("ketoprofen", "ketoprofen-injection-100mg-ml", [{ targetMgPerKg: mgPerKg }]),
        context(weightKg),
      )?.steps[0]?.unitsPerDose;
    expect(ml(1000 * LB, 1 / LB)).toBeCloseTo(10, 6);
    expect(ml(500, 2.2)).toBeCloseTo(11, 6);
  });
});

describe("stomach, pain and metabolic drugs", () => {
  const mg = (drugKey: string, presentationKey: string, mgPerKg: number, weightKg = 500) =>
    buildCourse(request(drugKey, presentationKey, [{ targetMgPerKg: mgPerKg }]), context(weightKg))
      ?.steps[0];

  it("gives paracetamol 15 g twice, 30 g a day at 500 kg as the most studied (Equine Vet J 2023), a reason asked above 20 mg/kg", () => {
    const asked = (doseMg: number) =>
      judgeCourse(
        request("paracetamol", "paracetamol-powder", [{ doseMg, perDay: 2 }]),
        context(500),
      );
    expect(mg("paracetamol", "paracetamol-powder", 30)?.doseMg).toBeCloseTo(15_000, 6);
    expect(asked(15_000).ok).toBe(true);
    expect(missingReasons(asked(15_000).findings, []).map((f) => f.rule)).toContain(
      "medication/paracetamol-house-24-h@1",
    );
    expect(missingReasons(asked(10_000).findings, [])).toEqual([]);
    expect(asked(15_300).ok).toBe(false);
  });

  it("gives whole omeprazole sachets by band, refuses 120 kg, and 5.41 g of paste at 500 kg (EU leaflet; 21 CFR 520.1615)", () => {
    const sachets = (weightKg: number) =>
      mg("omeprazole", "omeprazole-granules-400mg", 2, weightKg)?.unitsPerDose;
    expect([200, 201, 400, 401, 450, 600, 601].map(sachets)).toEqual([1, 2, 2, 3, 3, 3, 4]);
    expect(
      blocks(request("omeprazole", "omeprazole-granules-400mg", [{ doseMg: 400 }]), context(120)),
    ).toContain("weight-range");
    expect(mg("omeprazole", "omeprazole-paste-370mg-g", 4)?.unitsPerDose).toBeCloseTo(5.4, 2);
    expect(2000 / 370).toBeCloseTo(5.41, 2);
  });

  it("gives misoprostol 2,500 µg = 12.5 tablets and sucralfate 6 g at 500 kg (Varley 2019)", () => {
    expect(mg("misoprostol", "misoprostol-tablet-200ug", 0.005)?.unitsPerDose).toBeCloseTo(12.5, 6);
    expect(mg("sucralfate", "sucralfate-tablet-1g", 12)?.doseMg).toBeCloseTo(6000, 6);
  });

  it("gives lidocaine 650 mg then 75 mL/h at 500 kg, in a hospital only (BMC Vet Res 2014)", () => {
    const figures = drugOf("lidocaine-infusion")?.figures ?? [];
    expect((figures[0]?.value ?? 0) * 500).toBe(650);
    expect(((figures[1]?.value ?? 0) * 500) / 20).toBe(75);
    expect(
      blocks(
        request("lidocaine-infusion", "lidocaine-infusion-hospital", [{ doseMg: 650 }], {
          route: "intravenous",
        }),
        context(500, { place: "yard" }),
      ),
    ).toContain("hospital-only");
  });

  it("gives acepromazine gel 2.14 mL, range 1.07-3.21, at 500 kg (EU label)", () => {
    expect(mg("acepromazine", "acepromazine-gel-35mg-ml", 0.15)?.doseMg).toBeCloseTo(75, 0);
    expect(75 / 35).toBeCloseTo(2.14, 2);
    const asked = (ml: number) =>
      blocks(
        request("acepromazine", "acepromazine-gel-35mg-ml", [{ doseMg: ml * 35 }]),
        context(500),
      );
    expect((0.075 * 500) / 35).toBeCloseTo(1.07, 2);
    expect((0.225 * 500) / 35).toBeCloseTo(3.21, 2);
    expect(asked(3.21)).toEqual([]);
    expect(asked(3.3)).toContain("rolling-limit");
  });

  it("caps US pergolide at 2.0 mg for 500 kg and refuses the table's 1 tablet at 136 kg, 7.35 µg/kg (21 CFR 520.1705)", () => {
    const us = (weightKg: number, doseMg: number) =>
      blocks(
        request("pergolide", "pergolide-tablet-1mg", [{ toDay: 30, doseMg }]),
        context(weightKg, { jurisdiction: "US" }),
      );
    expect(us(500, 2)).toEqual([]);
    expect(us(500, 2.5)).toContain("rolling-limit");
    expect(us(136, 1)).toContain("rolling-limit");
    expect(1000 / 136).toBeCloseTo(7.35, 2);
  });

  it("refuses a pergolide target typed in mg/kg instead of µg/kg (label: never above 10 µg/kg)", () => {
    expect(
      blocks(request("pergolide", "pergolide-tablet-1mg", [{ targetMgPerKg: 2 }]), context(500)),
    ).toContain("rolling-limit");
  });

  it("gives ertugliflozin 25, canagliflozin 300 and velagliflozin 150 mg at 500 kg (trials 2019-2023)", () => {
    expect(mg("ertugliflozin", "ertugliflozin-liquid", 0.05)?.doseMg).toBeCloseTo(25, 6);
    expect(mg("canagliflozin", "canagliflozin-liquid", 0.6)?.doseMg).toBeCloseTo(300, 6);
    expect(mg("velagliflozin", "velagliflozin-liquid", 0.3)?.doseMg).toBeCloseTo(150, 6);
  });

  it("gives levothyroxine 5.5-33 mg a day at 1,100 lb (US label)", () => {
    const figures = drugOf("levothyroxine")?.figures ?? [];
    expect((figures[0]?.value ?? 0) * 1100 * LB).toBeCloseTo(5.5, 1);
    expect((figures[1]?.value ?? 0) * 1100 * LB).toBeCloseTo(33, 1);
  });
});

describe("weights, results and papers", () => {
  it("reads a 500 kg tape as 470-545 kg (Utrecht tape study, ±2 SD) and tests doses lower still, at 459", () => {
    const reading = { weightKg: 500, method: "tape" as const, takenAtMs: 0 };
    const interval = weightInterval(reading, { type: "horse" });
    expect(interval.studyLowKg).toBeCloseTo(470, 0);
    expect(interval.studyHighKg).toBeCloseTo(544.7, 0);
    expect(interval.lowKg).toBeCloseTo(459, 0);
    expect(interval.usable).toBe(true);
  });

  it("refuses a tape on a 95 cm pony: 150 kg may be 103-182 (Utrecht tape study)", () => {
    const interval = weightInterval(
      { weightKg: 150, method: "tape", takenAtMs: 0 },
      { type: "pony", heightCm: 95 },
    );
    expect(interval.usable).toBe(false);
    expect(interval.studyLowKg).toBeCloseTo(102.6, 1);
    expect(interval.studyHighKg).toBeCloseTo(182, 0);
    expect(
      weightInterval(
        { weightKg: 150, method: "tape", takenAtMs: 0 },
        { type: "pony", heightCm: 100 },
      ).usable,
    ).toBe(true);
  });

  it("raises the kidney flag at +26.5 µmol/L or +50 % and not just below (equine congress 2015: acute kidney injury)", () => {
    const creatinine = (from: number, to: number) =>
      judgeResult({ test: "creatinine", value: to, unit: "µmol/L", takenAtMs: 2 }, [
        { test: "creatinine", value: from, unit: "µmol/L", takenAtMs: 1 },
      ]);
    expect(creatinine(120, 147).level).toBe("red");
    expect(creatinine(120, 147).holdNsaids).toBe(true);
    expect(creatinine(120, 146).level).toBe("none");
    expect(creatinine(120, 146.5).level).toBe("red");
    expect(creatinine(50, 75).level).toBe("red");
    expect(creatinine(50, 74.9).level).toBe("none");
  });

  it("reads total protein 66 to 59 as amber (−10.6 %) and to 52 as red (−21 %) (house limits, no guideline found)", () => {
    const protein = (to: number) =>
      judgeResult({ test: "total protein", value: to, unit: "g/L", takenAtMs: 2 }, [
        { test: "total protein", value: 66, unit: "g/L", takenAtMs: 1 },
      ]);
    expect(protein(59).level).toBe("amber");
    expect(protein(59).changePercent).toBeCloseTo(-10.6, 1);
    expect(protein(52).level).toBe("red");
    expect(protein(52).changePercent).toBeCloseTo(-21.2, 1);
    expect(protein(59.5).level).toBe("none");
  });

  it("refuses a UK prescription of 1 January on 2 July and a controlled one after 28 days (VMR 2013; MDR 2001)", () => {
    const uk = { jurisdiction: "UK" } as const;
    expect(prescriptionValidity(uk, "2026-01-01", "2026-07-01").valid).toBe(true);
    expect(prescriptionValidity(uk, "2026-01-01", "2026-07-02").valid).toBe(false);
    const gabapentin = { jurisdiction: "UK", controlled: "schedule 3" } as const;
    expect(prescriptionValidity(gabapentin, "2026-03-01", "2026-03-29").valid).toBe(true);
    expect(prescriptionValidity(gabapentin, "2026-03-01", "2026-03-30").valid).toBe(false);
    expect(prescriptionValidity(gabapentin, "2026-03-01", "2026-03-02").repeatsAllowed).toBe(false);
  });

  it("refuses an EU antimicrobial prescription a week old and takes it on day 5 (Regulation (EU) 2019/6 art. 105(10))", () => {
    const kind = { jurisdiction: "EU", antimicrobial: true } as const;
    expect(prescriptionValidity(kind, "2026-08-03", "2026-08-08").valid).toBe(true);
    expect(prescriptionValidity(kind, "2026-08-03", "2026-08-10").valid).toBe(false);
  });

  it("refuses bute with the passport's declaration blank (UK passport law)", () => {
    expect(
      blocks(
        request("phenylbutazone", POWDER, [{ doseMg: 1000 }]),
        context(500, { animal: { ...horse, foodChain: "not excluded" } }),
      ),
    ).toEqual(["food-chain"]);
  });

  it("refuses meloxicam 23 h after flunixin, allows it at 24 h, and notes 24 h after bute (UK labels: 24 h; effect of 3 days)", () => {
    const last = (drugKey: string, presentationKey: string): DoseEvent => ({
      id: "last",
      drugKey,
      presentationKey,
      route: "oral",
      doseMg: 500,
      givenAtMs: at(TODAY, "08:00"),
      outcome: "given",
      givenBy: "vet",
    });
    const next = (
      drugKey: string,
      presentationKey: string,
      doseMg: number,
      time: string,
      dose: DoseEvent,
    ) =>
      judgeCourse(
        request(drugKey, presentationKey, [{ doseMg, timesLocal: [time] }], {
          startOn: "2026-06-02",
        }),
        context(500, { doses: [dose], atMs: at("2026-06-02", "06:30") }),
      );
    const flunixin = last("flunixin", "flunixin-granules-250mg");
    const melox = ["meloxicam", "meloxicam-suspension-15mg-ml", 300] as const;
    expect(next(...melox, "07:00", flunixin).ok).toBe(false);
    expect(next(...melox, "08:00", flunixin).ok).toBe(true);
    const after = next(
      "firocoxib",
      "firocoxib-paste-eu",
      50,
      "08:00",
      last("phenylbutazone", POWDER),
    );
    expect(after.ok).toBe(true);
    expect(after.findings.find((f) => f.rule === "medication/nsaid-switch-notice@1")?.outcome).toBe(
      "note",
    );
  });

  it("stops firocoxib after a joint steroid until a vet writes why (label: not with corticosteroids)", () => {
    const judged = judgeCourse(
      request("firocoxib", "firocoxib-paste-eu", [{ doseMg: 50 }]),
      context(500, {
        animal: {
          ...horse,
          medicinesGiven: [
            {
              name: "triamcinolone into a joint",
              class: "corticosteroid",
              givenAtMs: at("2026-05-25", "10:00"),
            },
          ],
        },
      }),
    );
    expect(missingReasons(judged.findings, []).map((f) => f.rule)).toEqual([
      "medication/steroid@1",
    ]);
    expect(
      missingReasons(judged.findings, [{ rule: "medication/steroid", reason: "weighed up" }]),
    ).toEqual([]);
    expect(
      missingReasons(judged.findings, [{ rule: "medication/steroid", reason: "  " }]),
    ).toHaveLength(1);
  });

  it("blocks the horse schedule for a donkey until the vet sets one (Mealey 1997: clearance 170 against 29 mL/kg/h)", () => {
    const donkey = context(180, { animal: { ...horse, type: "donkey" } });
    const asked = request("phenylbutazone", POWDER, [{ doseMg: 500 }]);
    expect(blocks(asked, donkey)).toEqual(["donkey"]);
    const judged = judgeCourse({ ...asked, vetSetsSchedule: true }, donkey);
    expect(judged.ok).toBe(true);
    expect(missingReasons(judged.findings, []).map((f) => f.rule)).toContain("medication/donkey@1");
  });
});
