import { drugOf, type CourseStep, type DrugClass } from "@heelward/domain/medication";
import { addDays, daysBetween } from "@heelward/domain/time";
import { drugName, measureOf } from "../medication/views.ts";

/** A course as far as an owner is told about it. */
export interface OwnersCourse {
  readonly drugKey: string;
  readonly presentationKey: string;
  readonly steps: readonly CourseStep[];
  readonly startOn: string;
  readonly endOn: string | null;
  readonly status: string;
}

/** Signs to look for, in short words. Source: the data sheets behind the daily checklist of the dose rules. */
const WATCH: readonly (readonly [DrugClass, string])[] = [
  [
    "NSAID",
    "off its food, loose or dark dung, a sore mouth, puffy legs or belly, dull: stop and ring us",
  ],
  ["SGLT2 inhibitor", "dull, leaves its hay, loses weight fast: stop and ring us at once"],
  ["dopamine agonist", "dull or off its food, mostly in the first weeks: ring us"],
  ["sedative", "too sleepy or unsteady: ring us"],
];
const ELSE = "anything you have not seen before: ring us";

const TIMES = ["", "once a day", "twice a day", "three times a day", "four times a day"];

const howOften = (step: CourseStep): string => {
  const times = TIMES[step.timesLocal.length] ?? `${step.timesLocal.length} times a day`;
  if (step.everyDays === 1) return times;
  const days = step.everyDays === 2 ? "every second day" : `every ${step.everyDays} days`;
  return step.timesLocal.length === 1 ? days : `${times}, ${days}`;
};

/** How much of a course is given on a day; the first step when it has not begun. */
const howMuch = (course: OwnersCourse, on: string): string => {
  if (course.status === "held") return "on hold: please do not give it until the vet says so";
  const day = daysBetween(course.startOn, on) + 1;
  const step =
    course.steps.find((one) => day >= one.fromDay && day <= one.toDay) ??
    course.steps.find((one) => one.fromDay > day);
  if (step === undefined) return "as the vet told you";
  const amount = `${measureOf(course.drugKey, course.presentationKey, step.doseMg)} ${howOften(step)}`;
  const from = addDays(course.startOn, step.fromDay - 1);
  return from > on ? `${amount}, from ${from}` : amount;
};

/** One medicine by name, how much, until when, and what to look for. */
export const medicineInPlainWords = (course: OwnersCourse, on: string) => ({
  name: drugName(course.drugKey),
  howMuch: howMuch(course, on),
  until: course.endOn,
  watchFor:
    WATCH.find(([name]) => drugOf(course.drugKey)?.classes.includes(name) === true)?.[1] ?? ELSE,
});
