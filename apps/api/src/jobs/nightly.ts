import { localDateOf, MS_PER_DAY, startOfDay } from "@heelward/domain/time";
import { finishCourses } from "../features/medication/finish-courses.ts";
import { keepCompliance } from "../features/plans/compliance.ts";
import { remindOwners, silence } from "../features/reminders/send.ts";
import { findResets } from "../features/resets/read-model.ts";
import type { MailRoom } from "../mail/outbox.ts";
import type { SystemWork } from "./as-system.ts";

/** Owners are reminded this many days before a booked visit. House rule. */
const REMIND_DAYS_BEFORE = 3;
const MOST = 2000;

/** Reminds the owners of visits in the coming days; nobody is written to twice about one date. */
export const remindOfVisits = async (work: SystemWork, mail: MailRoom): Promise<number> => {
  const { tx, practiceId, nowMs } = work;
  const rows = await findResets(work, {
    isOpen: true,
    bookedBetween: [new Date(nowMs), new Date(nowMs + REMIND_DAYS_BEFORE * MS_PER_DAY)],
    limit: MOST,
  });
  let count = 0;
  for (const row of rows) {
    // One reset after the other, in one transaction.
    // oxlint-disable-next-line no-await-in-loop
    const asked = await tx.reminder.count({ where: { resetId: row.id, askedFor: row.bookedFor } });
    // oxlint-disable-next-line no-await-in-loop
    if (asked > 0 || (await silence(tx, row)) !== null) continue;
    // oxlint-disable-next-line no-await-in-loop
    const { writtenTo } = await remindOwners({ tx, practiceId, nowMs, sentBy: null }, mail, row);
    count += writtenTo.length;
    if (writtenTo.length > 0)
      work.audit({
        event: "reminder.queued",
        subjectType: "reset",
        subjectId: row.id,
        horseId: row.horse.id,
        payload: { to: writtenTo.map((person) => person.id) },
      });
  }
  if (count > 0) {
    work.announce("outbox");
    work.announce("resets");
  }
  return count;
};

/** Takes back a cover's sight of a horse once the time after the visit is over. */
const endCovers = async ({ tx, practiceId, nowMs }: SystemWork): Promise<void> => {
  const practice = await tx.practice.findUniqueOrThrow({ where: { id: practiceId } });
  const today = localDateOf(nowMs, practice.timeZone);
  await tx.horseCover.deleteMany({ where: { untilOn: { lt: new Date(`${today}T00:00:00Z`) } } });
};

/** Figures, reminders and tidying of one practice. Safe to run twice on one day. */
export const nightly = async (work: SystemWork, mail: MailRoom | undefined): Promise<void> => {
  await keepCompliance(work);
  await endCovers(work);
  const { practiceId, nowMs, tx, audit } = work;
  await finishCourses({ tx, nowMs, audit, actor: { practiceId, personId: null } });
  if (mail !== undefined) await remindOfVisits(work, mail);
};

/** The hour, in the practice's own zone, from which a day's nightly work may be done. */
const NIGHT_HOUR = 3;

/** Whether a practice's nightly work of today is due and not done. */
export const isNightlyDue = async ({ tx, practiceId, nowMs }: SystemWork): Promise<boolean> => {
  const practice = await tx.practice.findUniqueOrThrow({ where: { id: practiceId } });
  const today = localDateOf(nowMs, practice.timeZone);
  if (nowMs < startOfDay(today, practice.timeZone) + NIGHT_HOUR * 3_600_000) return false;
  return (
    (await tx.complianceFigure.count({
      where: { kind: "practice", figuredOn: new Date(`${today}T00:00:00Z`) },
    })) === 0
  );
};
