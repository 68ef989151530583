import type { Source } from "../evidence/index.ts";
import { standardUncertaintyOf, type Dual } from "./dual.ts";
import type { ReferenceRange } from "./references.ts";
import { COVERAGE_FACTOR } from "./settings.ts";

export type MeasureUnit = "mm" | "deg" | "ratio" | "%";

export interface Interval {
  readonly low: number;
  readonly high: number;
}

/** Which repeat-reading error applies when two films are compared. */
export type ErrorClass = "distance" | "angle" | "founder" | "own";

/** What a measure is, independent of any film. */
export interface MeasureDefinition<K extends string, L extends string> {
  readonly key: K;
  readonly label: string;
  readonly unit: MeasureUnit;
  readonly definition: string;
  readonly source: Source;
  readonly needs: readonly L[];
  readonly errorClass: ErrorClass;
  /** The angle is to the ground and carries any wedge under the foot. */
  readonly carriesWedge?: true;
  /** Depends on where the beam was centred (palmar angle, sole depth). */
  readonly centringMatters?: true;
  /** A height above the surface the foot stands on: refused when only the ground under a device is marked. */
  readonly aboveFootSurface?: true;
}

/** One measure of one film. `value` is null when it cannot be given; `missing` then says why. */
export interface Measurement<K extends string = string> {
  readonly key: K;
  readonly label: string;
  readonly value: number | null;
  readonly unit: MeasureUnit;
  readonly standardUncertainty: number | null;
  /** 95 % coverage interval, value ± 1.96 u. */
  readonly interval95: Interval | null;
  readonly definition: string;
  readonly source: Source;
  readonly reference?: ReferenceRange;
  /** `outside` only by a cited range that applies to this animal. */
  readonly verdict: "inside" | "outside" | "no reference";
  readonly missing?: string;
}

const interval95Of = (value: number, standardUncertainty: number): Interval => ({
  low: value - COVERAGE_FACTOR.value * standardUncertainty,
  high: value + COVERAGE_FACTOR.value * standardUncertainty,
});

type Described = Pick<
  MeasureDefinition<string, string>,
  "label" | "unit" | "definition" | "source"
>;

/** A measure that could not be given, with the reason. */
export const missingMeasurement = <K extends string>(
  measure: Described & { readonly key: K },
  reason: string,
): Measurement<K> => ({
  key: measure.key,
  label: measure.label,
  value: null,
  unit: measure.unit,
  standardUncertainty: null,
  interval95: null,
  definition: measure.definition,
  source: measure.source,
  verdict: "no reference",
  missing: reason,
});

const verdictOf = (value: number, range: ReferenceRange | undefined): Measurement["verdict"] => {
  if (range === undefined || !range.judges) return "no reference";
  const tooLow = range.low !== null && value < range.low;
  const tooHigh = range.high !== null && value > range.high;
  return tooLow || tooHigh ? "outside" : "inside";
};

/** Turns a computed dual into a measurement, or says why it is not a number. */
export const toMeasurement = <K extends string>(
  measure: Described & { readonly key: K },
  dual: Dual,
  deviations: Float64Array,
  range: ReferenceRange | undefined,
): Measurement<K> => {
  const standardUncertainty = standardUncertaintyOf(dual, deviations);
  if (!Number.isFinite(dual.value) || !Number.isFinite(standardUncertainty)) {
    return missingMeasurement(
      measure,
      "points that should be apart lie on top of each other or on one line",
    );
  }
  return {
    key: measure.key,
    label: measure.label,
    value: dual.value,
    unit: measure.unit,
    standardUncertainty,
    interval95: interval95Of(dual.value, standardUncertainty),
    definition: measure.definition,
    source: measure.source,
    ...(range === undefined ? {} : { reference: range }),
    verdict: verdictOf(dual.value, range),
  };
};
