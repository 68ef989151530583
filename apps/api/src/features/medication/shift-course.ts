import type { CourseView, judgeCourseShift, shiftCourse as contract } from "@heelward/contracts";
import { isAllowed, type Finding } from "@heelward/domain/evidence";
import {
  offeredShiftMinutes,
  shiftCourse,
  type ShiftedCourse,
  type Slot,
} from "@heelward/domain/medication";
import type { z } from "zod";
import type { Work } from "../../http/work.ts";
import * as handoffs from "../handoffs/service.ts";
import { asJson } from "./as-json.ts";
import { readMedication, toCourse, type HorseMedication } from "./context.ts";
import { findCourse, lockCourse, noteCourse, signer } from "./course-lock.ts";
import { read } from "./courses.ts";
import { judgeRemaining } from "./judge.ts";
import { momentText } from "./local-time.ts";
import { refuse } from "./refusals.ts";
import type { CourseRow, StoredShift } from "./store.ts";
import { drugName } from "./views.ts";

type Shift = z.output<NonNullable<typeof contract.body>>;
type Check = z.input<typeof judgeCourseShift.response>;

const judge = (
  medication: HorseMedication,
  course: CourseRow,
  byMinutes: number,
): { readonly shifted: ShiftedCourse | undefined; readonly findings: readonly Finding[] } => {
  const moved = shiftCourse(toCourse(course), byMinutes, medication.context);
  return moved.ok
    ? {
        shifted: moved.value,
        findings: [...moved.findings, ...judgeRemaining(medication, course, moved.value.course)],
      }
    : { shifted: undefined, findings: moved.findings };
};

const times = (slots: readonly Slot[]): string[] =>
  slots.map((slot) => new Date(slot.atMs).toISOString());

/** What a shift would do, and how many minutes the last dose's lateness suggests. */
export const check = async (work: Work, id: string, asked: number | undefined): Promise<Check> => {
  const course = await findCourse(work, id);
  const medication = await readMedication(work, course.horseId);
  const offeredMinutes = offeredShiftMinutes(toCourse(course), medication.context);
  const byMinutes = asked ?? offeredMinutes;
  const { shifted, findings } = judge(medication, course, byMinutes);
  return {
    byMinutes,
    offeredMinutes,
    allowed: isAllowed(findings),
    findings: [...findings],
    before: times(shifted?.before ?? []),
    after: times(shifted?.after ?? []),
  };
};

/** A vet signs that the doses to come are given later: the sealed course stays, the shift stands beside it. */
export const shift = async (
  work: Work,
  id: string,
  seen: number,
  { byMinutes, reason }: Shift,
): Promise<CourseView> => {
  const { course, medication } = await lockCourse(work, id, seen);
  const by = signer(work);
  const { shifted, findings } = judge(medication, course, byMinutes);
  if (shifted === undefined || !isAllowed(findings))
    return refuse(work, {
      horseId: course.horseId,
      caseId: course.caseId,
      kind: "course shift",
      request: { courseId: id, byMinutes, reason },
      findings,
      title: `Refused: ${drugName(course.drugKey)} to be given ${byMinutes} minutes later`,
    });
  const at = new Date(work.nowMs).toISOString();
  const fromAt = new Date(shifted.shift.fromMs).toISOString();
  const document = work.signer.seal(
    asJson({
      meaning: "gives the doses still to come of the medication course later",
      courseId: id,
      horseId: course.horseId,
      courseSignature: course.signature,
      fromAt,
      byMinutes,
      reason,
      findings,
      signer: by,
      signedAt: at,
    }),
  );
  const entry: StoredShift = {
    at,
    by: { id: work.actor.personId, name: work.actor.name },
    fromAt,
    byMinutes,
    reason,
    signedText: document.text,
    signature: document.signature,
    keyId: work.signer.keyId,
  };
  await work.tx.medicationCourse.updateMany({
    where: { id },
    data: { shifts: asJson([...course.shifts, entry]), version: seen + 1 },
  });
  const next = shifted.after[0];
  const when = next === undefined ? "" : momentText(next.atMs, course.timeZone);
  await noteCourse(
    work,
    course,
    "shifted",
    {
      title: `${drugName(course.drugKey)}: doses ${byMinutes} minutes later, next ${when}`,
      detail: reason,
    },
    { fromAt, byMinutes, reason, signature: document.signature },
  );
  await handoffs.write(work, {
    horseId: course.horseId,
    toRole: "carer",
    urgent: true,
    situation: `${course.horse.name}: ${drugName(course.drugKey)} is given later`.slice(0, 200),
    mustDo:
      `Next dose ${when}, and all after it ${byMinutes} minutes later than before; never earlier`.slice(
        0,
        400,
      ),
  });
  return read(work, id);
};
