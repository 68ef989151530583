import type { addLabResult, LabResult as LabResultView } from "@heelward/contracts";
import type { Finding, Judged, Source } from "@heelward/domain/evidence";
import { judgeResult, type LabResult } from "@heelward/domain/medication";
import {
  insulinBand,
  monthCutoff,
  MONTH_TABLE_ASSAY,
  readActh,
  readSugarTest,
  readTrh,
  SUGAR_TESTS,
  SYRUP_60_BANDS,
  BASAL_BANDS,
  toWorkingUnit,
  type Analyte,
  type Hemisphere,
  type InsulinBands,
  type InsulinSample,
} from "@heelward/domain/metabolic";
import { dayText } from "@heelward/domain/time";
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
  /** The cut-offs it was read against, kept with it; null where none belong to its method. */
  readonly reference: LabResultView["reference"];
}

/** What the reading needs to know of the animal and its place. */
export interface SampleOf {
  readonly type: "horse" | "pony" | "donkey";
  readonly hemisphere: Hemisphere;
  readonly takenAtMs: number;
}

const RANGE: Source = {
  id: "laboratory/own-range",
  citation: "The range printed by the laboratory with this result",
  status: "standard",
};

const ANALYTES: Readonly<Record<string, Analyte | undefined>> = {
  insulin: "insulin",
  ACTH: "ACTH",
  glucose: "glucose",
  triglycerides: "triglycerides",
  "total protein": "protein",
  albumin: "protein",
  creatinine: "creatinine",
  urea: "urea",
  "beta-hydroxybutyrate": "beta-hydroxybutyrate",
};

/** Tests whose course over time is judged. */
export const WATCHED: readonly string[] = [
  "albumin",
  "total protein",
  "creatinine",
  "triglycerides",
];

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

/** A value in the unit the rules work in; tests without one stay as they are. */
export const inWorkingUnit = (
  test: string,
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
    reference: null,
  };
};

const seasonOf = (on: string, hemisphere: Hemisphere): string =>
  `${new Intl.DateTimeFormat("en-GB", { month: "long", timeZone: "UTC" }).format(new Date(`${on}T00:00:00Z`))}, ${hemisphere === "north" ? "northern" : "southern"} half`;

/** The bands of one method as they are kept with a result. */
const ofBands = (
  bands: InsulinBands,
  on: string,
  hemisphere: Hemisphere,
): LabResultView["reference"] => ({
  place: "one group of ponies",
  assay: bands.assay,
  season: seasonOf(on, hemisphere),
  low: bands.lowBelow,
  high: bands.highAbove,
  unit: "µIU/mL",
  source: bands.source,
});

/** Words of the protocol of the syrup test whose bands were made at 60 minutes. */
const BANDED_SYRUP = "syrup 0.3 mL/kg";

const insulinReading = (
  input: NewResult,
  value: number,
  { hemisphere }: SampleOf,
): Pick<Interpretation, "reading" | "findings" | "reference"> => {
  const assay = input.assay ?? "not stated";
  const test = SUGAR_TESTS.find(({ key }) => key === input.protocol);
  if (test !== undefined) {
    const read = readSugarTest(test.key, value, input.minute ?? 0);
    return {
      reading: read.result === "not readable" ? null : read.result,
      findings: [
        finding("sugar-test", read.result === "positive" ? "warn" : "note", read.text, read.source),
      ],
      reference:
        read.result === "not readable"
          ? null
          : {
              place: test.key,
              assay,
              season: seasonOf(input.takenOn, hemisphere),
              low: test.cutoffUiuPerMl,
              high: test.cutoffUiuPerMl,
              unit: "µIU/mL",
              source: test.source,
            },
    };
  }
  const bands = input.protocol === BANDED_SYRUP ? SYRUP_60_BANDS : BASAL_BANDS;
  if (input.protocol === BANDED_SYRUP && input.minute !== 60)
    return {
      reading: null,
      findings: [
        finding(
          "sugar-test",
          "note",
          `A sample at ${input.minute ?? 0} minutes cannot be read; these bands belong to exactly 60.`,
          bands.source,
        ),
      ],
      reference: null,
    };
  const read = insulinBand(
    {
      valueUiuPerMl: value,
      assay,
      feeding: (input.feeding ?? "not known") as InsulinSample["feeding"],
    },
    bands,
  );
  return {
    reading: read.band === "not shown" ? null : read.band,
    findings: [
      finding("insulin-band", read.band === "high" ? "warn" : "note", read.text, read.source),
    ],
    reference: read.band === "not shown" ? null : ofBands(bands, input.takenOn, hemisphere),
  };
};

const acthReading = (
  input: NewResult,
  value: number,
  factor: number,
  { type, hemisphere }: SampleOf,
): Pick<Interpretation, "reading" | "findings" | "reference"> => {
  if (input.protocol === "TRH stimulation") {
    const read = readTrh(value, input.minute ?? 0, input.takenOn, hemisphere);
    return {
      reading: read.reading === "not readable" ? null : read.reading,
      findings: [
        finding("trh", read.reading === "positive" ? "warn" : "note", read.text, read.source),
      ],
      reference: null,
    };
  }
  const own = input.cutoff === undefined ? undefined : input.cutoff * factor;
  const read = readActh({
    valuePgPerMl: value,
    on: input.takenOn,
    assay: input.assay ?? "not stated",
    hemisphere,
    animalType: type,
    laboratoryCutoffPgPerMl: own,
  });
  const isRaised = read.reading === "likely" || read.reading === "above the cut-off";
  const used =
    own !== undefined
      ? {
          place: input.laboratory ?? "the laboratory",
          assay: input.assay ?? "not stated",
          low: own,
          high: own,
        }
      : read.reading === "not shown"
        ? undefined
        : {
            ...monthCutoff(input.takenOn, hemisphere),
            low: monthCutoff(input.takenOn, hemisphere).unlikelyBelow,
            high: monthCutoff(input.takenOn, hemisphere).likelyAbove,
            assay: MONTH_TABLE_ASSAY,
          };
  return {
    reading: read.reading === "not shown" ? null : read.reading,
    findings: [
      finding("acth", isRaised ? "warn" : "note", read.text, read.source),
      ...(read.recheckOn === undefined
        ? []
        : [
            finding(
              "acth-recheck",
              "note",
              `Look again by ${dayText(read.recheckOn)}.`,
              read.source,
            ),
          ]),
    ],
    reference:
      used === undefined
        ? null
        : {
            place: used.place,
            assay: used.assay,
            season: seasonOf(input.takenOn, hemisphere),
            low: used.low,
            high: used.high,
            unit: "pg/mL",
            source: read.source,
          },
  };
};

/**
 * Reads a result against its own laboratory's range and cut-off, the animal's earlier values and the
 * bands that belong to one method only. A unit that cannot be right is asked back. It flags; a vet
 * reads.
 */
export const interpret = (
  input: NewResult,
  sample: SampleOf,
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
      reference: null,
      ...more,
      findings: [...beside, ...(more.findings ?? [])],
    },
    findings: [],
  });
  if (input.test === "insulin") return plain(insulinReading(input, value, sample));
  if (input.test === "ACTH") return plain(acthReading(input, value, factor, sample));
  if (WATCHED.includes(input.test)) {
    const { reading, ...rest } = watched(input, converted.value, sample.takenAtMs, earlier);
    return plain(reading === null ? rest : { ...rest, reading });
  }
  return plain();
};
