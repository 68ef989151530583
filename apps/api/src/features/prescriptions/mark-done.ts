import { nextPrescriptionState } from "@heelward/domain/trim";
import { badField, Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import * as store from "./store.ts";
import { findRow } from "./views.ts";

/**
 * The plan a farrier followed without knowing that it was replaced or withdrawn meanwhile; it stays as
 * it is, and the plan in force stays open.
 *
 * @throws Problem `conflict` when the plan is in force after all, or never was
 */
export const readReplaced = async (
  work: Work,
  id: string,
  horseId: string,
): Promise<store.PrescriptionRow> => {
  const locked = await store.lockPrescription(work.tx, id);
  if (locked === null || locked.horseId !== horseId)
    throw badField("/prescriptionId", "is not a prescription of this horse");
  const row = await findRow(work, id);
  if (row.signedAt === null || !["superseded", "withdrawn", "done"].includes(row.status))
    throw new Problem("conflict", `This plan is ${row.status}; it was not replaced.`, {
      recordId: id,
    });
  return row;
};

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
