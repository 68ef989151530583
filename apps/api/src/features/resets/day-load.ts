import type { Finding, Source } from "@heelward/domain/evidence";
import { localDateOf, MS_PER_DAY, MS_PER_MINUTE, startOfDay } from "@heelward/domain/time";
import type { Work } from "../../http/work.ts";
import { findRota } from "../rota/read-model.ts";
import { workingDay } from "../rota/working-hours.ts";
import { findBooked } from "./store.ts";

const DAY_LOAD: Source = {
  id: "house-day-load",
  citation: "House rule: a farrier's day is looked at before another visit goes into it",
  status: "house rule",
};
const UNKNOWN_MINUTES = 45;

/** How full a farrier's day gets with one more visit, and what it would collide with. */
export interface DayLoad {
  readonly findings: readonly Finding[];
  /** Work on that day with this visit, without driving. */
  readonly dayMinutes: number;
  /** Null on a day off. */
  readonly dayLengthMinutes: number | null;
}

export const dayLoad = async (
  { tx }: Pick<Work, "tx">,
  visit: {
    readonly resetId: string;
    readonly farrierId: string;
    readonly atMs: number;
    readonly minutes: number;
  },
): Promise<DayLoad> => {
  const { zone } = await tx.practice
    .findFirstOrThrow({})
    .then((practice) => ({ zone: practice.timeZone }));
  const on = localDateOf(visit.atMs, zone);
  const fromMs = startOfDay(on, zone);
  const rota = await findRota(tx, on);
  const others = (
    await findBooked(tx, visit.farrierId, [
      new Date(fromMs),
      new Date(fromMs + MS_PER_DAY + 2 * 3_600_000),
    ])
  ).filter(
    (one) => one.resetId !== visit.resetId && localDateOf(one.bookedFor.getTime(), zone) === on,
  );
  const day = workingDay(rota, visit.farrierId, on);
  const lengthMinutes =
    day === null
      ? null
      : Math.floor((day.endMs - day.startMs) / MS_PER_MINUTE) - (day.lunch?.minutes ?? 0);
  const dayMinutes = others.reduce(
    (sum, one) => sum + (one.minutes ?? UNKNOWN_MINUTES),
    visit.minutes,
  );
  const untilMs = visit.atMs + visit.minutes * MS_PER_MINUTE;
  const clash = others.find((one) => {
    const startMs = one.bookedFor.getTime();
    return (
      startMs < untilMs && visit.atMs < startMs + (one.minutes ?? UNKNOWN_MINUTES) * MS_PER_MINUTE
    );
  });
  const warn = (rule: string, detail: string): Finding => ({
    rule: `cycle/${rule}@1`,
    outcome: "warn",
    detail,
    source: DAY_LOAD,
    field: "/bookedFor",
  });
  return {
    dayMinutes,
    dayLengthMinutes: lengthMinutes,
    findings: [
      ...(lengthMinutes !== null && dayMinutes > lengthMinutes
        ? [
            warn(
              "booking-day-too-long",
              `With this visit ${on} holds ${dayMinutes} minutes of work before any driving; the working day has ${lengthMinutes}.`,
            ),
          ]
        : []),
      ...(clash === undefined
        ? []
        : [
            warn(
              "booking-overlaps",
              `The farrier is booked with ${clash.horseName} at that time already.`,
            ),
          ]),
    ],
  };
};
