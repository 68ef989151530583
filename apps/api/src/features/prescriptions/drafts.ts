import type { Prescription } from "@heelward/contracts";
import type { Work } from "../../http/work.ts";
import { judge } from "./judge.ts";
import * as store from "./store.ts";
import { view } from "./views.ts";

/** A plan nobody has signed, with what the rules say of it at this moment. */
export interface DraftPlan {
  readonly plan: Prescription;
  readonly draftedAt: Date;
}

/** Every drafted plan of an open case in sight, oldest first. */
export const draftPlans = async (work: Work): Promise<readonly DraftPlan[]> => {
  const known = await work.tx.prescription.findMany({
    where: { status: "draft" },
    select: { id: true, createdAt: true, caseId: true },
    orderBy: [{ createdAt: "asc" }, { id: "asc" }],
  });
  const open = new Set(
    (
      await work.tx.case.findMany({
        where: { id: { in: known.map((one) => one.caseId) }, phase: { not: "closed" } },
        select: { id: true },
      })
    ).map((one) => one.id),
  );
  const rows = await store.findPrescriptions(work.tx, { statuses: ["draft"] });
  const drafts: DraftPlan[] = [];
  for (const { id, createdAt } of known) {
    const row = rows.find((one) => one.id === id && open.has(one.caseId));
    if (row === undefined) continue;
    // oxlint-disable-next-line no-await-in-loop -- one connection, and drafts are few
    const findings = await judge(work, row, undefined);
    drafts.push({ plan: { ...view(row), findings: [...findings] }, draftedAt: createdAt });
  }
  return drafts;
};
