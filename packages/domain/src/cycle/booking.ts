import type { Finding, Source } from "../evidence/index.ts";
import {
  addDays,
  dayText,
  daysBetween,
  localDateOf,
  type InstantMs,
  type LocalDate,
} from "../time/index.ts";
import type { DueWindow } from "./due-window.ts";
import type { ResetOutcome } from "./outcome.ts";
import { OUTCOME_RULES } from "./outcome.ts";
import { pauseOn, type Pause } from "./pause.ts";
import { CYCLE_SETTINGS } from "./settings.ts";

const BOOKING: Source = {
  id: "house-booking-rules",
  citation: "Booking rules of the house: nobody leaves without a date, nothing slips unnamed",
  status: "house rule",
};

/** Days a yard or a farrier does not work: weekdays (1 Monday to 7 Sunday) and single days. */
export interface ClosedDays {
  readonly weekdays?: readonly number[];
  readonly dates?: readonly LocalDate[];
}

/** ISO weekday of a calendar day, 1 Monday to 7 Sunday. 1970-01-05 was a Monday. */
export const weekdayOf = (on: LocalDate): number => {
  const sinceMonday = daysBetween("1970-01-05", on) % 7;
  return ((sinceMonday + 7) % 7) + 1;
};

export const isClosedOn = (closed: ClosedDays | undefined, on: LocalDate): boolean =>
  closed !== undefined &&
  ((closed.weekdays?.includes(weekdayOf(on)) ?? false) || (closed.dates?.includes(on) ?? false));

/**
 * The last open day on or before the due day: a holiday moves a reset earlier, never later.
 * @returns undefined when every day from `notBefore` to the due day is closed.
 */
export const lastOpenDayBy = (
  dueOn: LocalDate,
  notBefore: LocalDate,
  closed: readonly (ClosedDays | undefined)[],
): LocalDate | undefined => {
  for (let on = dueOn; on >= notBefore; on = addDays(on, -1))
    if (!closed.some((days) => isClosedOn(days, on))) return on;
  return undefined;
};

export interface Booking {
  readonly window: DueWindow;
  readonly bookedOn: LocalDate;
  /** When the booking is made. */
  readonly atMs: InstantMs;
  readonly yardClosed?: ClosedDays;
  readonly farrierClosed?: ClosedDays;
  readonly pauses?: readonly Pause[];
  /** Skills the job needs and the farrier has. */
  readonly skillsNeeded?: readonly string[];
  readonly farrierSkills?: readonly string[];
  /** Films that must be taken before the reset and are not. */
  readonly filmsMissing?: boolean;
  /** The current plan is signed. */
  readonly planSigned?: boolean;
  /** A vet's signed reason for a day past the window. */
  readonly laterBecause?: { readonly reason: string; readonly signedByRole: string };
  /** Written reason of whoever books past the due day. */
  readonly reason?: string;
}

const filled = (text: string | undefined): boolean => text !== undefined && text.trim() !== "";

const lateFindings = (booking: Booking): readonly Finding[] => {
  const { window, bookedOn } = booking;
  const say = (rule: string, outcome: Finding["outcome"], detail: string): readonly Finding[] => [
    { rule: `cycle/${rule}@1`, outcome, detail, source: BOOKING, field: "/bookedOn" },
  ];
  const signed =
    booking.laterBecause?.signedByRole === "vet" && filled(booking.laterBecause.reason);
  const wall =
    window.latestSafeOn !== undefined && window.latestSafeOn < window.ceilingOn
      ? window.latestSafeOn
      : window.ceilingOn;
  // A signed interval past the ceiling already carries the vet's reason up to its due day.
  const firm = wall > window.dueOn ? wall : window.dueOn;
  if (bookedOn > firm)
    return signed
      ? say(
          "booking-past-limit",
          "warn",
          `${dayText(bookedOn)} is past ${dayText(firm)}; signed by the vet: ${booking.laterBecause?.reason ?? ""}`,
        )
      : say(
          "booking-past-limit",
          "block",
          `${dayText(bookedOn)} is past ${dayText(firm)}, the last day without a vet's signed reason. Find an earlier slot or ask the vet.`,
        );
  if (bookedOn > window.dueOn)
    return say(
      "booking-late",
      filled(booking.reason) ? "note" : "warn",
      `${dayText(bookedOn)} is ${String(daysBetween(window.dueOn, bookedOn))} days after the due day${filled(booking.reason) ? `: ${booking.reason ?? ""}` : "; write down why"}.`,
    );
  if (bookedOn > window.bookBy)
    return say(
      "booking-past-forecast",
      "warn",
      `Growth may meet the limit on ${dayText(window.bookBy)}; ${dayText(bookedOn)} is inside the signed interval but leaves no slack.`,
    );
  return [];
};

/**
 * Whether a reset may be booked on a day. A horse that is already past every limit may still be
 * booked: for the first possible day the rule warns instead of standing in the way.
 */
