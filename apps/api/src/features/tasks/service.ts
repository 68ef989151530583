import type { CaseTask, finishCaseTask } from "@heelward/contracts";
import type { Role } from "@heelward/domain/access";
import { localDateOf, type LocalDate } from "@heelward/domain/time";
import type { Foot } from "@heelward/domain/trim";
import type { z } from "zod";
import { hasRole } from "../../http/actor.ts";
import { dayColumn, isoOrNull } from "../../http/dates.ts";
import { newId } from "../../http/new-id.ts";
import { notFound, Problem } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import * as cases from "../cases/service.ts";
import { assertPhotos } from "../documents/photos.ts";
import * as store from "./store.ts";

type Outcome = z.output<NonNullable<typeof finishCaseTask.body>>;

const stateOf = (row: store.CaseTaskRow, today: LocalDate): CaseTask["state"] => {
  if (row.setAside) return "set aside";
  if (row.doneAt !== null || row.hasFilm) return "done";
  if (row.dueOn < today) return "late";
  return row.opensOn <= today ? "due" : "to come";
};

const view = (row: store.CaseTaskRow, nowMs: number): CaseTask => ({
  ...row,
  state: stateOf(row, localDateOf(nowMs, row.timeZone)),
  doneAt: isoOrNull(row.doneAt),
});

const findRow = async ({ tx }: Work, id: string): Promise<store.CaseTaskRow> => {
  const [row] = await store.findCaseTasks(tx, { id });
  if (row === undefined) throw notFound("task");
  return row;
};

export const list = async (work: Work, caseId: string): Promise<{ items: CaseTask[] }> => {
  await cases.read(work, caseId);
  const rows = await store.findCaseTasks(work.tx, { caseId });
  return { items: rows.map((row) => view(row, work.nowMs)) };
};

/** A task as whatever leaves it behind describes it. */
export interface NewTask {
  readonly horseId: string;
  readonly caseId: string;
  readonly kind: CaseTask["kind"];
  readonly forRole: Role;
  readonly foot?: Foot;
  readonly title: string;
  readonly detail?: string;
  readonly opensOn: LocalDate;
  readonly dueOn: LocalDate;
  readonly refType: string;
  readonly refId: string;
}

/** Opens tasks inside the transaction of what leaves them behind; its audit entry covers them. */
export const open = async (work: Work, tasks: readonly NewTask[]): Promise<void> => {
  if (tasks.length === 0) return;
  await work.tx.caseTask.createMany({
    data: tasks.map(({ opensOn, dueOn, foot, detail, ...task }) => ({
      ...task,
      practiceId: work.actor.practiceId,
      id: newId(),
      foot: foot ?? null,
      title: task.title.slice(0, 200),
      detail: detail ?? null,
      opensOn: dayColumn(opensOn),
      dueOn: dayColumn(dueOn),
      createdAt: new Date(work.nowMs),
    })),
  });
  work.announce("queue");
};

/** Done, with photos and what was seen; or set aside by a vet, with the reason. */
export const finish = async (
  work: Work,
  id: string,
  seen: number,
  input: Outcome,
): Promise<CaseTask> => {
  const { tx, actor, nowMs } = work;
  const version = await store.lockCaseTask(tx, id);
  if (version === null) throw notFound("task");
  assertVersion(seen, version);
  const row = await findRow(work, id);
  await cases.readOpen(work, row.caseId);
  if (row.doneAt !== null)
    throw new Problem("conflict", "This task is done already.", { recordId: id });
  if (input.setAside && !hasRole(actor, "vet"))
    throw new Problem("forbidden", "Only a vet sets a task aside.", { requiredRoles: ["vet"] });
  if (!hasRole(actor, "vet", row.forRole))
    throw new Problem("forbidden", `This task is for the ${row.forRole}.`, {
      requiredRoles: [row.forRole],
    });
  await assertPhotos(work, row.horseId, input.photoIds);
  await tx.caseTask.updateMany({
    where: { id },
    data: {
      doneBy: actor.personId,
      doneAt: new Date(nowMs),
      setAside: input.setAside,
      outcome: input.outcome ?? null,
      photoIds: input.photoIds,
      version: seen + 1,
    },
  });
  work.audit({
    event: input.setAside ? "task.set-aside" : "task.done",
    subjectType: "case task",
    subjectId: id,
    horseId: row.horseId,
    payload: input,
  });
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: row.kind === "film" ? "film" : "procedure",
    title: `${input.setAside ? "Set aside" : "Done"}: ${row.title}`,
    detail: input.outcome ?? null,
    refType: row.refType,
    refId: row.refId,
  });
  work.announce("queue");
  return view(await findRow(work, id), nowMs);
};
