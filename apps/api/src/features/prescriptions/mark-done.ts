import { nextPrescriptionState } from "@heelward/domain/trim";
import { badField, Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import * as store from "./store.ts";
import { findRow } from "./views.ts";

/** Marks a plan as carried out, inside the transaction of the shoeing record. */
export const markDone = async (
  work: Work,
  id: string,
  horseId: string,
): Promise<store.PrescriptionRow> => {
  const locked = await store.lockPrescription(work.tx, id);
  if (locked === null || locked.horseId !== horseId)
    throw badField("/prescriptionId", "is not a prescription of this horse");
  const row = await findRow(work, id);
  const judged = nextPrescriptionState(row.status, "record-done", "farrier");
  if (!judged.ok)
    throw new Problem(
      "conflict",
      row.status === "draft"
        ? "This plan is a draft, not signed: do not work from it."
        : row.status === "superseded"
          ? "This plan was replaced; look at the current one first."
          : `This plan is ${row.status}; accept it before you record the work.`,
      { recordId: id, findings: judged.findings },
    );
  await work.tx.prescription.updateMany({
    where: { id },
    data: { status: judged.value, version: row.version + 1 },
  });
  return row;
};
