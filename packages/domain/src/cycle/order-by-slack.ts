import { daysBetween, type LocalDate } from "../time/index.ts";
import type { DueWindow } from "./due-window.ts";

export interface SlackRow {
  readonly horseId: string;
  readonly window: DueWindow;
}

/**
 * The board by days until the fast edge of growth meets the limit, least first: where slack is
 * thinnest. Horses without a forecast follow, by due day; equal rows by horse, so the order is total.
 */
export const orderBySlack = <T extends SlackRow>(
  rows: readonly T[],
  today: LocalDate,
): readonly (T & { readonly daysUntilLatestSafe?: number })[] =>
  rows
    .map((row) =>
      row.window.latestSafeOn === undefined
        ? row
        : { ...row, daysUntilLatestSafe: daysBetween(today, row.window.latestSafeOn) },
    )
    .toSorted((left, right) => {
      const leftDay = left.window.latestSafeOn;
      const rightDay = right.window.latestSafeOn;
      if ((leftDay === undefined) !== (rightDay === undefined))
        return leftDay === undefined ? 1 : -1;
      const days = daysBetween(rightDay ?? right.window.dueOn, leftDay ?? left.window.dueOn);
      return days || (left.horseId < right.horseId ? -1 : left.horseId > right.horseId ? 1 : 0);
    });
