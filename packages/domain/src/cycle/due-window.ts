import type { Finding, OwnFigures, Source } from "../evidence/index.ts";
import {
  addDays,
  dayText,
  daysBetween,
  localDateOf,
  type InstantMs,
  type LocalDate,
  type ZoneId,
} from "../time/index.ts";
import { intervalCeilingDays } from "./interval.ts";
import { pauseOn, type Pause } from "./pause.ts";
import { CYCLE_SETTINGS, type CyclePhase, type CycleSettings } from "./settings.ts";

export interface CycleFacts {
  /** Yard's local day of the last reset that was done. Cancelled and missed visits do not count. */
  readonly lastDoneOn: LocalDate;
  /** The interval the vet signed. */
  readonly intervalDays: number;
  readonly phase: CyclePhase;
  /** Day when the fast edge of the growth forecast meets the signed breakover limit: pulls the booking. */
  readonly forecastLimitOn?: LocalDate;
  /** Day when the middle of the forecast meets it: past this the foot has most likely outgrown its limit. */
  readonly likelyLimitOn?: LocalDate;
  /** Time zone of the yard: days are counted there, not at the server. */
  readonly zone: ZoneId;
}

export interface DueWindow {
  /** Last reset plus the signed interval. Never moves later by itself. */
  readonly dueOn: LocalDate;
  /** Book on or before this day: the due day, or earlier when the forecast says so. */
  readonly bookBy: LocalDate;
  /** First day on which a reset counts as due soon. */
  readonly opensOn: LocalDate;
  /** Latest safe day: the forecast's fast edge; absent without a forecast. */
  readonly latestSafeOn?: LocalDate;
  readonly likelyLimitOn?: LocalDate;
  /** Last reset plus the ceiling of the phase. */
  readonly ceilingOn: LocalDate;
  readonly pulledEarlier: boolean;
  /** Days between the latest safe day and the due day; negative when the interval is too long. */
  readonly slackDays?: number;
  readonly zone: ZoneId;
  readonly findings: readonly Finding[];
}

const FORECAST: Source = {
  id: "reset-from-forecast",
  citation: "The shorter of signed interval and growth forecast; the forecast never lengthens",
  status: "house rule",
};

/**
 * When the next reset is due, in the yard's calendar days.
 *
 * The forecast may pull the booking earlier, never later, and never rewrites the vet's interval.
 * @throws RangeError when the interval is not a whole number of at least one day.
 */
export const dueWindow = (
  facts: CycleFacts,
  settings: CycleSettings = CYCLE_SETTINGS,
  own: OwnFigures = {},
): DueWindow => {
  const { lastDoneOn, intervalDays, phase, forecastLimitOn, zone } = facts;
  if (!Number.isInteger(intervalDays) || intervalDays < 1)
    throw new RangeError("the interval is a whole number of days, at least 1");
  const dueOn = addDays(lastDoneOn, intervalDays);
  const pulledEarlier = forecastLimitOn !== undefined && forecastLimitOn < dueOn;
  // A forecast that was passed before the last reset still leaves no earlier day than the next one.
  const earliest = addDays(lastDoneOn, 1);
  const bookBy = !pulledEarlier ? dueOn : forecastLimitOn < earliest ? earliest : forecastLimitOn;
  const findings: readonly Finding[] = pulledEarlier
    ? [
        {
          rule: "cycle/forecast-earlier@1",
          outcome: "warn",
          detail: `On the fast side of growth the limit is met on day ${String(daysBetween(lastDoneOn, forecastLimitOn))} (${dayText(forecastLimitOn)}); ${String(intervalDays)} days leaves no slack.`,
          source: FORECAST,
        },
      ]
    : [];
  return {
    dueOn,
    bookBy,
    opensOn: addDays(bookBy, -settings.dueSoonDays.value),
    ceilingOn: addDays(lastDoneOn, intervalCeilingDays(phase, own)),
    pulledEarlier,
    zone,
    findings,
    ...(facts.likelyLimitOn === undefined ? {} : { likelyLimitOn: facts.likelyLimitOn }),
    ...(forecastLimitOn === undefined
      ? {}
      : { latestSafeOn: forecastLimitOn, slackDays: daysBetween(dueOn, forecastLimitOn) }),
  };
};

export const RESET_STATES = ["not due", "due soon", "due", "amber", "red", "paused"] as const;
export type ResetState = (typeof RESET_STATES)[number];

export interface ResetStanding {
  readonly state: ResetState;
  /** Positive when late, zero on the day, negative before. */
  readonly daysLate: number;
  /** Plain reasons for the state, the deciding one first. */
  readonly reasons: readonly string[];
  /** Days left until the latest safe day; negative once passed. */
  readonly daysUntilLatestSafe?: number;
}

export interface StandingFacts {
  /** A pain alert or a creeping rise stands. */
  readonly painUp?: boolean;
  readonly pauses?: readonly Pause[];
}

const dayWord = (count: number): string => (count === 1 ? "1 day" : `${String(count)} days`);

/**
 * How a horse stands against its window on a day at the yard: amber from one day late, red from
 * seven, or at once when the limit has most likely been passed or pain is up. The fast edge of the
 * forecast alone makes a horse due, not red: it is a warning inside the interval the vet signed.
 */
export const resetStandingOn = (
  window: DueWindow,
  today: LocalDate,
  facts: StandingFacts = {},
  settings: CycleSettings = CYCLE_SETTINGS,
): ResetStanding => {
  const daysLate = daysBetween(window.dueOn, today);
  const safe =
    window.latestSafeOn === undefined
      ? {}
      : { daysUntilLatestSafe: daysBetween(today, window.latestSafeOn) };
  const pause = pauseOn(facts.pauses ?? [], today);
  if (pause !== undefined)
    return { state: "paused", daysLate, reasons: [`paused: ${pause.kind}`], ...safe };
  const red = [
    ...(daysLate >= settings.redDaysLate.value ? [`${dayWord(daysLate)} late`] : []),
    ...(window.likelyLimitOn !== undefined && today > window.likelyLimitOn
      ? [`growth limit most likely passed on ${dayText(window.likelyLimitOn)}`]
      : []),
    ...(facts.painUp === true ? ["pain is up"] : []),
  ];
  if (red.length > 0) return { state: "red", daysLate, reasons: red, ...safe };
  if (daysLate >= settings.amberDaysLate.value)
    return { state: "amber", daysLate, reasons: [`${dayWord(daysLate)} late`], ...safe };
  if (daysLate >= 0) return { state: "due", daysLate, reasons: ["due today"], ...safe };
  if (today >= window.bookBy)
    return {
      state: "due",
      daysLate,
      reasons: [`with fast growth the limit is met on ${dayText(window.bookBy)}`],
      ...safe,
    };
  if (today >= window.opensOn)
    return {
      state: "due soon",
      daysLate,
      reasons: [`due in ${dayWord(daysBetween(today, window.bookBy))}`],
      ...safe,
    };
  return { state: "not due", daysLate, reasons: [`due on ${dayText(window.bookBy)}`], ...safe };
};

/** As {@link resetStandingOn}, from an instant: the day is the yard's, not the server's. */
export const resetStandingAt = (
  window: DueWindow,
  atMs: InstantMs,
  facts: StandingFacts = {},
  settings: CycleSettings = CYCLE_SETTINGS,
): ResetStanding => resetStandingOn(window, localDateOf(atMs, window.zone), facts, settings);
