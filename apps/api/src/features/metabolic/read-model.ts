import type { Work } from "../../http/work.ts";
import { findFeedingPlans, findScores, type FeedingRow, type ScoreRow } from "./store.ts";

export type { FeedingRow as Ration, ScoreRow as Score } from "./store.ts";

/** Five-sign scores, condition and red flags of horses, oldest first. */
export const scoresOf = (work: Work, horseIds: readonly string[]): Promise<ScoreRow[]> =>
  findScores(work.tx, horseIds);

/** The rations in force of the horses in sight. */
export const rationsInForce = (work: Work): Promise<FeedingRow[]> =>
  findFeedingPlans(work.tx, { current: true });
