import { addDays, type LocalDate } from "../time/index.ts";

export const PAUSE_KINDS = ["hospital", "sold", "euthanasia"] as const;
export type PauseKind = (typeof PAUSE_KINDS)[number];

/** A time without resets. Sold and euthanasia have no end. */
export interface Pause {
  readonly kind: PauseKind;
  readonly fromOn: LocalDate;
  /** First day back; absent while it lasts. */
  readonly untilOn?: LocalDate;
}

/** The pause in force on a day, if any. The day of return is not paused. */
export const pauseOn = (pauses: readonly Pause[], on: LocalDate): Pause | undefined =>
  pauses.find(
    (pause) =>
      pause.fromOn <= on &&
      (pause.kind !== "hospital" || pause.untilOn === undefined || on < pause.untilOn),
  );

/**
 * Day by which a horse back from hospital is looked at: the horn grew on while it was away, so the
 * due date stays where it was and, once past, the feet are seen the day after the return.
 */
export const dueAfterReturn = (dueOn: LocalDate, returnedOn: LocalDate): LocalDate => {
  const dayAfter = addDays(returnedOn, 1);
  return dueOn > dayAfter ? dueOn : dayAfter;
};
