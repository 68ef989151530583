import type { Source } from "../evidence/index.ts";
import type { InstantMs } from "../time/index.ts";

/** A laboratory result in the unit named, with the laboratory's own range when it gives one. */
export interface LabResult {
  readonly test: "albumin" | "total protein" | "creatinine" | "triglycerides";
  readonly value: number;
  /** g/L for proteins, µmol/L for creatinine, mmol/L for triglycerides. Convert before asking. */
  readonly unit: "g/L" | "µmol/L" | "mmol/L";
  readonly takenAtMs: InstantMs;
  readonly rangeLow?: number | undefined;
  readonly rangeHigh?: number | undefined;
}

export interface ResultJudgement {
  readonly level: "none" | "amber" | "red";
  readonly change: number | undefined;
  readonly changePercent: number | undefined;
  /** Two or more falls in a row, whatever the size. */
  readonly falling: boolean;
  readonly holdNsaids: boolean;
  readonly text: string;
  readonly source: Source;
}

/** Action limits. Those marked house rule were found in no guideline. */
export const RESULT_LIMITS = {
  creatinineRiseUmol: 26.5,
  creatinineRisePercent: 50,
  proteinFallAmberPercent: 10,
  proteinFallRedPercent: 20,
  totalProteinRedGramsPerLitre: 50,
  albuminFallAmberGramsPerLitre: 4,
  albuminRedGramsPerLitre: 22,
  triglyceridesAlert: 2,
  triglyceridesStop: 5,
} as const;

const KIDNEY: Source = {
  id: "published/equine-aki",
  citation:
    "South African equine veterinary congress 2015, p. 15-16: acute kidney injury = creatinine up 26.5 umol/L (0.3 mg/dL) or 50 % above own baseline",
  status: "published",
};
const PROTEIN: Source = {
  id: "house/protein-action",
  citation:
    "House limits: total protein down 10 % or albumin down 4 g/L amber; total protein under 50, albumin under 22 g/L or a fall of 20 % red. That protein falls first: paired trial of the maker's dose, 1983",
  status: "house rule",
};
const FATS: Source = {
  id: "house/triglycerides-action",
  citation:
    "House limits on SGLT2 inhibitors: above 2 mmol/L alert and repeat in 7 days, above 5 withhold. Triglycerides above 2 in 10 of 48 horses on these drugs",
  status: "house rule",
};

const SLACK = 1e-9;

const judgeProtein = (result: LabResult, baseline: LabResult | undefined) => {
  const fall = baseline === undefined ? 0 : baseline.value - result.value;
  const fallPercent = baseline === undefined ? 0 : (100 * fall) / baseline.value;
  const floor =
    result.test === "albumin"
      ? RESULT_LIMITS.albuminRedGramsPerLitre
      : RESULT_LIMITS.totalProteinRedGramsPerLitre;
  if (result.value < floor || fallPercent >= RESULT_LIMITS.proteinFallRedPercent - SLACK)
    return "red";
  const amber =
    result.test === "albumin"
      ? fall >= RESULT_LIMITS.albuminFallAmberGramsPerLitre - SLACK
      : fallPercent >= RESULT_LIMITS.proteinFallAmberPercent - SLACK;
  return amber ? "amber" : "none";
};

const judgeCreatinine = (result: LabResult, baseline: LabResult | undefined) =>
  baseline !== undefined &&
  (result.value - baseline.value >= RESULT_LIMITS.creatinineRiseUmol - SLACK ||
    result.value >= baseline.value * (1 + RESULT_LIMITS.creatinineRisePercent / 100) - SLACK)
    ? "red"
    : "none";

const judgeFats = (result: LabResult) =>
  result.value > RESULT_LIMITS.triglyceridesStop
    ? "red"
    : result.value > RESULT_LIMITS.triglyceridesAlert
      ? "amber"
      : "none";

const outsideRange = ({ value, rangeLow, rangeHigh }: LabResult): string =>
  rangeLow !== undefined && value < rangeLow
    ? ", below the laboratory's range"
    : rangeHigh !== undefined && value > rangeHigh
      ? ", above the laboratory's range"
      : "";

/**
 * A result against the animal's own first value and against fixed floors. `earlier` are results of
 * the same test and unit in any order; the oldest is the baseline. It flags; a vet interprets.
 */
export const judgeResult = (result: LabResult, earlier: readonly LabResult[]): ResultJudgement => {
  const series = earlier
    .filter(
      (other) =>
        other.test === result.test &&
        other.unit === result.unit &&
        other.takenAtMs < result.takenAtMs,
    )
    .toSorted((a, b) => a.takenAtMs - b.takenAtMs);
  const baseline = series[0];
  const all = [...series, result];
  const falling =
    all.length >= 3 &&
    all.slice(-3).every((entry, index, last) => {
      const before = last[index - 1];
      return before === undefined || entry.value < before.value;
    });
  const isProtein = result.test === "albumin" || result.test === "total protein";
  const limit = isProtein
    ? judgeProtein(result, baseline)
    : result.test === "creatinine"
      ? judgeCreatinine(result, baseline)
      : judgeFats(result);
  const level = limit === "none" && isProtein && falling ? "amber" : limit;
  const change = baseline === undefined ? undefined : result.value - baseline.value;
  const changePercent =
    baseline === undefined || change === undefined ? undefined : (100 * change) / baseline.value;
  return {
    level,
    change,
    changePercent,
    falling: isProtein && falling,
    holdNsaids: level === "red" && result.test !== "triglycerides",
    text: `${result.test} ${String(result.value)} ${result.unit}${
      changePercent === undefined
        ? ""
        : ` (${changePercent >= 0 ? "+" : "−"}${Math.abs(changePercent).toFixed(1)} % on the first)`
    }${outsideRange(result)}`,
    source: isProtein ? PROTEIN : result.test === "creatinine" ? KIDNEY : FATS,
  };
};
