import type { listOwnHorses, OwnerHorse } from "@heelward/contracts";
import { RING_AT_ONCE } from "@heelward/domain/firstaid";
import { addDays, localDateOf, MS_PER_DAY } from "@heelward/domain/time";
import { hasDevice, isCurrentPrescription } from "@heelward/domain/trim";
import type { z } from "zod";
import { isoOrNull } from "../../http/dates.ts";
import { notFound, Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import * as cases from "../cases/service.ts";
import { write as writeNote } from "../handoffs/service.ts";
import * as medication from "../medication/read-model.ts";
import { isOver } from "../medication/views.ts";
import { readPractice } from "../people/practice.ts";
import { agree } from "../prescriptions/consent.ts";
import * as prescriptions from "../prescriptions/read-model.ts";
import * as resets from "../resets/read-model.ts";
import { GLOSSARY } from "./glossary.ts";
import { medicineInPlainWords } from "./medicine-words.ts";
import { nextDates } from "./next-dates.ts";
import { inOurWords, planInPlainWords } from "./plan-words.ts";
import * as store from "./store.ts";
import { headline, isQuiet, notKnownYet, paragraphs, quietWords } from "./story.ts";

type OwnersPlan = NonNullable<OwnerHorse["plan"]>;

const LINES = 60;
const CURVE_DAYS = 365;
/** A weight older than this says little about today. The same age as the dose rules allow. */
const WEIGHT_DAYS = 30;

/** The horse, when it is this person's own. */
const ownHorse = async ({ tx, actor }: Work, horseId: string): Promise<store.OwnHorse> => {
  const [horse] = await store.findOwnHorses(tx, actor.personId, horseId);
  if (horse === undefined) throw notFound("horse");
  return horse;
};

const openReset = async (work: Work, horseId: string) => {
  const [reset] = await resets.findResets(work, { horseId, isOpen: true, limit: 1 });
  return reset;
};

/** Medicines that run or are on hold. */
const runningCourses = async ({ tx, nowMs }: Work, horseId: string) =>
  (await medication.findCourses(tx, { horseIds: [horseId], statuses: ["signed", "held"] })).filter(
    (course) => !isOver(course, nowMs),
  );

export const list = async (work: Work): Promise<z.input<typeof listOwnHorses.response>> => {
  const horses = await store.findOwnHorses(work.tx, work.actor.personId);
  const items: z.input<typeof listOwnHorses.response>["items"] = [];
  for (const horse of horses) {
    const today = localDateOf(work.nowMs, horse.timeZone);
    // One transaction has one connection; an owner has few horses.
    // oxlint-disable-next-line no-await-in-loop
    const reset = horse.status === "died" ? undefined : await openReset(work, horse.id);
    items.push({
      id: horse.id,
      name: horse.name,
      yard: horse.yard,
      headline: headline(horse),
      nextOn: nextDates(reset, [], today)[0]?.on ?? null,
    });
  }
  return { items };
};

const planView = (row: prescriptions.PrescriptionRow): OwnersPlan => ({
  id: row.id,
  signedAt: isoOrNull(row.signedAt),
  version: row.version,
  aim: inOurWords(row.aim),
  inPlainWords: [...planInPlainWords(row)],
  intervalDays: row.intervalDays,
  cost: row.cost,
  consent:
    row.consent === null
      ? null
      : { at: row.consent.at, by: { id: row.consent.by.id, name: row.consent.givenBy } },
});

/** A draft with its likely cost is one the owner is asked about. */
const isAsked = (row: prescriptions.PrescriptionRow): boolean =>
  row.status === "draft" && row.cost !== null && hasDevice(row.feet);

const askedPlan = async ({ tx }: Work, horseId: string, caseId: string | null) => {
  if (caseId === null) return null;
  const row = (await prescriptions.findPrescriptions(tx, { horseId, caseId })).find(isAsked);
  return row === undefined ? null : planView(row);
};

/** The signed plan in force, unless the farrier declined it: then it is not one to agree to. */
const currentPlan = async ({ tx }: Work, horseId: string, caseId: string | null) => {
  if (caseId === null) return { plan: null, isBeingSettled: false };
  const [row] = (await prescriptions.findPrescriptions(tx, { horseId, caseId })).filter(
    (one) => isCurrentPrescription(one.status) && one.signedAt !== null,
  );
  return row === undefined || row.status === "declined"
    ? { plan: null, isBeingSettled: row !== undefined }
    : { plan: planView(row), isBeingSettled: false };
};

const KIND: Readonly<Record<string, string>> = {
  call: "Phone call",
  case: "Our file",
  examination: "The vet's visit",
  "first aid": "First aid",
  film: "X-ray pictures",
  prescription: "Plan for the feet",
  shoeing: "The farrier's visit",
  reset: "The farrier's next visit",
  weight: "Weight",
  medicine: "Medicine",
};

const released = async (work: Work, horse: store.OwnHorse): Promise<OwnerHorse["released"]> => {
  const lines = await store.findLines(work.tx, horse.id, LINES);
  const results = await store.findResults(work.tx, horse.id, new Date(work.nowMs));
  const papers = await store.findPapers(work.tx, horse.id);
  return [
    ...lines.map((line) => ({
      on: localDateOf(line.at.getTime(), horse.timeZone),
      what: KIND[line.kind] ?? "News",
      words: inOurWords(line.words),
      documentId: null,
    })),
    ...results.map((result) => ({
      on: result.takenOn,
      what: `Blood test: ${result.test}`,
      words: inOurWords(
        `${result.words ?? "The vet has read it. Ring us to talk it through."} (The laboratory measured ${result.value} ${result.unit}.)`,
      ),
      documentId: null,
    })),
    ...papers
      .filter((paper) => !paper.isPicture)
      .map((paper) => ({
        on: localDateOf(paper.at.getTime(), horse.timeZone),
        what: "Paper",
        words: paper.caption ?? "A paper for you.",
        documentId: paper.id,
      })),
  ]
    .toSorted((a, b) => (a.on < b.on ? 1 : a.on > b.on ? -1 : 0))
    .slice(0, LINES);
};

const quietPage = async (work: Work, horse: store.OwnHorse): Promise<OwnerHorse> => {
  const { phone } = await readPractice(work);
  return {
    horse: { id: horse.id, name: horse.name, type: horse.type, yard: horse.yard },
    caseId: horse.openCaseId ?? horse.closedCaseId,
    headline: headline(horse),
    paragraphs: [...quietWords(horse)],
    comfort: [],
    weights: [],
    next: [],
    plan: null,
    asked: null,
    medicines: [],
    released: [],
    callNowIf: [],
    pictures: [],
    notKnownYet: [],
    isClosed: true,
    glossary: [],
    questions: [],
    practicePhone: phone,
  };
};

/** A horse's page for its owner: released items only, in plain words. */
export const read = async (work: Work, horseId: string): Promise<OwnerHorse> => {
  const { tx, actor, nowMs } = work;
  const horse = await ownHorse(work, horseId);
  if (isQuiet(horse)) return quietPage(work, horse);
  const today = localDateOf(nowMs, horse.timeZone);
  const from = new Date(
    Math.min(horse.caseOpenedAt?.getTime() ?? nowMs, nowMs - CURVE_DAYS * MS_PER_DAY),
  );
  const comfort = await store.findComfort(tx, horseId, horse.timeZone, from);
  const weights = await store.findWeights(tx, horseId, horse.timeZone, from);
  const { plan, isBeingSettled } = await currentPlan(work, horseId, horse.openCaseId);
  const courses = await runningCourses(work, horseId);
  const reset = await openReset(work, horseId);
  const papers = await store.findPapers(tx, horseId);
  const films =
    horse.openCaseId === null
      ? 0
      : await tx.radiograph.count({ where: { caseId: horse.openCaseId } });
  const { phone } = await readPractice(work);
  return {
    horse: { id: horse.id, name: horse.name, type: horse.type, yard: horse.yard },
    caseId: horse.openCaseId,
    headline: headline(horse),
    paragraphs: [...paragraphs(horse, comfort, isBeingSettled)],
    comfort,
    weights,
    next: [...nextDates(reset, courses, today)],
    plan,
    asked: await askedPlan(work, horseId, horse.openCaseId),
    medicines: courses.map((course) => medicineInPlainWords(course, today)),
    released: await released(work, horse),
    callNowIf: [...RING_AT_ONCE],
    pictures: papers
      .filter((paper) => paper.isPicture)
      .map((paper) => ({
        documentId: paper.id,
        caption: paper.caption,
        on: localDateOf(paper.at.getTime(), horse.timeZone),
      })),
    notKnownYet: [
      ...notKnownYet(horse, {
        hasFilms: films > 0,
        hasRecentWeight: (weights.at(-1)?.on ?? "") >= addDays(today, -WEIGHT_DAYS),
      }),
    ],
    isClosed: false,
    glossary: [...GLOSSARY],
    questions: (await store.findQuestions(tx, horseId, actor.personId)).map((one) => ({
      askedAt: one.askedAt.toISOString(),
      question: one.question,
      readBy: one.readBy,
      readAt: isoOrNull(one.readAt),
    })),
    practicePhone: phone,
  };
};

/** A question becomes a note that somebody must acknowledge: the vet in charge, or else the practice manager. */
export const ask = async (work: Work, horseId: string, question: string) => {
  const { tx, actor, nowMs } = work;
  const horse = await ownHorse(work, horseId);
  const vet =
    horse.openCaseId === null || horse.leadVetId === null
      ? null
      : await tx.person.findFirst({
          where: { id: horse.leadVetId, status: "active", roles: { has: "vet" } },
        });
  const note = await writeNote(work, {
    horseId,
    toRole: vet === null ? "manager" : "vet",
    ...(vet === null ? {} : { toPersonId: vet.id }),
    urgent: false,
    situation: `${actor.name} asks about ${horse.name}`.slice(0, 200),
    found: question,
    mustDo: "Answer the owner by phone or in person",
  });
  work.audit({
    event: "question.asked",
    subjectType: "handoff",
    subjectId: note.id,
    horseId,
    payload: { question },
  });
  return { id: note.id, askedAt: new Date(nowMs).toISOString() };
};

/** The owner agrees: to the plan in force, or to a draft the vet asks about, as it was read. */
export const consent = async (
  work: Work,
  prescriptionId: string,
  said: { readonly words?: string | undefined; readonly seenVersion?: number | undefined },
): Promise<OwnersPlan> => {
  const { tx, actor } = work;
  const locked = await prescriptions.lockPrescription(tx, prescriptionId);
  if (locked === null) throw notFound("plan");
  await ownHorse(work, locked.horseId);
  const [row] = await prescriptions.findPrescriptions(tx, { id: prescriptionId });
  if (row === undefined || (row.signedAt === null && !isAsked(row))) throw notFound("plan");
  await cases.readOpen(work, row.caseId);
  if (isAsked(row)) {
    if (said.seenVersion !== row.version)
      throw new Problem("conflict", "This plan has changed; please read it again.", {
        recordId: prescriptionId,
      });
  } else if (!isCurrentPrescription(row.status) || row.status === "declined")
    throw new Problem("conflict", "This plan is no longer in force; look at the current one.", {
      recordId: prescriptionId,
    });
  const given = await agree(work, row, {
    givenBy: actor.name,
    words: said.words ?? null,
    forOwner: "You agreed to the plan for the feet.",
  });
  return planView({ ...row, consent: given });
};
