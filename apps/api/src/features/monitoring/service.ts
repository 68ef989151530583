import type { MonitoringTaskView } from "@heelward/contracts";
import { hormonesOpenOn } from "@heelward/domain/metabolic";
import { addDays, localDateOf, MS_PER_DAY, startOfDay } from "@heelward/domain/time";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import { lockMedication } from "../medication/context.ts";
import { readPractice } from "../people/practice.ts";
import { loadFacts, type TaskFacts } from "./facts.ts";
import { findHorsesToMonitor } from "./store.ts";
import { seasonTasksOf, tasksOf } from "./tasks.ts";

const readFacts = async (work: Work, horseId: string): Promise<TaskFacts> => {
  const [facts] = await loadFacts(work, [horseId]);
  if (facts === undefined) throw notFound("horse");
  return facts;
};

export const list = async (work: Work, horseId: string) => ({
  items: tasksOf(await readFacts(work, horseId), work.nowMs),
});

/** A vet sets a task aside with a reason; it stays in sight as waived. */
export const waive = async (
  work: Work,
  horseId: string,
  { taskKey, reason }: { readonly taskKey: string; readonly reason: string },
): Promise<MonitoringTaskView> => {
  const { tx, actor, nowMs } = work;
  await lockMedication(work, horseId);
  const facts = await readFacts(work, horseId);
  const task = tasksOf(facts, nowMs).find((one) => one.key === taskKey);
  if (task === undefined) throw badField("/taskKey", "is not a task of this horse");
  if (task.state === "done" || task.state === "waived" || task.state === "lapsed")
    throw new Problem("conflict", `This task is ${task.state} already.`, { recordId: horseId });
  await tx.monitoringWaiver.create({
    data: {
      practiceId: actor.practiceId,
      id: newId(),
      horseId,
      taskKey,
      reason,
      waivedBy: actor.personId,
      waivedAt: new Date(nowMs),
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "monitoring.waived",
    subjectType: "horse",
    subjectId: horseId,
    horseId,
    payload: { taskKey, reason },
  });
  await recordEvent(work, {
    horseId,
    caseId: facts.medication.horse.openCaseId,
    kind: "monitoring",
    title: `Set aside: ${task.title}`,
    detail: reason,
    refType: "horse",
    refId: horseId,
  });
  work.announce("queue");
  return { ...task, state: "waived", waivedBecause: reason };
};

const nextOpening = (on: string, facts: TaskFacts): string => {
  const thisYear = hormonesOpenOn(on, facts.hemisphere);
  return thisYear > on
    ? thisYear
    : hormonesOpenOn(`${Number(on.slice(0, 4)) + 1}${on.slice(4)}`, facts.hemisphere);
};

/** What the season asks for on a day, over every horse in sight. */
export const seasonLookAhead = async (work: Work, wished: string | undefined) => {
  const practice = await readPractice(work);
  const today = localDateOf(work.nowMs, practice.timeZone);
  const on = wished ?? today;
  if (on > addDays(today, 400) || on < addDays(today, -400))
    throw badField("/on", "lies more than 400 days away");
  const all = await loadFacts(work, await toMonitor(work));
  const openings = all.map((facts) => nextOpening(on, facts)).toSorted();
  return {
    on,
    items: all.flatMap((facts) => seasonTasksOf(facts, on)),
    nextHormoneSeasonOn: openings[0] ?? null,
  };
};

/** Undone tasks of a course that is over are shown this long. */
const AFTER_END_MS = 31 * MS_PER_DAY;
const toMonitor = (work: Work): Promise<string[]> =>
  findHorsesToMonitor(work.tx, new Date(work.nowMs - AFTER_END_MS));

/** A task that waits for somebody, with what a queue shows of its horse. */
export interface MonitoringDue {
  readonly task: MonitoringTaskView;
  readonly horseId: string;
  readonly horseName: string;
  readonly yardId: string;
  readonly caseId: string | null;
  readonly phase: string | null;
  readonly raisedAtMs: number;
  readonly dueAtMs: number;
}

/**
 * Tasks that are due or late, over every horse in sight. Weighings are left out: a stale weight
 * stands in the queue under its own name.
 */
export const monitoringDue = async (work: Work): Promise<MonitoringDue[]> =>
  (await loadFacts(work, await toMonitor(work))).flatMap((facts) => {
    const { horse } = facts.medication;
    return tasksOf(facts, work.nowMs)
      .filter((task) => (task.state === "due" || task.state === "late") && task.kind !== "weigh")
      .map((task) => ({
        task,
        horseId: horse.id,
        horseName: horse.name,
        yardId: horse.yardId,
        caseId: horse.openCaseId,
        phase: horse.phase,
        raisedAtMs: startOfDay(task.opensOn, horse.timeZone),
        dueAtMs: startOfDay(addDays(task.dueOn, 1), horse.timeZone),
      }));
  });
