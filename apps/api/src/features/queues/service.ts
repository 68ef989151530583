import type { QueueItem as QueueItemView, QueueView } from "@heelward/contracts";
import type { Role } from "@heelward/domain/access";
import {
  orderQueue,
  type PlacedItem,
  type QueueItem,
  type QueueKind,
} from "@heelward/domain/queue";
import { addDays, MS_PER_HOUR, startOfDay } from "@heelward/domain/time";
import { actingAs } from "../../http/actor.ts";
import { Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { medicationWork } from "../medication/read-model.ts";
import { monitoringDue } from "../monitoring/service.ts";
import { standingOf, windowOf } from "../resets/standing.ts";
import { openRows } from "../resets/service.ts";
import { ACTION_LABELS, actionHref, type WorkPlace } from "./links.ts";
import * as store from "./store.ts";
import { findUnnamedCalls } from "./unnamed-calls.ts";

const STAFF = ["vet", "farrier", "manager", "carer"] as const satisfies readonly Role[];
/** A yard check of a horse in treatment is due twice a day. */
const CHECK_EVERY_HOURS = 12;

/** A piece of work in order, with where it stands. */
interface Entry extends QueueItem, WorkPlace {
  readonly yardName: string;
  readonly title: string;
}

const TITLES: Readonly<Partial<Record<QueueKind, string>>> = {
  "red flag call": "Red flag",
  "unread film to measure": "Film to measure",
  "prescription draft to sign": "Plan to sign",
  "prescription awaiting reply": "Plan waiting for the farrier",
  "prescription queried": "Question on a plan",
  "prescription declined": "Plan declined",
  "reset due": "Reset",
  "handoff to acknowledge": "Note",
  "held course": "Medicine on hold",
  "course review due": "Course to review",
  "dose due": "Dose",
  "care check due": "Yard check",
  "weighing stale": "Weight out of date",
  "result unread": "Result to read",
  "monitoring due": "To monitor",
  "first-aid checklist": "First aid",
  "film to take": "Film to take",
  "task due": "Task of the case",
  "appointment today": "Not yet seen",
};

const toEntry = (row: store.OpenWork): Entry => ({
  id: `${row.refType} ${row.refId}`,
  kind: row.kind,
  horseName: row.horseName,
  phase: row.phase ?? "maintenance",
  raisedAtMs: row.raisedAt.getTime(),
  urgent: row.urgent,
  refType: row.refType,
  refId: row.refId,
  horseId: row.horseId,
  caseId: row.caseId,
  yardName: row.yardName,
  title: TITLES[row.kind] ?? row.kind,
  ...(row.dueAt === null ? {} : { dueAtMs: row.dueAt.getTime() }),
  ...(row.because === null ? {} : { because: row.because }),
  ...(row.toRole === null ? {} : { onlyFor: [row.toRole as Role] }),
  ...(row.kind === "appointment today"
    ? { acuteUnseen: true, onlyFor: ["vet", "manager"] as const }
    : {}),
});

/** A note past its time has climbed to the practice manager; a plan is the farrier's alone until then. */
const climbed = (entry: Entry, nowMs: number): Entry =>
  entry.kind === "prescription awaiting reply" && (entry.dueAtMs ?? 0) > nowMs
    ? { ...entry, onlyFor: ["farrier"] }
    : entry.kind === "handoff to acknowledge" &&
        entry.dueAtMs !== undefined &&
        entry.dueAtMs < nowMs
      ? { ...entry, alsoFor: ["manager"] }
      : entry;

const resetEntries = async (work: Work, role: Role): Promise<Entry[]> => {
  const rows = await openRows(work, role === "farrier" ? { farrierId: work.actor.personId } : {});
  return rows.flatMap((row): Entry[] => {
    const standing = standingOf(row, work.nowMs);
    const shown =
      role === "manager"
        ? standing.state !== "not due" && standing.state !== "paused"
        : standing.state === "red" ||
          standing.state === "amber" ||
          standing.state === "due" ||
          row.status === "booked";
    if (!shown || standing.state === "paused") return [];
    const window = windowOf(row);
    return [
      {
        id: `reset ${row.id}`,
        kind: "reset due",
        horseName: row.horse.name,
        phase: row.phase ?? "maintenance",
        raisedAtMs: startOfDay(window.opensOn, row.yard.timeZone),
        // Late from the end of the due day on, in the yard's own calendar.
        dueAtMs: startOfDay(addDays(window.dueOn, 1), row.yard.timeZone),
        resetState: standing.state,
        because: standing.reasons.join(", "),
        refType: "reset",
        refId: row.id,
        horseId: row.horse.id,
        caseId: row.caseId,
        yardName: row.yard.name,
        title: row.status === "booked" ? "Reset, booked" : "Reset",
        // The vet acts on a reset only once welfare asks for it.
        ...(standing.state === "red" ? {} : { onlyFor: ["farrier", "manager"] as const }),
      },
    ];
  });
};

const checkEntries = async (
  { tx, nowMs }: Work,
  open: readonly store.OpenWork[],
): Promise<Entry[]> => {
  const checks = await store.findLastChecks(tx);
  const horses = await tx.$queryRaw<
    {
      id: string;
      name: string;
      yardName: string;
      caseId: string | null;
      phase: Entry["phase"];
      openedAt: Date;
      because: string | null;
    }[]
  >`
    SELECT h.id, h.name, y.name AS "yardName", c.id AS "caseId", coalesce(c.phase, 'maintenance') AS phase,
      CASE WHEN c.phase IN ('acute', 'subacute') THEN c.opened_at ELSE w.started_at END AS "openedAt", w.because
    FROM horses h JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
    LEFT JOIN cases c ON c.practice_id = h.practice_id AND c.horse_id = h.id AND c.phase <> 'closed'
    LEFT JOIN LATERAL (SELECT o.started_at, o.because FROM limb_watches o WHERE o.practice_id = h.practice_id AND o.horse_id = h.id AND o.ended_at IS NULL
      ORDER BY o.started_at LIMIT 1) w ON true
    WHERE c.phase IN ('acute', 'subacute') OR w.started_at IS NOT NULL`;
  return horses.flatMap((one): Entry[] => {
    const last = checks.find((check) => check.horseId === one.id)?.lastCheckAt ?? one.openedAt;
    const dueAtMs = last.getTime() + CHECK_EVERY_HOURS * MS_PER_HOUR;
    if (
      dueAtMs > nowMs + MS_PER_HOUR ||
      open.some((work) => work.horseId === one.id && work.kind === "red flag call")
    )
      return [];
    return [
      {
        id: `check ${one.id}`,
        kind: "care check due",
        horseName: one.name,
        phase: one.phase,
        raisedAtMs: last.getTime(),
        dueAtMs,
        refType: "horse",
        refId: one.id,
        horseId: one.id,
        caseId: one.caseId,
        yardName: one.yardName,
        title: "Yard check",
        ...(one.because === null ? {} : { because: one.because }),
      },
    ];
  });
};

const NO_HORSE = "";

/** A press of the red-flag button must not be lost because nobody said which horse it was. */
const unnamedEntries = async (work: Work): Promise<Entry[]> =>
  (await findUnnamedCalls(work)).map((call) => ({
    id: `red-flag call ${call.id}`,
    kind: "red flag call",
    horseName: "",
    phase: "acute",
    raisedAtMs: call.pressedAt.getTime(),
    dueAtMs: call.pressedAt.getTime(),
    urgent: true,
    refType: "red-flag call",
    refId: call.id,
    horseId: NO_HORSE,
    caseId: null,
    yardName: call.yardName ?? "",
    title: `Red flag: ${call.name} pressed the button`,
    because: `rang ${call.numberDialled}, no horse named: ring back and ask`,
    onlyFor: ["vet", "manager"],
    alsoFor: ["manager"],
  }));

/** Medicines that wait for somebody: held, to review, due by the clock, or given on an old weight. */
const medicationEntries = async (work: Work): Promise<Entry[]> => {
  const { held, reviews, doses, staleWeights } = await medicationWork(work);
  const monitoring = await monitoringDue(work);
  const yards = new Map(
    (await work.tx.yard.findMany({ select: { id: true, name: true } })).map((yard) => [
      yard.id,
      yard.name,
    ]),
  );
  const entry = (
    about: {
      readonly horseId: string;
      readonly horseName: string;
      readonly yardId: string;
      readonly caseId: string | null;
      readonly phase: string | null;
    },
    kind: QueueKind,
    facts: Pick<Entry, "id" | "raisedAtMs" | "refType" | "refId" | "title"> & Partial<Entry>,
  ): Entry => ({
    kind,
    horseName: about.horseName,
    phase: (about.phase ?? "maintenance") as Entry["phase"],
    horseId: about.horseId,
    caseId: about.caseId,
    yardName: yards.get(about.yardId) ?? "",
    ...facts,
  });
  return [
    ...held.map((one) =>
      entry(one, "held course", {
        id: `held ${one.courseId}`,
        raisedAtMs: one.raisedAtMs,
        refType: "course",
        refId: one.courseId,
        title: `${one.drugName} on hold`,
        because: one.reason,
      }),
    ),
    ...reviews.map((one) =>
      entry(one, "course review due", {
        id: `review ${one.courseId}`,
        raisedAtMs: one.raisedAtMs,
        dueAtMs: one.dueAtMs,
        opensAtMs: one.opensAtMs,
        refType: "course",
        refId: one.courseId,
        title: `Review ${one.drugName}`,
      }),
    ),
    ...doses
      .filter((one) => one.state !== "later")
      .map((one) =>
        entry(one, "dose due", {
          id: `dose ${one.courseId} ${one.scheduledAtMs}`,
          raisedAtMs: one.scheduledAtMs,
          dueAtMs: one.scheduledAtMs,
          refType: "course",
          refId: one.courseId,
          title: `${one.drugName}: ${one.measure}`,
          ...(one.state === "needs vet"
            ? { because: "needs the vet before it is given", alsoFor: ["vet"] as const }
            : {}),
        }),
      ),
    ...monitoring.map((one) =>
      entry(one, "monitoring due", {
        id: `monitoring ${one.horseId} ${one.task.key}`,
        raisedAtMs: one.raisedAtMs,
        dueAtMs: one.dueAtMs,
        refType: "horse",
        refId: one.horseId,
        title: one.task.title,
        because: one.task.why,
        ...(one.task.kind === "watch" ? { alsoFor: ["carer"] as const } : {}),
      }),
    ),
    ...staleWeights.map((one) =>
      entry(one, "weighing stale", {
        id: `weight ${one.horseId}`,
        raisedAtMs: one.dueAtMs,
        dueAtMs: one.dueAtMs,
        refType: "horse",
        refId: one.horseId,
        title: "Weigh again",
        because: `on ${one.medicines.join(", ")}, ${one.ageDays === undefined ? "never weighed" : `weight ${one.ageDays} days old`}`,
      }),
    ),
  ];
};

const NOW_CLASSES = new Set(["red flag", "held course", "acute horse not yet seen"]);

const urgencyOf = (placed: PlacedItem<Entry>): QueueItemView["urgency"] => {
  if (NOW_CLASSES.has(placed.welfareClass)) return "now";
  if (placed.welfareClass === "feet or pain past their limit" || (placed.latenessMs ?? -1) >= 0)
    return "today";
  return (placed.latenessMs ?? Number.NEGATIVE_INFINITY) > -48 * MS_PER_HOUR ? "soon" : "later";
};

const viewItem = (placed: PlacedItem<Entry>): QueueItemView => {
  const { item, nextAction } = placed;
  return {
    id: item.id,
    kind: item.kind,
    horse: item.horseId === NO_HORSE ? null : { id: item.horseId, name: item.horseName },
    yard: item.yardName === "" ? null : item.yardName,
    caseId: item.caseId,
    title: item.title,
    reason: placed.reason,
    urgency: urgencyOf(placed),
    dueAt: item.dueAtMs === undefined ? null : new Date(item.dueAtMs).toISOString(),
    nextAction: {
      key: nextAction,
      label: item.horseId === NO_HORSE ? "Ring back" : ACTION_LABELS[nextAction],
      href: item.horseId === NO_HORSE ? "/people" : actionHref(nextAction, item),
    },
    refType: item.refType,
    refId: item.refId,
  };
};

/** The caller's queue for one of the own roles, in the order it should be worked, each with its reason. */
export const read = async (work: Work, wished: Role | undefined): Promise<QueueView> => {
  const role = wished ?? actingAs(work.actor, STAFF);
  if (!work.actor.roles.includes(role) || role === "owner")
    throw new Problem("forbidden", `You do not work as ${role}.`, { requiredRoles: [role] });
  const open = await store.findOpenWork(work.tx, work.nowMs);
  const entries: Entry[] = [
    ...open.map(toEntry).map((entry) => climbed(entry, work.nowMs)),
    ...(role === "vet" || role === "manager" ? await unnamedEntries(work) : []),
    ...(role === "carer" ? [] : await resetEntries(work, role)),
    ...(role === "carer" || role === "vet" ? await checkEntries(work, open) : []),
    ...(role === "farrier" ? [] : await medicationEntries(work)),
  ];
  const placed = orderQueue(role, entries, work.nowMs);
  const counts: Record<string, number> = { all: placed.length };
  const items = placed.map(viewItem);
  for (const item of items) {
    counts[item.urgency] = (counts[item.urgency] ?? 0) + 1;
    counts[item.kind] = (counts[item.kind] ?? 0) + 1;
  }
  return { role, at: new Date(work.nowMs).toISOString(), items, counts };
};
