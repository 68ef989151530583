import type { Source } from "../evidence/index.ts";
import { MS_PER_HOUR, type InstantMs } from "../time/index.ts";

/** One figure of a sport's list: a detection time in hours after the last dose. */
export interface DetectionTime {
  readonly drugKey: string;
  readonly hours: number;
  /** Name and date of the list it was read in. */
  readonly list: string;
  readonly listDate: string;
  readonly source: Source;
}

const MEMORY: Source = {
  id: "memory/detection-times",
  citation: "International federation list, hours recalled; the list itself was not read",
  status: "from memory",
};
const ANNOUNCED_2011: Source = {
  id: "published/meloxicam-detection-2011",
  citation: "International federation announcement 2011: meloxicam 72 h by vein or mouth",
  status: "published",
};

/** Where the start has no figure: nothing is known until the practice enters its list. */
export const NO_DETECTION_TIME: Source = {
  id: "house/no-detection-time",
  citation:
    "No figure read in any list: enter the hours of the list in force, its name and its date",
  status: "house rule",
};

/** Figures to start from. All but meloxicam are recalled: the practice enters the list in force. */
export const DETECTION_TIMES: readonly DetectionTime[] = [
  {
    drugKey: "meloxicam",
    hours: 72,
    list: "international list",
    listDate: "2011",
    source: ANNOUNCED_2011,
  },
  ...(
    [
      ["phenylbutazone", 168],
      ["flunixin", 144],
      ["ketoprofen", 96],
      ["acepromazine", 144],
      ["lidocaine-infusion", 60],
    ] as const
  ).map(([drugKey, hours]) => ({
    drugKey,
    hours,
    list: "international list",
    listDate: "not known",
    source: MEMORY,
  })),
];

export interface ClearTime {
  readonly earliestMs: InstantMs;
  readonly list: string;
  readonly listDate: string;
  readonly verified: boolean;
  readonly caution: string;
}

/**
 * Earliest instant a list would call clear after the last dose; undefined when the list has no
 * figure. A detection time is not a withdrawal time and no defence.
 */
export const earliestClear = (
  drugKey: string,
  lastDoseAtMs: InstantMs,
  list: readonly DetectionTime[] = DETECTION_TIMES,
): ClearTime | undefined => {
  const row = list.find((entry) => entry.drugKey === drugKey);
  return row === undefined
    ? undefined
    : {
        earliestMs: lastDoseAtMs + row.hours * MS_PER_HOUR,
        list: row.list,
        listDate: row.listDate,
        verified: row.source.status !== "from memory",
        caution:
          "Detection time is not withdrawal time: the vet adds a margin for the horse, the dose and the length of treatment. A laminitic horse in pain does not compete.",
      };
};

/** How long prescription and supply records are kept, in years. Source: national law. */
export const RETENTION_YEARS = {
  UK: {
    years: 5,
    source: {
      id: "law/vmr-records",
      citation: "Veterinary Medicines Regulations (UK): records of receipt and supply 5 years",
      status: "law",
    },
  },
  EU: {
    years: 5,
    source: {
      id: "memory/eu-records",
      citation: "Regulation (EU) 2019/6, records 5 years (period recalled)",
      status: "from memory",
    },
  },
  US: {
    years: 2,
    source: {
      id: "law/21-cfr-530-5",
      citation: "Federal extra-label records 2 years; state law often longer",
      status: "law",
    },
  },
  general: {
    years: 5,
    source: { id: "house/retention", citation: "Longest of the above", status: "house rule" },
  },
} as const satisfies Record<string, { readonly years: number; readonly source: Source }>;
