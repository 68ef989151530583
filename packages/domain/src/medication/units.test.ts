import fc from "fast-check";
import Qty from "js-quantities";
import { describe, expect, it } from "vitest";
import { atLocalTime } from "../time/index.ts";
import {
  buildCourse,
  doseRateText,
  drugOf,
  type CourseRequest,
  type MedicationContext,
} from "./index.ts";

const ZONE = "Europe/Dublin";
const TODAY = "2026-06-01";

const context = (weightKg: number): MedicationContext => ({
  animal: { type: "horse", bornOn: "2015-05-01", conditions: [], foodChain: "excluded" },
  weights: [{ weightKg, method: "scale", takenAtMs: atLocalTime(TODAY, "06:00", ZONE) }],
  courses: [],
  doses: [],
  holds: [],
  atMs: atLocalTime(TODAY, "07:00", ZONE),
  zone: ZONE,
  jurisdiction: "UK",
  place: "yard",
});

const request = (drugKey: string, presentationKey: string, doseMg: number): CourseRequest => ({
  drugKey,
  presentationKey,
  route: "oral",
  startOn: TODAY,
  steps: [{ fromDay: 1, toDay: 3, doseMg, everyDays: 1, timesLocal: ["08:00", "20:00"] }],
});

/** A rate per pound, as the US code prints it, in mg/kg by the units library. */
const perKg = (rate: string): number => Qty(rate).to("mg/kg").scalar;

describe("units of the formulary, against a general units library", () => {
  it("turns the rates that the US code prints per pound into the same mg/kg (21 CFR 520.1720, 522.970, 522.1225)", () => {
    const figure = (drugKey: string, id: string): number | undefined =>
      drugOf(drugKey)?.figures.find((one) => one.id === id)?.value;
    expect(figure("phenylbutazone", "pbz/us-oral-low")).toBeCloseTo(perKg("0.002 g/lb"), 9);
    expect(figure("phenylbutazone", "pbz/us-oral-high")).toBeCloseTo(perKg("0.004 g/lb"), 9);
    expect(figure("flunixin", "flunixin/us")).toBeCloseTo(perKg("0.5 mg/lb"), 9);
    expect(drugOf("ketoprofen")?.ceilings.map((one) => one.mgPerKg)).toContainEqual(
      expect.closeTo(perKg("1 mg/lb"), 9),
    );
    expect(figure("levothyroxine", "levothyroxine/low")).toBeCloseTo(perKg("0.005 mg/lb"), 9);
    expect(figure("levothyroxine", "levothyroxine/high")).toBeCloseTo(perKg("0.03 mg/lb"), 9);
  });

  it("turns milligrams into what a yard measures, and into mg/kg, for any dose and weight", () => {
    const paste = Qty("200 mg/ml");
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 20 }),
        fc.double({ min: 80, max: 900, noNaN: true }),
        (halfMl, weightKg) => {
          const drawn = Qty(halfMl / 2, "ml");
          const dose = drawn.mul(paste);
          const plan = buildCourse(
            request("phenylbutazone", "phenylbutazone-paste-200mg-ml", dose.to("mg").scalar),
            context(weightKg),
          );
          expect(plan?.steps[0]?.unitsPerDose).toBeCloseTo(drawn.scalar, 9);
          expect(plan?.steps[0]?.perDose.bestMgPerKg).toBeCloseTo(
            dose.div(Qty(weightKg, "kg")).to("mg/kg").scalar,
            9,
          );
          // Twice a day for three days.
          expect(plan?.totalMg).toBeCloseTo(dose.mul(6).to("mg").scalar, 6);
          expect(plan?.totalUnits).toBeCloseTo(dose.mul(6).div(paste).to("ml").scalar, 6);
        },
      ),
    );
  });

  it("counts a sachet as the strength times the weight that its label prints (UK data sheets)", () => {
    for (const [drugKey, key, strength, sachet] of [
      ["phenylbutazone", "phenylbutazone-powder-1g", "1 g/g", "1 g"],
      ["phenylbutazone", "phenylbutazone-powder-200mg-g", "200 mg/g", "5 g"],
      ["suxibuzone", "suxibuzone-granules-1.5g", "150 mg/g", "10 g"],
      ["flunixin", "flunixin-granules-250mg", "25 mg/g", "10 g"],
    ] as const) {
      const form = drugOf(drugKey)?.presentations.find((one) => one.key === key);
      expect(form?.mgPerUnit, key).toBeCloseTo(Qty(strength).mul(Qty(sachet)).to("mg").scalar, 9);
    }
  });

  it("writes micrograms for what is dosed in micrograms: 1.5 mg of pergolide in 428 kg is 3.50 µg/kg", () => {
    const rate = Qty("1.5 mg").div(Qty("428 kg"));
    expect(doseRateText(rate.to("mg/kg").scalar)).toBe(
      `${rate.to("ug/kg").scalar.toFixed(2)} µg/kg`,
    );
    expect(doseRateText(1.5 / 428)).toBe("3.50 µg/kg");
  });
});
