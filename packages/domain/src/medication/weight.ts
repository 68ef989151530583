import type { Finding, Source } from "../evidence/index.ts";
import { MS_PER_DAY, type InstantMs } from "../time/index.ts";
import { found } from "./finding.ts";
import type { Animal, MedicationContext, WeightMethod, WeightReading } from "./types.ts";

const TAPE_STUDY: Source = {
  id: "paper/weigh-tape-utrecht",
  citation:
    "Utrecht weigh-tape study: tape against weighbridge, horses -0.92 % (SD 3.64), ponies over 100 cm -1.64 % (SD 4.64), ponies under 100 cm +14.30 % (SD 15.95)",
  status: "published",
};
export const WEIGHT_RULE: Source = {
  id: "house/weight",
  citation:
    "House rules on weights: scale error 1 %; test doses at mean - 2 SD; older than 30 days blocks a new course; weigh every 14 days on one; 5 % asks, 10 % or a crossed limit holds",
  status: "house rule",
};
const EYE_ERROR: Source = {
  id: "web/eye-estimates",
  citation: "Estimates by eye can be wrong by as much as 30 % (equine weight-taking article)",
  status: "published",
};

/** Mean and standard deviation of a method, as a share of the true weight. */
interface MethodError {
  readonly bias: number;
  readonly sd: number;
  readonly source: Source;
}

const TAPE_HORSE: MethodError = { bias: -0.0092, sd: 0.0364, source: TAPE_STUDY };
const TAPE_PONY: MethodError = { bias: -0.0164, sd: 0.0464, source: TAPE_STUDY };
const TAPE_SMALL: MethodError = { bias: 0.143, sd: 0.1595, source: TAPE_STUDY };
const SCALE: MethodError = { bias: 0, sd: 0.005, source: WEIGHT_RULE };
const EYE: MethodError = { bias: 0, sd: 0.15, source: EYE_ERROR };

/** Below this height chest tapes read far too heavy. Source: Utrecht weigh-tape study. */
export const TAPE_MIN_HEIGHT_CM = 100;

export interface WeightInterval {
  readonly weightKg: number;
  /** The weight doses are tested at: reading × (1 + bias - 2 SD), the more cautious of the two readings of the study. */
  readonly lowKg: number;
  readonly highKg: number;
  /** Likely true range if the study's bias is taken off instead: reading ÷ (1 + bias ± 2 SD). */
  readonly studyLowKg: number;
  readonly studyHighKg: number;
  readonly method: WeightMethod;
  /** False where the method must not be used for a dose at all. */
  readonly usable: boolean;
  readonly source: Source;
}

type Build = Pick<Animal, "type" | "heightCm">;

const errorOf = (method: WeightMethod, animal: Build): MethodError => {
  if (method === "scale") return SCALE;
  if (method === "estimate") return EYE;
  if ((animal.heightCm ?? Number.POSITIVE_INFINITY) < TAPE_MIN_HEIGHT_CM) return TAPE_SMALL;
  return animal.type === "horse" ? TAPE_HORSE : TAPE_PONY;
};

/**
 * How far a weighing can be trusted, in kg.
 *
 * A chest tape (or the girth formula, which has no error of its own in usable form) is refused for
 * animals under 100 cm and for donkeys; an estimate by eye never carries a dose.
 */
export const weightInterval = (reading: WeightReading, animal: Build): WeightInterval => {
  const error = errorOf(reading.method, animal);
  const { weightKg, method } = reading;
  const chest = method === "tape" || method === "formula";
  const usable = method === "scale" || (chest && error !== TAPE_SMALL && animal.type !== "donkey");
  const studyLowKg = weightKg / (1 + error.bias + 2 * error.sd);
  const studyHighKg = weightKg / (1 + error.bias - 2 * error.sd);
  const cautious = weightKg * (1 + error.bias - 2 * error.sd);
  return {
    weightKg,
    lowKg: Math.min(cautious, studyLowKg, reading.lowKg ?? Number.POSITIVE_INFINITY),
    highKg: Math.max(studyHighKg, reading.highKg ?? 0),
    studyLowKg,
    studyHighKg,
    method,
    usable,
    source: error.source,
  };
};

export interface WeightInForce extends WeightInterval {
  readonly takenAtMs: InstantMs;
  readonly ageDays: number;
}

/** Oldest weight a new course may rest on. A practice may only shorten it. */
export const WEIGHT_MAX_AGE_DAYS = 30;
/** Weigh again this often on a course. */
export const REWEIGH_ON_COURSE_DAYS = 14;

/** The latest usable weighing at the clock, or undefined when there is none. */
export const weightInForce = (
  context: Pick<MedicationContext, "weights" | "animal" | "atMs">,
): WeightInForce | undefined => {
  let latest: WeightReading | undefined;
  for (const reading of context.weights) {
    if (reading.takenAtMs > context.atMs || !(reading.weightKg > 0)) continue;
    if (latest !== undefined && reading.takenAtMs <= latest.takenAtMs) continue;
    if (weightInterval(reading, context.animal).usable) latest = reading;
  }
  return latest === undefined
    ? undefined
    : {
        ...weightInterval(latest, context.animal),
        takenAtMs: latest.takenAtMs,
        ageDays: (context.atMs - latest.takenAtMs) / MS_PER_DAY,
      };
};

/** Whether the weight may carry a new course, with the figures that decided it. */
export const judgeWeight = (context: MedicationContext): readonly Finding[] => {
  const refused = context.weights.filter(
    (reading) =>
      reading.takenAtMs <= context.atMs && !weightInterval(reading, context.animal).usable,
  );
  const weight = weightInForce(context);
  const findings: Finding[] = [];
  const lastRefused = refused.at(-1);
  if (
    lastRefused !== undefined &&
    (weight === undefined || lastRefused.takenAtMs > weight.takenAtMs)
  )
    findings.push(
      found(
        "weight-method",
        weight === undefined ? "block" : "note",
        `A ${lastRefused.method} weight is not used for doses in ${
          context.animal.type === "donkey"
            ? "donkeys without their own chart"
            : lastRefused.method === "estimate"
              ? "any animal: an eye can be 30 % out"
              : "an animal under 100 cm: tapes read about 14 % too heavy"
        }; use a scale.`,
        lastRefused.method === "estimate" ? EYE_ERROR : TAPE_STUDY,
      ),
    );
  if (weight === undefined)
    return [
      ...findings,
      found(
        "weight-missing",
        "block",
        "There is no usable weight on file; weigh first.",
        WEIGHT_RULE,
      ),
    ];
  const maxDays = Math.min(
    context.settings?.weightMaxAgeDays ?? WEIGHT_MAX_AGE_DAYS,
    WEIGHT_MAX_AGE_DAYS,
  );
  const days = Math.floor(weight.ageDays);
  findings.push(
    weight.ageDays > maxDays
      ? found(
          "weight-age",
          "block",
          `The last usable weight, ${weight.weightKg.toFixed(0)} kg, is ${String(days)} days old; over ${String(maxDays)} days blocks a new course. Weigh again.`,
          WEIGHT_RULE,
        )
      : found(
          "weight-age",
          "pass",
          `Weight ${weight.weightKg.toFixed(0)} kg by ${weight.method}, ${String(days)} days old; tested down to ${weight.lowKg.toFixed(0)} kg.`,
          WEIGHT_RULE,
        ),
  );
  return findings;
};
