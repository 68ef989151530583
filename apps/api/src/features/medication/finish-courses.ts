import { dayText } from "@heelward/domain/time";
import type { Work } from "../../http/work.ts";
import { type EventWriter, recordEvent } from "../cases/events.ts";
import { finishOverdue } from "./store.ts";
import { drugName } from "./views.ts";

/**
 * Marks signed courses whose last day is over as finished, of one horse or of all in sight. The
 * version stays: people saw them as finished from the first minute after the last day.
 */
export const finishCourses = async (
  work: EventWriter & Pick<Work, "audit">,
  horseId?: string,
): Promise<string[]> => {
  const over = await finishOverdue(work.tx, new Date(work.nowMs), horseId);
  for (const course of over) {
    work.audit({
      event: "course.finished",
      subjectType: "medication course",
      subjectId: course.id,
      horseId: course.horseId,
      payload: { endOn: course.endOn },
    });
    // One after the other: each takes its place in the timeline.
    // oxlint-disable-next-line no-await-in-loop
    await recordEvent(work, {
      horseId: course.horseId,
      caseId: course.caseId,
      kind: "medicine",
      title: `${drugName(course.drugKey)} ran its time`,
      detail: `Last day ${dayText(course.endOn)}`,
      refType: "medication course",
      refId: course.id,
    });
  }
  return over.map((course) => course.id);
};
