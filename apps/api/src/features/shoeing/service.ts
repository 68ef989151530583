import type { recordShoeing, ShoeingRecord } from "@heelward/contracts";
import { judgeNextDateBeforeLeaving } from "@heelward/domain/cycle";
import { isAllowed } from "@heelward/domain/evidence";
import { addDays, localDateOf } from "@heelward/domain/time";
import { compareAsDone, findShoe, isWorse, type AsDoneTolerances } from "@heelward/domain/trim";
import type { z } from "zod";
import { decodeCursor, toPage } from "../../http/cursor.ts";
import { dayColumn } from "../../http/dates.ts";
import { defined } from "../../http/defined.ts";
import { assertNotFuture } from "../../http/instants.ts";
import { newId } from "../../http/new-id.ts";
import { badField, Problem, ruleViolated } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import * as cases from "../cases/service.ts";
import { assertPhotos } from "../documents/photos.ts";
import { sendRequired } from "../handoffs/service.ts";
import * as horses from "../horses/service.ts";
import { practicePhone } from "../people/practice.ts";
import { assertCatalogue } from "../prescriptions/catalogue.ts";
import { plannerFigures } from "../prescriptions/figures.ts";
import * as prescriptions from "../prescriptions/service.ts";
import * as resets from "../resets/service.ts";
import * as tasks from "../tasks/service.ts";
import { tasksAfterVisit } from "./after-visit.ts";
import * as store from "./store.ts";

type Done = z.output<NonNullable<typeof recordShoeing.body>>;

const FALLBACK_INTERVAL_DAYS = 28;
const VISIT_MINUTES = 45;

/** The newest records of a horse, for pages that show more than them. */
export const latestOf = ({ tx }: Work, horseId: string, limit: number): Promise<ShoeingRecord[]> =>
  store.findShoeing(tx, { horseId, limit });

export const list = async (
  work: Work,
  horseId: string,
  query: { readonly limit: number; readonly cursor?: string | undefined },
) => {
  await horses.read(work, horseId);
  const after = decodeCursor(query.cursor, 2);
  const found = await store.findShoeing(work.tx, { horseId, after, limit: query.limit + 1 });
  const { rows, nextCursor } = toPage(found, query.limit, (row) => [row.doneAt, row.id]);
  return { items: [...rows], nextCursor };
};

/** Plan beside work, foot by foot. Feet that the plan does not speak of are not compared. */
const compare = (
  plan: {
    readonly feet: Parameters<typeof prescriptions.domainPlan>[0][];
    readonly doNot: string[];
  } | null,
  input: Done,
  tolerances: AsDoneTolerances,
) =>
  input.feet.flatMap((done) => {
    const planned = plan?.feet.find((foot) => foot.foot === done.foot);
    if (plan === null || planned === undefined) return [];
    return [
      compareAsDone(
        prescriptions.domainPlan(planned, plan.doNot),
        {
          foot: done.foot,
          breakoverAfterMm: done.breakoverAfterMm,
          heelRemovedMm: done.heelRemovedMm,
          wedgeDegrees: done.wedgeDegrees,
          soleTouched: done.soleTouched,
          shoe: done.shoe,
          supportFill: done.supportFill,
          fixing: done.fixing,
          ...defined({
            toeBackMm: done.toeBackMm ?? undefined,
            breakoverBeforeMm: done.breakoverBeforeMm ?? undefined,
            comfortBefore:
              input.comfortBefore === undefined ? undefined : defined(input.comfortBefore),
            comfortAfter:
              input.comfortAfter === undefined ? undefined : defined(input.comfortAfter),
          }),
        },
        tolerances,
      ),
    ];
  });

/** Two people, or one person twice, must not close one visit after the other without knowing of it. */
const assertSeen = async (
  { tx }: Work,
  horseId: string,
  seen: string | null | undefined,
): Promise<void> => {
  if (seen === undefined) return;
  const [newest] = await store.findShoeing(tx, { horseId, limit: 1 });
  if (newest === undefined || newest.id === seen) return;
  throw new Problem(
    "conflict",
    `Another visit was recorded meanwhile, by ${newest.farrier.name}; look at it first.`,
    { recordId: newest.id },
  );
};

