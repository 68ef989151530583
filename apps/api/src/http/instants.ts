import { badField } from "./problem.ts";

/** A clock on a phone may run ahead a little; a record further in the future is a mistake. */
const CLOCK_SLACK_MS = 5 * 60_000;

/** @throws Problem when the instant lies in the future beyond what a clock may be out. */
export const assertNotFuture = (instant: string, nowMs: number, pointer: string): void => {
  if (Date.parse(instant) > nowMs + CLOCK_SLACK_MS) throw badField(pointer, "lies in the future");
};
