import {
  addDays,
  atLocalTime,
  daysBetween,
  localDateOf,
  startOfDay,
  type InstantMs,
  type LocalDate,
} from "@heelward/domain/time";

/** The day at which the demo's story stands still, in its own dates. */
export const STORY_DAY: LocalDate = "2026-10-14";
/** The hour at which it stands still. */
const STORY_TIME = "07:10";
export const ZONE = "Europe/Dublin";

/**
 * Moves the story's dates so that its last day is the day of loading. Whole days are moved and clock
 * times kept, so weekdays and the season differ from the story's own: growth forecasts follow the
 * real month.
 */
export interface Calendar {
  /** The day that stands for a day of the story. */
  readonly on: (storyDay: LocalDate) => LocalDate;
  /** The instant of a clock time on a day of the story. */
  readonly at: (storyDay: LocalDate, time: string) => InstantMs;
  /** The same for what is only planned and may lie ahead. */
  readonly planned: (storyDay: LocalDate, time: string) => InstantMs;
  /** The instant of a time written as `2026-07-08T17:20+01:00`; its clock time is kept, not its offset. */
  readonly atWritten: (text: string) => InstantMs;
  readonly nowMs: InstantMs;
}

/**
 * Before ten past seven the last morning has not happened yet: it is drawn together into the hours
 * since midnight, so that the story is whole whenever the demo is loaded.
 */
export const calendarFor = (nowMs: InstantMs): Calendar => {
  const today = localDateOf(nowMs, ZONE);
  const shiftDays = daysBetween(STORY_DAY, today);
  const midnight = startOfDay(today, ZONE);
  const storyNow = atLocalTime(today, STORY_TIME, ZONE);
  const share = Math.min(1, Math.max(0, nowMs - midnight) / (storyNow - midnight));
  const on = (storyDay: LocalDate): LocalDate => addDays(storyDay, shiftDays);
  const planned = (storyDay: LocalDate, time: string): InstantMs =>
    atLocalTime(on(storyDay), time, ZONE);
  const at = (storyDay: LocalDate, time: string): InstantMs => {
    const plain = planned(storyDay, time);
    return storyDay === STORY_DAY && plain > midnight
      ? Math.floor(midnight + (plain - midnight) * share)
      : plain;
  };
  return {
    on,
    at,
    planned,
    atWritten: (text) => at(text.slice(0, 10), text.slice(11, 16)),
    nowMs,
  };
};
