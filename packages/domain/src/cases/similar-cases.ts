import type { Setting } from "../evidence/index.ts";
import { HOUSE_CASE_RULES } from "./sources.ts";

/**
 * What counts as near, for the practice to confirm: one step of each measure weighs as much as another
 * cause. A horse is similar when it lies within one step in all.
 */
export const SIMILAR_CASE_SETTINGS = {
  rotationStep: {
    key: "cases.similar-rotation-step",
    value: 5,
    unit: "°",
    source: HOUSE_CASE_RULES,
    since: "2026-01-01",
    change: "fixed",
  },
  founderStep: {
    key: "cases.similar-founder-step",
    value: 4,
    unit: "mm",
    source: HOUSE_CASE_RULES,
    since: "2026-01-01",
    change: "fixed",
  },
  leastCases: {
    key: "cases.similar-least",
    value: 5,
    unit: "cases",
    source: HOUSE_CASE_RULES,
    since: "2026-01-01",
    change: "fixed",
  },
} as const satisfies Record<string, Setting<number>>;

const CAUSE_WORDS = {
  "insulin trouble or PPID": /insulin|ppid|metabolic|endocrin|cushing|pasture|grass/u,
  "illness elsewhere": /seps|colic|colitis|diarrh|afterbirth|placent|grain|metritis|pneumon/u,
  "load of the other leg": /support|contralateral|other leg|fracture|cast/u,
  "hard ground or trauma": /concussi|trauma|road|hard ground|mechanical/u,
  steroid: /steroid|cortico/u,
} as const;
export type CauseGroup = keyof typeof CAUSE_WORDS | "other";

/** The group a cause in the vet's own words belongs to; `undefined` while it is not known. */
export const causeGroupOf = (cause: string | null): CauseGroup | undefined => {
  const words = cause?.trim().toLowerCase() ?? "";
  if (words === "") return undefined;
  const found = Object.entries(CAUSE_WORDS).find(([, pattern]) => pattern.test(words));
  return (found?.[0] as CauseGroup | undefined) ?? "other";
};

/** A case as it came: the worst foot of the first measured films. */
export interface CaseShape {
  readonly caseId: string;
  readonly practiceId: string;
  readonly horseId: string;
  readonly cause: CauseGroup;
  readonly rotationDegrees: number;
  readonly founderDistanceMm: number;
  readonly outcome: string;
}

/** How far two cases lie apart, in steps: 0 for the same, the same both ways, never by a detour shorter. */
export const caseDistance = (
  a: Pick<CaseShape, "cause" | "rotationDegrees" | "founderDistanceMm">,
  b: Pick<CaseShape, "cause" | "rotationDegrees" | "founderDistanceMm">,
): number =>
  Math.hypot(
    a.cause === b.cause ? 0 : 1,
    (a.rotationDegrees - b.rotationDegrees) / SIMILAR_CASE_SETTINGS.rotationStep.value,
    (a.founderDistanceMm - b.founderDistanceMm) / SIMILAR_CASE_SETTINGS.founderStep.value,
  );

export interface SimilarCases {
  /** Horses found; `undefined` when there are too few to say anything. */
  readonly count: number | undefined;
  readonly outcomes: readonly { readonly outcome: string; readonly count: number }[];
  readonly nearest: readonly { readonly caseId: string; readonly distance: number }[];
}

/**
 * Cases of other horses of the same practice within one step, one case a horse, nearest first, with how
 * they ended. Below the least number nothing is told: a few horses are stories, and a reader would count.
 */
export const similarCases = (subject: CaseShape, records: readonly CaseShape[]): SimilarCases => {
  const near = records
    .filter((one) => one.practiceId === subject.practiceId && one.horseId !== subject.horseId)
    .map((one) => ({ one, distance: caseDistance(subject, one) }))
    .filter(({ distance }) => distance <= 1)
    .toSorted((a, b) => a.distance - b.distance || a.one.caseId.localeCompare(b.one.caseId));
  const found = near.filter(
    ({ one }, index) => near.findIndex((other) => other.one.horseId === one.horseId) === index,
  );
  if (found.length < SIMILAR_CASE_SETTINGS.leastCases.value)
    return { count: undefined, outcomes: [], nearest: [] };
  const outcomes = new Map<string, number>();
  for (const { one } of found) outcomes.set(one.outcome, (outcomes.get(one.outcome) ?? 0) + 1);
  return {
    count: found.length,
    outcomes: [...outcomes]
      .map(([outcome, count]) => ({ outcome, count }))
      .toSorted((a, b) => b.count - a.count || a.outcome.localeCompare(b.outcome)),
    nearest: found.map(({ one, distance }) => ({ caseId: one.caseId, distance })),
  };
};
