import { localDateOf } from "@heelward/domain/time";
import { windowOf } from "../resets/standing.ts";
import type { ResetRow } from "../resets/read-model.ts";
import type { OwnersCourse } from "./medicine-words.ts";
import { drugName } from "../medication/views.ts";

export interface NextDate {
  readonly what: string;
  readonly on: string;
  readonly who: string | null;
}

const longDay = (day: string): string =>
  new Intl.DateTimeFormat("en-GB", { timeZone: "UTC", day: "numeric", month: "long" }).format(
    new Date(`${day}T00:00:00Z`),
  );

const farrierDate = (reset: ResetRow, today: string): NextDate => {
  const who = reset.farrier?.name ?? null;
  const bookedOn =
    reset.bookedFor === null ? null : localDateOf(reset.bookedFor.getTime(), reset.yard.timeZone);
  if (bookedOn !== null && bookedOn >= today)
    return { what: "The farrier comes", on: bookedOn, who };
  const { bookBy } = windowOf(reset);
  return {
    what: `The farrier's visit is due on ${longDay(bookBy)}, please confirm a date`,
    on: bookBy,
    who,
  };
};

/** What comes next, soonest first. A date that has passed asks to be confirmed; it blames nobody. */
export const nextDates = (
  reset: ResetRow | undefined,
  courses: readonly (OwnersCourse & { readonly reviewOn: string | null })[],
  today: string,
): readonly NextDate[] =>
  [
    ...(reset === undefined || reset.pausedReason !== null ? [] : [farrierDate(reset, today)]),
    ...courses.flatMap((course): NextDate[] => [
      ...(course.reviewOn !== null && course.reviewOn >= today
        ? [
            {
              what: `The vet looks at the ${drugName(course.drugKey)} again`,
              on: course.reviewOn,
              who: null,
            },
          ]
        : []),
      ...(course.status === "signed" && course.endOn !== null && course.endOn >= today
        ? [{ what: `Last day of the ${drugName(course.drugKey)}`, on: course.endOn, who: null }]
        : []),
    ]),
  ].toSorted((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0));
