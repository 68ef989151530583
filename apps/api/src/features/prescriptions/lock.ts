import type { Prescription } from "@heelward/contracts";
import {
  nextPrescriptionState,
  type PrescriptionAction,
  type PrescriptionActor,
} from "@heelward/domain/trim";
import { notFound, Problem } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import * as cases from "../cases/service.ts";
import * as store from "./store.ts";
import { findRow } from "./views.ts";

/** Locks a plan of an open case. @throws Problem when the caller saw another version. */
export const lock = async (
  work: Work,
  id: string,
  seen: number,
): Promise<store.PrescriptionRow> => {
  const locked = await store.lockPrescription(work.tx, id);
  if (locked === null) throw notFound("prescription");
  const row = await findRow(work, id);
  await cases.readOpen(work, row.caseId);
  assertVersion(seen, locked.version);
  return row;
};

/** The state after an action. @throws Problem when this role may not take it from here. */
export const step = (
  row: store.PrescriptionRow,
  action: PrescriptionAction,
  by: PrescriptionActor,
): Prescription["status"] => {
  const judged = nextPrescriptionState(row.status, action, by);
  if (judged.ok) return judged.value;
  throw new Problem(
    row.status === "draft" ? "conflict" : "record-sealed",
    judged.findings[0]?.detail ?? "Not possible from here.",
    { findings: judged.findings, recordId: row.id },
  );
};