/**
 * Records what was done: closes the plan and the running reset, compares with the plan, opens and
 * books the next reset, and sends the notes, all in one transaction. Departures need a reason.
 */
export const record = async (
  work: Work,
  horseId: string,
  input: Done,
): Promise<ShoeingRecord & { nextResetId: string }> => {
  const { tx, actor, nowMs } = work;
  const horse = await horses.read(work, horseId);
  if (horse.openCaseId !== null) await cases.readOpen(work, horse.openCaseId);
  assertNotFuture(input.doneAt, nowMs, "/doneAt");
  if (new Set(input.feet.map((foot) => foot.foot)).size !== input.feet.length)
    throw badField("/feet", "names a foot twice");
  const figures = await plannerFigures(work);
  // What the farrier put on was put on: a device retired since the plan was signed is still named.
  assertCatalogue(input.feet, "/feet", figures.catalogue, input.feet);
  await assertPhotos(work, horseId, input.photoIds);
  await tx.$executeRaw`SELECT 1 FROM horses WHERE id = ${horseId}::uuid FOR UPDATE`;
  await assertSeen(work, horseId, input.lastRecordId);
  const plan =
    input.prescriptionId === undefined
      ? null
      : input.byReplacedPlan === true
        ? await prescriptions.readReplaced(work, input.prescriptionId, horseId)
        : await prescriptions.markDone(work, input.prescriptionId, horseId);
  const comparisons = compare(plan, input, figures.tolerances);
  const deviations = comparisons.flatMap((one) => one.deviations);
  const isWorseNow = isWorse(
    input.comfortBefore === undefined ? undefined : defined(input.comfortBefore),
    input.comfortAfter === undefined ? undefined : defined(input.comfortAfter),
  );
  const wedgeRemoval =
    comparisons.find((one) => one.wedgeRemoval.required)?.wedgeRemoval.detail ?? null;
  if (deviations.length > 0 && input.departures === undefined)
    throw new Problem("rule-violated", "What was done differs from the plan; say why.", {
      errors: [{ pointer: "/departures", detail: deviations.join(" ") }],
    });

  const id = newId();
  const doneAt = new Date(input.doneAt);
  const doneOn = localDateOf(doneAt.getTime(), horse.yard.timeZone);
  const running = await resets.finish(work, horseId, doneAt, id);
  const intervalDays =
    plan?.intervalDays ??
    running?.intervalDays ??
    horse.resetIntervalDays ??
    FALLBACK_INTERVAL_DAYS;
  const breakoverAfterMm = Math.max(...input.feet.map((foot) => foot.breakoverAfterMm));
  const next = input.nextReset;
  const bookedFor = "bookedFor" in next ? next.bookedFor : undefined;
  const bookedOn =
    bookedFor === undefined ? undefined : localDateOf(Date.parse(bookedFor), horse.yard.timeZone);
  // On file before the next reset is opened: its forecast goes by this visit too.
  await tx.shoeingRecord.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId,
      caseId: horse.openCaseId,
      prescriptionId: plan?.id ?? null,
      farrierId: actor.personId,
      startedAt: input.startedAt === undefined ? null : new Date(input.startedAt),
      doneAt,
      byReplacedPlan: input.byReplacedPlan === true,
      asPlanned: input.asPlanned && deviations.length === 0 && input.byReplacedPlan !== true,
      feet: JSON.parse(JSON.stringify(input.feet)) as object[],
      comparison: JSON.parse(
        JSON.stringify(
          comparisons.flatMap((one) => one.rows.map((row) => ({ ...row, foot: one.foot }))),
        ),
      ) as object[],
      deviations,
      wedgeRemoval,
      ...(input.comfortBefore === undefined ? {} : { comfortBefore: defined(input.comfortBefore) }),
      ...(input.comfortAfter === undefined ? {} : { comfortAfter: defined(input.comfortAfter) }),
      departures: input.departures ?? null,
      notes: input.notes ?? null,
      photoIds: input.photoIds,
      nextResetOn: bookedOn === undefined ? null : dayColumn(bookedOn),
      createdAt: new Date(nowMs),
    },
  });
  const nextResetId = await resets.openNext(work, {
    horseId,
    caseId: horse.openCaseId,
    lastDoneOn: doneOn,
    intervalDays,
    farrierId: horse.farrierId ?? actor.personId,
    breakoverAfterMm,
  });
  if (
    "personToBook" in next &&
    (await tx.person.count({ where: { id: next.personToBook, status: "active" } })) !== 1
  )
    throw badField("/nextReset/personToBook", "is not an active person of this practice");
  const leaving = judgeNextDateBeforeLeaving(
    addDays(doneOn, intervalDays),
    "personToBook" in next
      ? { noDateBecause: next.noDateReason, namedPersonId: next.personToBook }
      : defined({ newDate: bookedOn }),
  );
  if (!isAllowed(leaving))
    throw ruleViolated(
      "The next date is booked before leaving, or its absence explained.",
      leaving,
    );
  if (bookedFor !== undefined)
    await resets.bookWithin(work, nextResetId, { bookedFor, minutes: VISIT_MINUTES });

  work.audit({
    event: "shoeing.recorded",
    subjectType: "shoeing record",
    subjectId: id,
    horseId,
    payload: { prescriptionId: plan?.id ?? null, deviations, doneAt: input.doneAt },
  });
  const replaced =
    plan !== null && input.byReplacedPlan === true
      ? `plan ${String(plan.number)} was followed; it had been replaced without the farrier hearing of it`
      : null;
  const done = input.feet.map(
    (foot) =>
      `${foot.foot}: breakover ${foot.breakoverBeforeMm === null ? "" : `${foot.breakoverBeforeMm} before, `}${foot.breakoverAfterMm} mm after, heels ${foot.heelRemovedMm} mm, ${findShoe(foot.shoe, figures.catalogue)?.name ?? foot.shoe}`,
  );
  await recordEvent(work, {
    horseId,
    caseId: horse.openCaseId,
    kind: "shoeing",
    title:
      replaced !== null
        ? "Feet done by a plan that had been replaced"
        : deviations.length === 0
          ? "Feet done as planned"
          : "Feet done, not all as planned",
    at: doneAt.getTime(),
    detail: [...done, ...deviations, input.notes ?? ""].filter((part) => part !== "").join(". "),
    refType: "shoeing record",
    refId: id,
    data: { deviations, wedgeRemoval },
    forOwner: "The farrier was here and did the feet.",
  });
  await sendRequired(
    work,
    { horseId, caseId: horse.openCaseId, refType: "shoeing record", refId: id },
    {
      kind: "visit finished",
      horseName: horse.name,
      byRole: "farrier",
      found: [
        ...(isWorseNow ? ["more sore after than before"] : []),
        ...(input.notes === undefined ? [] : [input.notes]),
      ],
      done,
      departures: [
        ...(replaced === null ? [] : [replaced]),
        // The reason first: a note is short, and its end may be cut.
        ...(input.departures === undefined ? [] : [`reason: ${input.departures}`]),
        ...deviations,
      ],
      yardMustDo: [
        ...(wedgeRemoval === null ? [] : [wedgeRemoval]),
        ...(isWorseNow ? ["Vet: see the horse and say whether the plan stands"] : []),
        ...(deviations.length > 0 && !isWorseNow
          ? ["Vet: read what differs from the plan and say whether it stands"]
          : []),
      ],
      urgent: deviations.length > 0 || isWorseNow || replaced !== null,
      ringNumber: await practicePhone(work),
      ...defined({ nextResetOn: bookedOn }),
    },
    input.noteToVet,
  );
  await tasks.open(
    work,
    tasksAfterVisit(
      { recordId: id, horseId, caseId: horse.openCaseId, doneOn, feet: input.feet, wedgeRemoval },
      plan,
    ),
  );
  work.announce("queue");
  const [stored] = await store.findShoeing(tx, { id, limit: 1 });
  if (stored === undefined) throw new Error("the record just written is not there");
  return { ...stored, nextResetId };
};