export const judgeBooking = (booking: Booking): readonly Finding[] => {
  const { window, bookedOn } = booking;
  const today = localDateOf(booking.atMs, window.zone);
  const findings: Finding[] = [];
  const add = (rule: string, outcome: Finding["outcome"], detail: string) => {
    findings.push({
      rule: `cycle/${rule}@1`,
      outcome,
      detail,
      source: BOOKING,
      field: "/bookedOn",
    });
  };
  if (bookedOn < today)
    add("booking-past", "block", `${dayText(bookedOn)} has passed at the yard.`);
  if (isClosedOn(booking.yardClosed, bookedOn))
    add("booking-yard-closed", "block", `The yard is closed on ${dayText(bookedOn)}.`);
  if (isClosedOn(booking.farrierClosed, bookedOn))
    add(
      "booking-farrier-away",
      "block",
      `The farrier does not work on ${dayText(bookedOn)}; ask for cover.`,
    );
  const pause = pauseOn(booking.pauses ?? [], bookedOn);
  if (pause !== undefined)
    add("booking-paused", "block", `The horse is paused on ${dayText(bookedOn)}: ${pause.kind}.`);
  const lacking = (booking.skillsNeeded ?? []).filter(
    (skill) => !(booking.farrierSkills ?? []).includes(skill),
  );
  if (lacking.length > 0)
    add(
      "booking-skill",
      "warn",
      `This job needs ${lacking.join(", ")}: send a second farrier or choose another.`,
    );
  if (booking.filmsMissing === true)
    add("booking-films", "warn", "Films are due before this reset and are not taken or booked.");
  if (booking.planSigned === false)
    add("booking-plan", "warn", "No signed plan is current for this horse.");
  const late = lateFindings(booking);
  const grace = addDays(today, CYCLE_SETTINGS.complianceGraceDays.value);
  const catchingUp = window.dueOn < today && bookedOn <= grace;
  return [
    ...findings,
    ...late.map((finding): Finding =>
      catchingUp && finding.outcome === "block"
        ? {
            ...finding,
            outcome: "warn",
            detail: `Past every limit already; ${dayText(bookedOn)} is among the first days possible. Tell the vet.`,
          }
        : finding,
    ),
  ];
};

export interface Cancellation {
  readonly dueOn: LocalDate;
  readonly outcome: Exclude<ResetOutcome, "done">;
  readonly newDate?: LocalDate;
  /** Why there is no new date yet, and who will find one. */
  readonly noDateBecause?: string;
  readonly namedPersonId?: string;
}

export interface CancellationJudgement {
  readonly findings: readonly Finding[];
  /** The due day afterwards: the same one, always. */
  readonly dueOn: LocalDate;
}

/**
 * A visit that will not happen, or did not, can be saved only with a new date, or with a reason and
 * the named person who finds one. The due day stays where it was.
 */
export const judgeCancellation = (cancellation: Cancellation): CancellationJudgement => {
  const { dueOn, newDate, noDateBecause, namedPersonId, outcome } = cancellation;
  const rule = "cycle/cancel-rebooks@1";
  if (newDate !== undefined) {
    const late = newDate > dueOn;
    return {
      dueOn,
      findings: [
        {
          rule,
          outcome: late ? "note" : "pass",
          detail: late
            ? `Moved to ${dayText(newDate)}; it is still due on ${dayText(dueOn)} and counts as late from then.`
            : `Moved to ${dayText(newDate)}, inside the due day.`,
          source: BOOKING,
        },
      ],
    };
  }
  if (filled(noDateBecause) && filled(namedPersonId))
    return {
      dueOn,
      findings: [
        {
          rule,
          outcome: "warn",
          detail: `No new date: ${noDateBecause ?? ""}. It stays on the named person's list.`,
          source: BOOKING,
        },
      ],
    };
  return {
    dueOn,
    findings: [
      {
        rule,
        outcome: "block",
        detail: `${OUTCOME_RULES[outcome].next} Give a new date, or a reason and the person who finds one.`,
        source: BOOKING,
        field: filled(noDateBecause) ? "/namedPersonId" : "/newDate",
      },
    ],
  };
};

/** As-done records may be closed only with the next date or a reason and a named person. */
export const judgeNextDateBeforeLeaving = (
  dueOn: LocalDate,
  next: Pick<Cancellation, "newDate" | "noDateBecause" | "namedPersonId">,
): readonly Finding[] =>
  judgeCancellation({ ...next, dueOn, outcome: "missed" }).findings.map((finding) =>
    finding.outcome === "block"
      ? {
          ...finding,
          rule: "cycle/next-date@1",
          detail: `${OUTCOME_RULES.done.next} Or write down why not, and who will.`,
        }
      : { ...finding, rule: "cycle/next-date@1" },
  );
