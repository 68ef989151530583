import type { addLabResult } from "@heelward/contracts";
import type { Finding, Judged, Source } from "@heelward/domain/evidence";
import { judgeResult, type LabResult } from "@heelward/domain/medication";
import {
  insulinBand,
  readActh,
  toWorkingUnit,
  type Analyte,
  type InsulinSample,
} from "@heelward/domain/metabolic";
import type { z } from "zod";

export type NewResult = z.output<NonNullable<typeof addLabResult.body>>;

/** An earlier result of the same animal. */
export interface EarlierResult {
  readonly test: string;
  readonly value: number;
  readonly unit: string;
  readonly takenAtMs: number;
}

/** What a result says, before any vet has read it. */
export interface Interpretation {
  /** A word or two for the list; null where nothing is read into the value. */
  readonly reading: string | null;
  readonly findings: readonly Finding[];
  readonly holdAntiInflammatories: boolean;
}

const RANGE: Source = {
  id: "laboratory/own-range",
  citation: "The range printed by the laboratory with this result",
  status: "standard",
};

const ANALYTES: Readonly<Partial<Record<NewResult["test"], Analyte>>> = {
  insulin: "insulin",
  ACTH: "ACTH",
  glucose: "glucose",
  triglycerides: "triglycerides",
  "total protein": "protein",
  albumin: "protein",
  creatinine: "creatinine",
  urea: "urea",
};

const WATCHED: readonly string[] = ["albumin", "total protein", "creatinine", "triglycerides"];

const finding = (
  rule: string,
  outcome: Finding["outcome"],
  detail: string,
  source: Source,
): Finding => ({ rule: `laboratory/${rule}@1`, outcome, detail, source });

const againstRange = (input: NewResult): readonly Finding[] => {
  const { value, rangeLow, rangeHigh, unit } = input;
  if (rangeLow !== undefined && value < rangeLow)
    return [
      finding("range", "note", `Below the laboratory's range, from ${rangeLow} ${unit}.`, RANGE),
    ];
  if (rangeHigh !== undefined && value > rangeHigh)
    return [
      finding("range", "note", `Above the laboratory's range, to ${rangeHigh} ${unit}.`, RANGE),
    ];
  return [];
};

const inWorkingUnit = (
  test: NewResult["test"],
  value: number,
  unit: string,
): ReturnType<typeof toWorkingUnit> => {
  const analyte = ANALYTES[test];
  return analyte === undefined
    ? { ok: true, value: { value, unit, factor: 1 }, findings: [] }
    : toWorkingUnit(analyte, value, unit);
};

const watched = (
  input: NewResult,
  working: { readonly value: number; readonly unit: string; readonly factor: number },
  takenAtMs: number,
  earlier: readonly EarlierResult[],
): Interpretation => {
  const test = input.test as LabResult["test"];
  const unit = working.unit as LabResult["unit"];
  const { value, factor } = working;
  const series = earlier.flatMap((one): LabResult[] => {
    if (one.test !== input.test) return [];
    const converted = inWorkingUnit(input.test, one.value, one.unit);
    return converted.ok
      ? [{ test, value: converted.value.value, unit, takenAtMs: one.takenAtMs }]
      : [];
  });
  const judged = judgeResult(
    {
      test,
      value,
      unit,
      takenAtMs,
      rangeLow: input.rangeLow === undefined ? undefined : input.rangeLow * factor,
      rangeHigh: input.rangeHigh === undefined ? undefined : input.rangeHigh * factor,
    },
    series,
  );
  const outcome = judged.level === "none" ? "pass" : "warn";
  return {
    reading: judged.level === "none" ? null : judged.level,
    findings: [
      finding(
        judged.level === "red" ? "action" : "trend",
        outcome,
        `${judged.text}${judged.falling ? "; falling" : ""}.`,
        judged.source,
      ),
    ],
    holdAntiInflammatories: judged.holdNsaids,
  };
};

/**
 * Reads a result against its own laboratory's range and cut-off, the animal's earlier values and the
 * bands that belong to one method only. A unit that cannot be right is asked back. It flags; a vet
 * reads.
 */
export const interpret = (
  input: NewResult,
  animalType: "horse" | "pony" | "donkey",
  takenAtMs: number,
  earlier: readonly EarlierResult[],
): Judged<Interpretation> => {
  const converted = inWorkingUnit(input.test, input.value, input.unit);
  if (!converted.ok) return converted;
  const { value, factor } = converted.value;
  const range = againstRange(input);
  const beside = [...converted.findings, ...range];
  const plain = (more: Partial<Interpretation> = {}): Judged<Interpretation> => ({
    ok: true,
    value: {
      reading: range.length === 0 ? null : "outside the range",
      holdAntiInflammatories: false,
      ...more,
      findings: [...beside, ...(more.findings ?? [])],
    },
    findings: [],
  });
  if (input.test === "insulin") {
    const read = insulinBand({
      valueUiuPerMl: value,
      assay: input.assay ?? "not stated",
      feeding: (input.feeding ?? "not known") as InsulinSample["feeding"],
    });
    return plain({
      reading: read.band === "not shown" ? null : read.band,
      findings: [
        finding("insulin-band", read.band === "high" ? "warn" : "note", read.text, read.source),
      ],
    });
  }
  if (input.test === "ACTH") {
    const read = readActh({
      valuePgPerMl: value,
      on: input.takenOn,
      assay: input.assay ?? "not stated",
      animalType,
      laboratoryCutoffPgPerMl: input.cutoff === undefined ? undefined : input.cutoff * factor,
    });
    const isRaised = read.reading === "likely" || read.reading === "above the cut-off";
    return plain({
      reading: read.reading === "not shown" ? null : read.reading,
      findings: [
        finding("acth", isRaised ? "warn" : "note", read.text, read.source),
        ...(read.recheckOn === undefined
          ? []
          : [finding("acth-recheck", "note", `Look again by ${read.recheckOn}.`, read.source)]),
      ],
    });
  }
  if (WATCHED.includes(input.test)) {
    const { reading, ...rest } = watched(input, converted.value, takenAtMs, earlier);
    return plain(reading === null ? rest : { ...rest, reading });
  }
  return plain();
};
