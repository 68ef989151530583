import type { Finding, Judged } from "../evidence/index.ts";
import { FIVE_SIGN } from "./sources.ts";

/** The five signs of the 0-12 pain score. Source: {@link FIVE_SIGN}. */
export const FIVE_SIGNS = [
  "weight shifting",
  "lifting a forefoot",
  "walk",
  "turning in a circle",
  "digital pulse",
] as const;
export type FiveSign = (typeof FIVE_SIGNS)[number];

export const FIVE_SIGN_TOTAL = { least: 0, most: 12 } as const;

export interface FiveSignScore {
  readonly total: number;
  /** Points per sign, when the scorer wrote them down. */
  readonly signs?: Readonly<Partial<Record<FiveSign, number>>>;
}

const refusal = (detail: string, field: string): Finding => ({
  rule: "examination/five-sign@1",
  outcome: "block",
  detail,
  source: FIVE_SIGN,
  field,
});

/**
 * Checks a five-sign score. The points allowed for each sign could not be read from the published
 * table, so per-sign points are kept only when they are whole, not negative, and, if all five are
 * given, add up to the total; if some are missing they may not exceed it.
 */
export const judgeFiveSignScore = (
  total: number,
  signs?: Readonly<Partial<Record<FiveSign, number>>>,
): Judged<FiveSignScore> => {
  if (!Number.isInteger(total) || total < FIVE_SIGN_TOTAL.least || total > FIVE_SIGN_TOTAL.most)
    return {
      ok: false,
      findings: [refusal("The five-sign score is a whole number from 0 to 12.", "/total")],
    };
  if (signs === undefined) return { ok: true, value: { total }, findings: [] };
  const given = FIVE_SIGNS.flatMap((sign) => {
    const points = signs[sign];
    return points === undefined ? [] : [points];
  });
  if (given.some((points) => !Number.isInteger(points) || points < 0))
    return {
      ok: false,
      findings: [refusal("Points per sign are whole numbers from 0.", "/signs")],
    };
  const sum = given.reduce((left, right) => left + right, 0);
  const complete = given.length === FIVE_SIGNS.length;
  if (complete ? sum !== total : sum > total)
    return {
      ok: false,
      findings: [
        refusal(
          `The signs add up to ${String(sum)}, the total says ${String(total)}; correct one of them.`,
          "/signs",
        ),
      ],
    };
  return { ok: true, value: { total, signs }, findings: [] };
};
