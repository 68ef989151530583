import type { Source } from "../evidence/index.ts";

const KNOWLES: Source = {
  id: "paper/knowles-2023",
  citation:
    "Knowles et al. 2023, 374 non-laminitic ponies followed 4 years: basal and 60-minute insulin and the later rate of laminitis. One region, one assay",
  status: "published",
};
const CONSULT: Source = {
  id: "book/5-minute-consult-3",
  citation:
    "Five-Minute Veterinary Consult: Equine, 3rd ed.: 0.15 mL/kg corn syrup, insulin above 45 uIU/mL at 60-90 min",
  status: "published",
};
const EEG_MEMORY: Source = {
  id: "memory/eeg-insulin",
  citation:
    "Equine endocrinology group 2020/2022, recalled: 0.45 mL/kg syrup above 65 uIU/mL; basal 20 and 50",
  status: "from memory",
};
const PELLETS: Source = {
  id: "paper/glycaemic-pellets-2022",
  citation:
    "PMC9889680 (2022, 157 animals): glycaemic pellets 0.5 g/kg, best cut-off 83 uIU/mL (70-99) at 120 min",
  status: "published",
};
const FEED_MEMORY: Source = {
  id: "memory/in-feed-glucose",
  citation:
    "In-feed glucose 1 g/kg at 2 h, cut-off about 85 uIU/mL, recalled; Smith 2016 for the timing",
  status: "from memory",
};

/** The method the bands belong to. Results of another method get no band. */
export interface InsulinBands {
  readonly test: "basal" | "60 min after 0.3 mL/kg syrup";
  readonly assay: string;
  readonly lowBelow: number;
  readonly highAbove: number;
  /** `>=` counts as high in the syrup test, `>` in the basal one, as printed. */
  readonly highAtEqual: boolean;
  readonly fourYearRatePercent: {
    readonly low: number;
    readonly middle: number;
    readonly high: number;
  };
  readonly source: Source;
}

/** Assay name to store with the practice's own laboratory when it uses the method of the study. */
export const STUDY_ASSAY = "chemiluminescent, as in Knowles 2023";

export const BASAL_BANDS: InsulinBands = {
  test: "basal",
  assay: STUDY_ASSAY,
  lowBelow: 21.6,
  highAbove: 45.2,
  highAtEqual: false,
  fourYearRatePercent: { low: 6, middle: 22, high: 69 },
  source: KNOWLES,
};

export const SYRUP_60_BANDS: InsulinBands = {
  test: "60 min after 0.3 mL/kg syrup",
  assay: STUDY_ASSAY,
  lowBelow: 53.4,
  highAbove: 153,
  highAtEqual: true,
  fourYearRatePercent: { low: 3, middle: 20, high: 73 },
  source: KNOWLES,
};

export type InsulinBandReading =
  | {
      readonly band: "low" | "middle" | "high";
      readonly text: string;
      readonly source: Source;
    }
  | { readonly band: "not shown"; readonly text: string; readonly source: Source };

/** Conditions under which a basal value may be read at all. */
export interface InsulinSample {
  readonly valueUiuPerMl: number;
  readonly assay: string;
  /** Hay only, no hard feed. Fasting hides cases; grain feigns them. */
  readonly feeding: "hay only" | "fasted" | "hard feed" | "not known";
}

/**
 * The risk band of a result, only for the method the band was made with. The band is a rate in one
 * group of ponies, never a diagnosis.
 */
export const insulinBand = (
  sample: InsulinSample,
  bands: InsulinBands = BASAL_BANDS,
): InsulinBandReading => {
  const none = (text: string): InsulinBandReading => ({
    band: "not shown",
    text,
    source: bands.source,
  });
  if (sample.assay !== bands.assay)
    return none("Different method: the band belongs to one laboratory method and is not shown.");
  if (bands.test === "basal" && sample.feeding !== "hay only")
    return none(
      sample.feeding === "fasted"
        ? "Taken fasted: about 3 in 10 affected horses look clear then; no band shown."
        : "Needs hay only and no hard feed before the sample; no band shown.",
    );
  const value = sample.valueUiuPerMl;
  const high = bands.highAtEqual ? value >= bands.highAbove : value > bands.highAbove;
  const band = high ? "high" : value < bands.lowBelow ? "low" : "middle";
  return {
    band,
    text: `${band}: in one group of ponies about ${String(bands.fourYearRatePercent[band])} % had laminitis within four years.`,
    source: bands.source,
  };
};

export type SugarTestKey =
  | "syrup 0.15 mL/kg"
  | "syrup 0.45 mL/kg"
  | "pellets 0.5 g/kg"
  | "in-feed glucose 1 g/kg";

export interface SugarTest {
  readonly key: SugarTestKey;
  readonly dosePerKg: number;
  readonly doseUnit: "mL" | "g";
  readonly fromMinute: number;
  readonly toMinute: number;
  /** Strictly above counts as positive. */
  readonly cutoffUiuPerMl: number;
  readonly source: Source;
}

/** Dynamic tests. Cut-offs of one must never be used for another: the high dose reads 35-44 % higher. */
export const SUGAR_TESTS: readonly SugarTest[] = [
  {
    key: "syrup 0.15 mL/kg",
    dosePerKg: 0.15,
    doseUnit: "mL",
    fromMinute: 60,
    toMinute: 90,
    cutoffUiuPerMl: 45,
    source: CONSULT,
  },
  {
    key: "syrup 0.45 mL/kg",
    dosePerKg: 0.45,
    doseUnit: "mL",
    fromMinute: 60,
    toMinute: 90,
    cutoffUiuPerMl: 65,
    source: EEG_MEMORY,
  },
  {
    key: "pellets 0.5 g/kg",
    dosePerKg: 0.5,
    doseUnit: "g",
    fromMinute: 110,
    toMinute: 130,
    cutoffUiuPerMl: 83,
    source: PELLETS,
  },
  {
    key: "in-feed glucose 1 g/kg",
    dosePerKg: 1,
    doseUnit: "g",
    fromMinute: 110,
    toMinute: 130,
    cutoffUiuPerMl: 85,
    source: FEED_MEMORY,
  },
];

/** Amount of sugar for an animal. */
export const sugarTestDose = (key: SugarTestKey, weightKg: number): number => {
  const test = SUGAR_TESTS.find((entry) => entry.key === key);
  return test === undefined ? 0 : test.dosePerKg * weightKg;
};

export interface SugarTestReading {
  readonly result: "positive" | "not positive" | "not readable";
  readonly text: string;
  readonly source: Source;
}

/** Reads a dynamic test at its own cut-off; a sample at the wrong minute is not read. */
export const readSugarTest = (
  key: SugarTestKey,
  insulinUiuPerMl: number,
  minute: number,
): SugarTestReading => {
  const test = SUGAR_TESTS.find((entry) => entry.key === key) ?? SUGAR_TESTS[0];
  if (test === undefined || minute < test.fromMinute || minute > test.toMinute)
    return {
      result: "not readable",
      text: `A sample at ${String(minute)} minutes cannot be read; this test wants ${String(test?.fromMinute)}-${String(test?.toMinute)}.`,
      source: test?.source ?? CONSULT,
    };
  const positive = insulinUiuPerMl > test.cutoffUiuPerMl;
  return {
    result: positive ? "positive" : "not positive",
    text: `${String(insulinUiuPerMl)} µIU/mL at ${String(minute)} min; cut-off for ${key} is above ${String(test.cutoffUiuPerMl)}.`,
    source: test.source,
  };
};
