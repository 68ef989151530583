import type { LabResult } from "@heelward/contracts";
import type { Work } from "../../http/work.ts";
import { findLabResults } from "./store.ts";
import { labResultView } from "./view.ts";

/** Laboratory results of a horse for its case file, latest first. */
export const labResultsOf = async (work: Work, horseId: string): Promise<LabResult[]> =>
  (await findLabResults(work.tx, { horseId, limit: 500 })).map(labResultView);
