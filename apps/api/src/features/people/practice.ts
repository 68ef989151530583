import { localDateOf, type LocalDate } from "@heelward/domain/time";
import type { Work } from "../../http/work.ts";

/** The practice of the person asking. */
export const readPractice = ({ tx, actor }: Work) =>
  tx.practice.findUniqueOrThrow({ where: { id: actor.practiceId } });

/** The calendar day of this request where the practice is. */
export const practiceToday = async (work: Work): Promise<LocalDate> =>
  localDateOf(work.nowMs, (await readPractice(work)).timeZone);

/** The number to ring, as notes and sheets print it. */
export const practicePhone = async (work: Work): Promise<string> =>
  (await readPractice(work)).phone ?? "the practice";
