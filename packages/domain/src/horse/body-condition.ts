import type { Finding, Judged } from "../evidence/index.ts";
import { CARTER_NECK, HENNEKE } from "./sources.ts";

/** Body condition 1-9 in plain words. Source: Henneke 1983. */
export const BODY_CONDITION_WORDS: readonly string[] = [
  "poor",
  "very thin",
  "thin",
  "moderately thin",
  "moderate: ribs felt, not seen",
  "moderately fleshy",
  "fleshy",
  "well over target",
  "far over target",
];

/** Cresty neck 0-5 in plain words. Source: Carter 2009. */
export const CRESTY_NECK_WORDS: readonly string[] = [
  "no crest seen or felt",
  "crest felt, not seen",
  "slight crest, bends easily",
  "thick, can be cupped in one hand",
  "large, wrinkles when bent",
  "so large it has fallen to one side for good",
];

export interface BodyCondition {
  readonly score: number;
  readonly words: string;
  readonly band: "under" | "ideal" | "over" | "obese";
}

/**
 * A body condition score, whole or half. Bands: under 4 · ideal 4-6 · over from 6.5 · obese from 8
 * in one survey and from 7 in another study, so 7 is told to the vet as a note.
 */
export const judgeBodyCondition = (score: number): Judged<BodyCondition> => {
  if (!(score >= 1 && score <= 9) || !Number.isInteger(score * 2))
    return {
      ok: false,
      findings: [
        {
          rule: "horse/body-condition@1",
          outcome: "block",
          detail: "Body condition is 1 to 9 in halves.",
          source: HENNEKE,
        },
      ],
    };
  const band: BodyCondition["band"] =
    score < 4 ? "under" : score <= 6 ? "ideal" : score < 8 ? "over" : "obese";
  const findings: readonly Finding[] =
    score >= 7
      ? [
          {
            rule: "horse/body-condition-obese@1",
            outcome: "note",
            detail: `Condition ${String(score)} of 9: one study counts 7 and above as obese, another 8 and above.`,
            source: HENNEKE,
          },
        ]
      : [];
  return {
    ok: true,
    value: { score, words: BODY_CONDITION_WORDS[Math.floor(score) - 1] ?? "", band },
    findings,
  };
};

export interface CrestyNeck {
  readonly score: number;
  readonly words: string;
  readonly cresty: boolean;
}

/** A cresty neck score, whole numbers 0-5; 3 and above counts as cresty. */
export const judgeCrestyNeck = (score: number): Judged<CrestyNeck> => {
  if (!Number.isInteger(score) || score < 0 || score > 5)
    return {
      ok: false,
      findings: [
        {
          rule: "horse/cresty-neck@1",
          outcome: "block",
          detail: "The cresty neck score is a whole number from 0 to 5.",
          source: CARTER_NECK,
        },
      ],
    };
  return {
    ok: true,
    value: { score, words: CRESTY_NECK_WORDS[score] ?? "", cresty: score >= 3 },
    findings: [],
  };
};
