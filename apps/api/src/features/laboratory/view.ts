import type { LabResult } from "@heelward/contracts";
import type { LabResultRow } from "./store.ts";

/** A laboratory result as people see it. */
export const labResultView = (row: LabResultRow): LabResult => ({
  ...row,
  findings: [...row.findings],
  readAt: row.readAt?.toISOString() ?? null,
  releasedAt: row.releasedAt?.toISOString() ?? null,
});
