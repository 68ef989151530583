import {
  type Course,
  type DoseEvent,
  type Jurisdiction,
  type MedicationContext,
} from "@heelward/domain/medication";
import { localDateOf, MS_PER_DAY, startOfDay } from "@heelward/domain/time";
import { notFound } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { readPractice } from "../people/practice.ts";
import { medicationSettings } from "./settings.ts";
import * as store from "./store.ts";

/** A horse with everything the dose rules may look at, at the clock of the request. */
export interface HorseMedication {
  readonly horse: store.HorseRow;
  readonly context: MedicationContext;
  /** Courses that were signed at some time, newest first. */
  readonly courses: readonly store.CourseRow[];
  readonly doses: readonly store.DoseRow[];
}

const JURISDICTIONS: readonly string[] = ["UK", "EU", "US", "general"];
/** The jurisdiction whose labels hold; unknown ones fall back to figures that belong to none. */
export const jurisdictionOf = (value: string): Jurisdiction =>
  JURISDICTIONS.includes(value) ? (value as Jurisdiction) : "general";

/**
 * A stored course as the rules see it. A hold is told by its row, which knows since when, so a held
 * course is handed over as signed: a dose given before the hold is then still a dose of the plan.
 */
export const toCourse = (row: store.CourseRow): Course => ({
  id: row.id,
  drugKey: row.drugKey,
  presentationKey: row.presentationKey,
  route: row.route,
  steps: row.steps,
  startOn: row.startOn,
  zone: row.timeZone,
  status: row.status === "held" ? "signed" : row.status,
  weightKgUsed: row.weightKg,
  signedAtMs: row.signedAt?.getTime(),
  shifts: row.shifts.map(({ fromAt, byMinutes }) => ({ fromMs: Date.parse(fromAt), byMinutes })),
  reviewedAtMs: row.reviews.map((review) => Date.parse(review.at)),
  continuesFromDay: row.continuesFromDay ?? undefined,
  restartsSeries: row.restartsSeries,
});

const toDose = (row: store.DoseRow): DoseEvent => ({
  id: row.id,
  courseId: row.courseId ?? undefined,
  drugKey: row.drugKey,
  presentationKey: row.presentationKey ?? undefined,
  route: row.route,
  doseMg: row.doseMg,
  givenAtMs: row.givenAt.getTime(),
  outcome: row.outcome,
  givenBy: row.givenBy.name,
  scheduledAtMs: row.scheduledAt?.getTime(),
  reason: row.reason ?? undefined,
});

const ofHorse = <T extends { readonly horseId: string }>(rows: readonly T[], id: string) =>
  rows.filter((row) => row.horseId === id);

export interface LoadOptions {
  /** Leaves out doses and courses that ended longer ago; for lists over many horses. */
  readonly lookBackDays?: number;
}

/** Loads several horses with a handful of queries, however many they are. */
export const loadMedication = async (
  work: Work,
  horses: readonly store.HorseRow[],
  { lookBackDays }: LoadOptions = {},
): Promise<HorseMedication[]> => {
  if (horses.length === 0) return [];
  const { tx, nowMs } = work;
  const ids = horses.map((horse) => horse.id);
  const sinceMs = lookBackDays === undefined ? undefined : nowMs - lookBackDays * MS_PER_DAY;
  const practice = await readPractice(work);
  const courses = await store.findCourses(tx, {
    horseIds: ids,
    statuses: ["signed", "held", "stopped", "finished"],
    ...(sinceMs === undefined ? {} : { endingFrom: localDateOf(sinceMs, practice.timeZone) }),
    limit: 10_000,
  });
  const doses = await store.findDoses(tx, { horseIds: ids, sinceMs });
  const weights = await store.findWeights(tx, ids);
  const holds = await store.findHolds(tx, ids);
  const results = await store.findResults(tx, ids);
  const elsewhere = await store.findGivenElsewhere(tx, ids);
  const settings = medicationSettings(
    await store.findSettings(tx, localDateOf(nowMs, practice.timeZone)),
  );
  return horses.map((horse): HorseMedication => {
    const mine = ofHorse(courses, horse.id).filter((row) => row.signedAt !== null);
    const given = ofHorse(doses, horse.id);
    return {
      horse,
      courses: mine,
      doses: given,
      context: {
        animal: {
          type: horse.type,
          bornOn: horse.bornOn ?? undefined,
          heightCm: horse.heightCm ?? undefined,
          pregnant: horse.pregnant,
          lactating: horse.lactating,
          conditions: horse.conditions,
          foodChain: horse.foodChain,
          medicinesGiven: ofHorse(elsewhere, horse.id).map((row) => ({
            name: row.name,
            class: row.class,
            givenAtMs: row.givenAt.getTime(),
          })),
        },
        weights: ofHorse(weights, horse.id).map((row) => ({
          weightKg: row.weightKg,
          lowKg: row.lowKg,
          highKg: row.highKg,
          method: row.method,
          takenAtMs: row.weighedAt.getTime(),
        })),
        courses: mine.map(toCourse),
        doses: given.map(toDose),
        holds: ofHorse(holds, horse.id).map((row) => ({
          id: row.id,
          courseId: row.courseId,
          why: row.why,
          reason: row.reason,
          fromMs: row.raisedAt.getTime(),
          releasedAtMs: row.releasedAt?.getTime(),
        })),
        results: ofHorse(results, horse.id).map((row) => ({
          test: row.test,
          value: row.value,
          unit: row.unit,
          takenAtMs: startOfDay(row.takenOn, horse.timeZone),
        })),
        atMs: nowMs,
        zone: horse.timeZone,
        jurisdiction: jurisdictionOf(practice.jurisdiction),
        settings,
        place: "yard",
      },
    };
  });
};

/** One horse with its whole history. @throws Problem when it is not there or not to be seen. */
export const readMedication = async (work: Work, horseId: string): Promise<HorseMedication> => {
  const horses = await store.findHorses(work.tx, { ids: [horseId] });
  const [found] = await loadMedication(work, horses);
  if (found === undefined) throw notFound("horse");
  return found;
};

/** One horse as {@link readMedication}, locked first: what is read stays true until the transaction ends. */
export const lockMedication = async (work: Work, horseId: string): Promise<HorseMedication> => {
  if (!(await store.lockHorse(work.tx, horseId))) throw notFound("horse");
  return readMedication(work, horseId);
};
