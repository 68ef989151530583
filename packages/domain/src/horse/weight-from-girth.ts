import type { Finding, Judged, Setting, Source } from "../evidence/index.ts";
import type { AnimalType } from "./animal-type.ts";
import { CARROLL_HUNTINGTON, SMALL_ANIMAL_WEIGHT, TAPE_READING } from "./sources.ts";

/** Divisors in print for weight = girth² × length / divisor, in cm and kg. They differ by under 0.2 %. */
export const GIRTH_DIVISORS = { usual: 11_880, original: 11_900, alternative: 11_877 } as const;
export type GirthDivisor = keyof typeof GIRTH_DIVISORS;

/** How well a girth or a length repeats when read twice in the yard. */
export const GIRTH_READING_SD: Setting<number> = {
  key: "horse.girth-reading-sd",
  value: 1,
  unit: "cm",
  source: TAPE_READING,
  since: "2026-01-01",
  change: "free",
};

export interface GirthMeasurement {
  /** Round the chest just behind the withers, breath out. */
  readonly girthCm: number;
  /** Point of shoulder to point of buttock. */
  readonly lengthCm: number;
  readonly animalType: AnimalType;
  readonly heightCm?: number;
  readonly divisor?: GirthDivisor;
}

export interface GirthWeight {
  readonly weightKg: number;
  /**
   * Standard uncertainty from reading the tape alone. The formula's own error by build is larger
   * and unpublished in usable form; the dose rules widen the weight for that.
   */
  readonly readingSdKg: number;
  readonly divisor: number;
  readonly source: Source;
}

const limit = (
  rule: string,
  outcome: Finding["outcome"],
  detail: string,
  source: Source,
  field?: string,
): Finding => ({
  rule: `horse/${rule}@1`,
  outcome,
  detail,
  source,
  ...(field === undefined ? {} : { field }),
});

/** Reach of a yard tape: a miniature foal's chest to the largest draught horse. Outside is a slip of the pen. */
const PLAUSIBLE_CM = { least: 50, most: 280 } as const;

const rangeFinding = (valueCm: number, field: "girthCm" | "lengthCm"): Finding | undefined =>
  valueCm >= PLAUSIBLE_CM.least && valueCm <= PLAUSIBLE_CM.most
    ? undefined
    : limit(
        "girth-range",
        "block",
        `${field === "girthCm" ? "Girth" : "Length"} ${String(valueCm)} cm is outside ${String(PLAUSIBLE_CM.least)}–${String(PLAUSIBLE_CM.most)} cm; measure again in centimetres.`,
        TAPE_READING,
        `/${field}`,
      );

/**
 * Weight from girth and length: `girth² × length / divisor` (cm, kg).
 *
 * Refused for donkeys, which need their own chart, and outside plausible lengths; warned for
 * animals under 100 cm, where chest measures read far too heavy.
 */
export const weightFromGirth = (measured: GirthMeasurement): Judged<GirthWeight> => {
  const findings = [
    rangeFinding(measured.girthCm, "girthCm"),
    rangeFinding(measured.lengthCm, "lengthCm"),
    measured.animalType === "donkey"
      ? limit(
          "girth-donkey",
          "block",
          "This formula is for horses and ponies; use the donkey chart or a scale.",
          SMALL_ANIMAL_WEIGHT,
          "/animalType",
        )
      : undefined,
    measured.heightCm !== undefined && measured.heightCm < 100
      ? limit(
          "girth-small",
          "warn",
          `At ${String(measured.heightCm)} cm high, chest measures can read far too heavy; use a scale before any dose.`,
          SMALL_ANIMAL_WEIGHT,
          "/heightCm",
        )
      : undefined,
  ].filter((finding) => finding !== undefined);
  if (findings.some((finding) => finding.outcome === "block")) return { ok: false, findings };
  const divisor = GIRTH_DIVISORS[measured.divisor ?? "usual"];
  const { girthCm, lengthCm } = measured;
  const sdCm = GIRTH_READING_SD.value;
  return {
    ok: true,
    value: {
      weightKg: (girthCm * girthCm * lengthCm) / divisor,
      readingSdKg: Math.hypot(
        (2 * girthCm * lengthCm * sdCm) / divisor,
        (girthCm * girthCm * sdCm) / divisor,
      ),
      divisor,
      source: CARROLL_HUNTINGTON,
    },
    findings,
  };
};
