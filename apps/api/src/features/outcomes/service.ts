import type { Outcomes } from "@heelward/contracts";
import { WEIGHT_MAX_AGE_DAYS } from "@heelward/domain/medication";
import { FEWEST_FOR_RATE, rateOf, summaryOf } from "@heelward/domain/outcomes";
import { MS_PER_DAY } from "@heelward/domain/time";
import type { Work } from "../../http/work.ts";
import { medicationWork } from "../medication/read-model.ts";
import { drugName } from "../medication/views.ts";
import { compliance } from "../plans/compliance.ts";
import { measureChanges } from "./measures.ts";
import * as store from "./store.ts";

const adherence = async (work: Work): Promise<Outcomes["adherence"]> => {
  const { graceDays, practice, byFarrier } = await compliance(work);
  return {
    graceDays,
    practice: rateOf(practice.onTime, practice.total),
    byFarrier: byFarrier.map(({ farrier, onTime, total }) => ({
      farrier,
      resets: rateOf(onTime, total),
    })),
  };
};

/** Weights past their age: in treatment by the rule of the course, otherwise by the age that blocks a new one. */
const staleWeights = async (work: Work): Promise<Outcomes["staleWeights"]> => {
  const inTreatment = new Map(
    (await medicationWork(work)).staleWeights.map((one) => [one.horseId, one.medicines]),
  );
  const horses = await store.findWeights(work.tx, [...inTreatment.keys()]);
  return horses.flatMap(({ id, name, yard, weighedAt }) => {
    const ageDays =
      weighedAt === null ? null : Math.floor((work.nowMs - weighedAt.getTime()) / MS_PER_DAY);
    return inTreatment.has(id) || ageDays === null || ageDays > WEIGHT_MAX_AGE_DAYS
      ? [{ horse: { id, name }, yard, ageDays, medicines: [...(inTreatment.get(id) ?? [])] }]
      : [];
  });
};

const comfort = async (work: Work, since: Date): Promise<Outcomes["comfort"]> => {
  const cases = await store.findComfort(work.tx, since);
  return {
    first: summaryOf(cases.map((one) => one.first)),
    last: summaryOf(cases.map((one) => one.last)),
    lower: rateOf(cases.filter((one) => one.last < one.first).length, cases.length),
    higher: rateOf(cases.filter((one) => one.last > one.first).length, cases.length),
  };
};

/** How the practice's cases went over the last days, and what waits now. */
export const read = async (work: Work, days: number): Promise<Outcomes> => {
  const { tx, nowMs } = work;
  const since = new Date(nowMs - days * MS_PER_DAY);
  const signed = await store.findSigningTimes(tx, since);
  const hoursOf = (what: "plan" | "course") => ({
    what,
    hours: summaryOf(signed.filter((one) => one.what === what).map((one) => one.hours)),
  });
  const workload = await store.findWorkload(tx, since);
  const drafts = await store.findUnsigned(tx);
  const notes = await store.findOpenNotes(tx);
  return {
    at: new Date(nowMs).toISOString(),
    days,
    fewest: FEWEST_FOR_RATE,
    timeToSign: [hoursOf("plan"), hoursOf("course")],
    adherence: await adherence(work),
    measures: await measureChanges(work, since),
    comfort: await comfort(work, since),
    workload: workload.map(({ id, name, ...counts }) => ({ person: { id, name }, ...counts })),
    drafts: drafts.map((one) => ({
      ...one,
      title: one.what === "course" ? drugName(one.title) : one.title,
      draftedAt: one.draftedAt.toISOString(),
      href: one.what === "plan" ? `/prescriptions/${one.id}` : `/courses/${one.id}`,
    })),
    staleWeights: await staleWeights(work),
    notes: notes.map((one) => ({
      ...one,
      writtenAt: one.writtenAt.toISOString(),
      acknowledgeBy: one.acknowledgeBy.toISOString(),
      isLate: one.acknowledgeBy.getTime() < nowMs,
    })),
  };
};
