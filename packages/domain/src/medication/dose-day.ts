import {
  daysBetween,
  dayText,
  localDateOf,
  MS_PER_HOUR,
  type InstantMs,
  type LocalDate,
} from "../time/index.ts";
import { measureText } from "./build-course.ts";
import { counts } from "./counted-doses.ts";
import { asClause, mgText } from "./finding.ts";
import { drugOf, presentationOf } from "./formulary/index.ts";
import { holdsOn } from "./holds.ts";
import { nextReviewOn } from "./review.ts";
import { slotsOf, type Slot } from "./slots.ts";
import type { Course, DoseEvent, MedicationContext } from "./types.ts";

export type PartOfDay = "morning" | "midday" | "evening" | "night";

/** How one planned dose stands for the person in the yard. */
export type DoseDayStatus =
  | "given"
  | "refused"
  | "spat out"
  | "not given"
  | "held"
  | "needs vet"
  | "not signed"
  | "upcoming"
  | "due"
  | "late"
  | "missed";

export interface DoseDayLine {
  readonly courseId: string;
  readonly drug: string;
  readonly amount: string;
  readonly doseMg: number;
  readonly atMs: InstantMs;
  readonly timeLocal: string;
  readonly status: DoseDayStatus;
  readonly lateMinutes: number;
  readonly why: string;
  readonly cautions: readonly string[];
  readonly handling: readonly string[];
}

/** From here before its time a dose shows as due. Source: house rule. */
const DUE_FROM_MS = MS_PER_HOUR;
const LATE_AFTER_MS = MS_PER_HOUR;

/** Which part of the day a clock time falls in. */
export const partOfDay = (timeLocal: string): PartOfDay =>
  timeLocal < "05:00" || timeLocal >= "22:00"
    ? "night"
    : timeLocal < "11:00"
      ? "morning"
      : timeLocal < "16:00"
        ? "midday"
        : "evening";

const recordOf = (slot: Slot, doses: readonly DoseEvent[]): DoseEvent | undefined => {
  const mine = doses.filter(
    (dose) => dose.courseId === slot.courseId && dose.scheduledAtMs === slot.atMs,
  );
  return mine.find(counts) ?? mine.at(-1);
};

const statusOf = (
  course: Course,
  slot: Slot,
  context: MedicationContext,
): Pick<DoseDayLine, "status" | "why"> => {
  const record = recordOf(slot, context.doses);
  if (record !== undefined)
    return { status: record.outcome, why: `${record.outcome} by ${record.givenBy}` };
  if (course.status === "draft" || course.signedAtMs === undefined)
    return { status: "not signed", why: "The vet has not signed this yet: do not give." };
  const hold = holdsOn(course, context.holds, context.atMs)[0];
  if (course.status === "held" || hold !== undefined)
    return {
      status: "held",
      why: `Held: ${asClause(hold?.reason ?? "by the vet")}. Only a vet releases it.`,
    };
  const due = nextReviewOn(course, context);
  const drug = drugOf(course.drugKey);
  const stops =
    drug !== undefined && (drug.classes.includes("NSAID") || drug.classes.includes("analgesic"));
  if (stops && slot.on > due)
    return {
      status: "needs vet",
      why: `The vet's review was due by ${dayText(due)}: do not give before it.`,
    };
  if (context.atMs >= slot.lateUntilMs)
    return { status: "missed", why: "Leave it out; never double the next one." };
  if (context.atMs > slot.atMs + LATE_AFTER_MS)
    return { status: "late", why: "May still be given now; then keep to the next time." };
  if (context.atMs >= slot.atMs - DUE_FROM_MS) return { status: "due", why: "Give now." };
  return { status: "upcoming", why: `Due at ${slot.timeLocal}.` };
};

/** The carer's list for one local day: every planned dose by part of the day and time. */
export const doseDayView = (
  context: MedicationContext,
  on: LocalDate = localDateOf(context.atMs, context.zone),
): Readonly<Record<PartOfDay, readonly DoseDayLine[]>> => {
  const lines = context.courses
    .filter((course) => !["superseded", "stopped"].includes(course.status))
    .flatMap((course) => {
      const day = daysBetween(course.startOn, on) + 1;
      if (day < 1) return [];
      const drug = drugOf(course.drugKey);
      const presentation =
        drug === undefined ? undefined : presentationOf(drug, course.presentationKey);
      return slotsOf(course, day, day).map((slot): DoseDayLine => {
        const lateMs = context.atMs - slot.atMs;
        const { status, why } = statusOf(course, slot, context);
        return {
          courseId: course.id,
          drug: drug?.name ?? course.drugKey,
          amount:
            presentation === undefined
              ? mgText(slot.doseMg)
              : `${measureText(slot.doseMg / presentation.mgPerUnit, presentation)} (${mgText(slot.doseMg)})`,
          doseMg: slot.doseMg,
          atMs: slot.atMs,
          timeLocal: slot.timeLocal,
          status,
          why,
          lateMinutes: status === "late" || status === "missed" ? Math.round(lateMs / 60_000) : 0,
          cautions: drug?.cautions ?? [],
          handling: drug?.handling ?? [],
        };
      });
    })
    .toSorted((a, b) => a.atMs - b.atMs || (a.courseId < b.courseId ? -1 : 1));
  const parts: Record<PartOfDay, DoseDayLine[]> = {
    morning: [],
    midday: [],
    evening: [],
    night: [],
  };
  for (const line of lines) parts[partOfDay(line.timeLocal)].push(line);
  return parts;
};
