import {
  cancelBooking,
  changeHorse,
  changePhase,
  checkHorse,
  examineHorse,
  logAttempt,
  takePhoneCall,
  writeHandoffNote,
} from "@heelward/contracts";
import type { InstantMs } from "@heelward/domain/time";
import type { z } from "zod";
import * as cases from "../features/cases/service.ts";
import * as examinations from "../features/examinations/service.ts";
import * as handoffs from "../features/handoffs/service.ts";
import * as horses from "../features/horses/service.ts";
import * as resets from "../features/resets/service.ts";
import { iso, known, type Telling } from "./story.ts";

type BodyOf<O extends { readonly body?: z.ZodType }> = z.input<NonNullable<O["body"]>>;

type Check = Omit<BodyOf<typeof checkHorse>, "examinedAt">;
type Cancelling = Omit<BodyOf<typeof cancelBooking>, "personToRebook"> & {
  readonly personToRebook?: string;
};

/** A check in the yard. @returns the courses it put on hold. */
export const checkInYard = async (
  { perform, register }: Telling,
  atMs: InstantMs,
  who: string,
  horse: string,
  body: Check,
): Promise<readonly string[]> => {
  const checked = await perform(
    atMs,
    who,
    checkHorse,
    {
      params: { horseId: known(register.horses, horse) },
      body: { ...body, examinedAt: iso(atMs) },
    },
    (work, input) => examinations.check(work, input.params.horseId, input.body),
  );
  return checked.heldCourseIds;
};

/** An examination by a vet within the open case. */
export const examine = async (
  { perform, register }: Telling,
  atMs: InstantMs,
  who: string,
  horse: string,
  body: Check,
): Promise<void> => {
  await perform(
    atMs,
    who,
    examineHorse,
    {
      params: { caseId: known(register.cases, horse) },
      body: { ...body, examinedAt: iso(atMs) },
    },
    (work, input) => examinations.examine(work, input.params.caseId, input.body),
  );
};

/** The first call about a bout; opens the case when none is open. */
export const takeCall = async (
  { perform, register }: Telling,
  atMs: InstantMs,
  who: string,
  horse: string,
  body: Omit<BodyOf<typeof takePhoneCall>, "horseId" | "calledAt">,
): Promise<void> => {
  const taken = await perform(
    atMs,
    who,
    takePhoneCall,
    { body: { ...body, horseId: known(register.horses, horse), calledAt: iso(atMs) } },
    (work, input) => cases.takeCall(work, input.body),
  );
  register.cases.set(horse, taken.case.id);
};

/** A vet moves the case to another phase. */
export const movePhase = async (
  { perform, register }: Telling,
  atMs: InstantMs,
  who: string,
  horse: string,
  body: BodyOf<typeof changePhase>,
): Promise<void> => {
  await perform(
    atMs,
    who,
    changePhase,
    { params: { caseId: known(register.cases, horse) }, body },
    async (work, input) => {
      const before = await cases.read(work, input.params.caseId);
      return cases.movePhase(work, input.params.caseId, before.version, input.body);
    },
  );
};

/** Corrects the card of a horse. */
export const alterHorse = async (
  { perform, register }: Telling,
  atMs: InstantMs,
  who: string,
  horse: string,
  body: BodyOf<typeof changeHorse>,
): Promise<void> => {
  await perform(
    atMs,
    who,
    changeHorse,
    { params: { horseId: known(register.horses, horse) }, body },
    async (work, input) => {
      const before = await horses.read(work, input.params.horseId);
      return horses.change(work, input.params.horseId, before.version, input.body);
    },
  );
};

/** A note written by hand to another role. */
export const sendNote = async (
  { perform, register }: Telling,
  atMs: InstantMs,
  who: string,
  horse: string,
  body: Omit<BodyOf<typeof writeHandoffNote>, "horseId">,
): Promise<void> => {
  await perform(
    atMs,
    who,
    writeHandoffNote,
    { body: { ...body, horseId: known(register.horses, horse) } },
    (work, input) => handoffs.write(work, input.body),
  );
};

/** A booked visit that did not happen. */
export const cancelVisit = async (
  { perform, register }: Telling,
  atMs: InstantMs,
  who: string,
  horse: string,
  { personToRebook, ...body }: Cancelling,
): Promise<void> => {
  await perform(
    atMs,
    who,
    cancelBooking,
    {
      params: { resetId: known(register.resets, horse) },
      body: {
        ...body,
        ...(personToRebook === undefined
          ? {}
          : { personToRebook: known(register.people, personToRebook) }),
      },
    },
    async (work, input) => {
      const before = await resets.read(work, input.params.resetId);
      return resets.cancel(work, input.params.resetId, before.version, input.body);
    },
  );
};

/** Somebody tried to reach the owner about a visit. */
export const logContact = async (
  { perform, register }: Telling,
  atMs: InstantMs,
  who: string,
  horse: string,
  detail: string,
): Promise<void> => {
  await perform(
    atMs,
    who,
    logAttempt,
    { params: { resetId: known(register.resets, horse) }, body: { detail, at: iso(atMs) } },
    (work, input) => resets.log(work, input.params.resetId, input.body),
  );
};
