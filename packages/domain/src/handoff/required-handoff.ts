import type { Role } from "../access/index.ts";
import type { Finding, Setting, Source } from "../evidence/index.ts";
import { dayText, MS_PER_HOUR, type InstantMs } from "../time/index.ts";

const HOUSE_HANDOFF: Source = {
  id: "house-handoff",
  citation: "House rules on handoff notes: who must hear, and how fast",
  status: "house rule",
};

/** What happened, with the facts a note is drafted from. Names are as people say them. */
export type HandoffEvent =
  | {
      readonly kind: "prescription signed";
      readonly horseName: string;
      readonly feet: readonly string[];
      readonly aim: string;
      /** Targets in mm and degrees, one short line each. */
      readonly targets: readonly string[];
      readonly doNots: readonly string[];
      readonly changedFromLast: readonly string[];
      readonly nextResetOn?: string;
      readonly ringNumber: string;
      readonly urgent: boolean;
    }
  | {
      readonly kind: "visit finished";
      readonly horseName: string;
      readonly byRole: "vet" | "farrier";
      readonly found: readonly string[];
      readonly done: readonly string[];
      readonly departures: readonly string[];
      readonly yardMustDo: readonly string[];
      readonly nextResetOn?: string;
      readonly ringNumber: string;
      readonly urgent: boolean;
    }
  | {
      readonly kind: "course held";
      readonly horseName: string;
      readonly medicine: string;
      readonly why: string;
      readonly nextDoseAt?: string;
      readonly ringNumber: string;
    }
  | {
      readonly kind: "phase changed";
      readonly horseName: string;
      readonly fromPhase: string;
      readonly toPhase: string;
      readonly because: string;
      readonly mustDo: readonly string[];
      readonly ringNumber: string;
      readonly urgent: boolean;
    }
  | {
      readonly kind: "reset missed";
      readonly horseName: string;
      readonly dueOn: string;
      readonly outcome: string;
      readonly farrierName: string;
      /** What the person wrote, as for a farrier's decline. */
      readonly reason?: string;
      readonly newDate?: string;
      readonly ringNumber: string;
    };

export type HandoffKind = HandoffEvent["kind"];

export const HANDOFF_KINDS = [
  "prescription signed",
  "visit finished",
  "course held",
  "phase changed",
  "reset missed",
] as const satisfies readonly HandoffKind[];

export type HandoffUrgency = "routine" | "urgent";

/** A note from one role to another. Each field is plain text the person may edit before sending. */
export interface HandoffDraft {
  readonly fromRole: Role;
  readonly toRole: Role;
  readonly urgency: HandoffUrgency;
  readonly situation: string;
  readonly found: string;
  readonly done: string;
  readonly mustDo: string;
  /** Latest instant to be acknowledged. */
  readonly acknowledgeByMs: InstantMs;
  readonly byWhen: string;
  readonly callMeIf: string;
}

/** Hours until a note must be acknowledged. Changeable only to something stricter. */
export const HANDOFF_HOURS = {
  routine: {
    key: "handoff.hours-routine",
    value: 24,
    unit: "h",
    source: HOUSE_HANDOFF,
    since: "2026-01-01",
    change: "tighten",
  },
  urgent: {
    key: "handoff.hours-urgent",
    value: 2,
    unit: "h",
    source: HOUSE_HANDOFF,
    since: "2026-01-01",
    change: "tighten",
  },
} as const satisfies Record<HandoffUrgency, Setting<number>>;

/** Longest text of each field, in characters, so that a note stays a note. */
export const HANDOFF_LIMITS = {
  situation: 200,
  found: 400,
  done: 400,
  mustDo: 400,
  byWhen: 100,
  callMeIf: 200,
} as const;
export type HandoffHours = Readonly<Record<HandoffUrgency, Setting<number>>>;
export type HandoffField = keyof typeof HANDOFF_LIMITS;

const clip = (text: string, limit: number): string =>
  text.length <= limit ? text : `${text.slice(0, limit - 1).trimEnd()}…`;

const lines = (parts: readonly string[], otherwise: string): string =>
  parts.length === 0 ? otherwise : parts.map((part) => part.replace(/[.;\s]+$/, "")).join("; ");

interface Content {
  readonly fromRole: Role;
  readonly toRoles: readonly Role[];
  readonly urgency: HandoffUrgency;
  readonly text: Readonly<Record<HandoffField, string>>;
}

const CALL_SIGNS =
  "it lies down more, will not lift a foot, shifts its feet, goes off food, or anything worries you";

const contentOf = (event: HandoffEvent): Content => {
  const callMeIf = `${CALL_SIGNS}. Ring ${event.ringNumber}`;
  switch (event.kind) {
    case "prescription signed":
      return {
        fromRole: "vet",
        toRoles: ["farrier", "carer"],
        urgency: event.urgent ? "urgent" : "routine",
        text: {
          situation: `${event.horseName}: a new trim and shoe plan is signed for ${event.feet.join(", ")}. Aim: ${event.aim}`,
          found: lines(event.changedFromLast, "First plan for these feet"),
          done: "Plan signed; the earlier one no longer holds",
          mustDo: lines(
            [...event.targets, ...event.doNots.map((not) => `do not: ${not}`)],
            event.aim,
          ),
          byWhen:
            event.nextResetOn === undefined
              ? "at the next visit"
              : `reset by ${dayText(event.nextResetOn)}`,
          callMeIf,
        },
      };
    case "visit finished":
      return {
        fromRole: event.byRole,
        toRoles: event.byRole === "vet" ? ["farrier", "carer"] : ["vet", "carer"],
        urgency: event.urgent ? "urgent" : "routine",
        text: {
          situation: `${event.horseName}: ${event.byRole === "vet" ? "vet's" : "farrier's"} visit finished`,
          found: lines(event.found, "Nothing new"),
          done: lines(
            [...event.done, ...event.departures.map((departure) => `not as planned: ${departure}`)],
            "Looked only, nothing done",
          ),
          mustDo: lines(event.yardMustDo, "Carry on as before"),
          byWhen:
            event.nextResetOn === undefined
              ? "today"
              : `next reset due ${dayText(event.nextResetOn)}`,
          callMeIf,
        },
      };
    case "course held":
      return {
        fromRole: "vet",
        toRoles: ["carer"],
        urgency: "urgent",
        text: {
          situation: `${event.horseName}: ${event.medicine} is on hold`,
          found: event.why,
          done: "No dose counts as due while it is held",
          mustDo: `Give no ${event.medicine} until the vet signs again. Watch for pain coming back`,
          byWhen:
            event.nextDoseAt === undefined ? "from now" : `before the dose of ${event.nextDoseAt}`,
          callMeIf: `it has been given already, or ${callMeIf}`,
        },
      };
    case "phase changed":
      return {
        fromRole: "vet",
        toRoles: ["farrier", "carer"],
        urgency: event.urgent ? "urgent" : "routine",
        text: {
          situation: `${event.horseName}: from ${event.fromPhase} to ${event.toPhase}`,
          found: event.because,
          done: "Phase changed in the case file",
          mustDo: lines(
            event.mustDo,
            "Read the plan again: intervals and checks change with the phase",
          ),
          byWhen: "before your next visit or check",
          callMeIf,
        },
      };
    case "reset missed": {
      const declined = event.outcome === "declined";
      const because =
        event.reason === undefined ? event.outcome : `${event.outcome}: ${event.reason}`;
      const newDate = event.newDate === undefined ? undefined : dayText(event.newDate);
      const rebooked = newDate !== undefined;
      return {
        fromRole: "farrier",
        // A decline is a question to the vet; any other miss is first of all a date to be found.
        toRoles: declined ? ["vet", "manager"] : ["manager", "vet"],
        urgency: declined || !rebooked ? "urgent" : "routine",
        text: {
          situation: `${event.horseName}: the reset due ${dayText(event.dueOn)} was not done (${because})`,
          found: `The feet are as they were; growth goes on. Farrier: ${event.farrierName}`,
          done: rebooked ? `Rebooked for ${newDate}` : "No new date yet",
          mustDo: declined
            ? "Answer the farrier's reason and agree a joint visit"
            : rebooked
              ? "Confirm the new date with the yard"
              : "Find a date and tell the yard; the vet says whether it can wait",
          byWhen: rebooked ? `before ${newDate}` : "today",
          callMeIf,
        },
      };
    }
  }
};

/**
 * The notes an event makes necessary, one for each role that must hear, drafted from the facts for
 * a person to edit. Texts are clipped to {@link HANDOFF_LIMITS}.
 */
export const requiredHandoffs = (
  event: HandoffEvent,
  atMs: InstantMs,
  hours: HandoffHours = HANDOFF_HOURS,
): readonly HandoffDraft[] => {
  const { fromRole, toRoles, urgency, text } = contentOf(event);
  return toRoles.map((toRole) => ({
    fromRole,
    toRole,
    urgency,
    situation: clip(text.situation, HANDOFF_LIMITS.situation),
    found: clip(text.found, HANDOFF_LIMITS.found),
    done: clip(text.done, HANDOFF_LIMITS.done),
    mustDo: clip(text.mustDo, HANDOFF_LIMITS.mustDo),
    byWhen: clip(text.byWhen, HANDOFF_LIMITS.byWhen),
    callMeIf: clip(text.callMeIf, HANDOFF_LIMITS.callMeIf),
    acknowledgeByMs: atMs + hours[urgency].value * MS_PER_HOUR,
  }));
};

/** Whether a note is complete enough to send: every field filled and inside its length. */
export const judgeHandoff = (note: Readonly<Record<HandoffField, string>>): readonly Finding[] =>
  (Object.keys(HANDOFF_LIMITS) as readonly HandoffField[]).flatMap((field): readonly Finding[] => {
    const length = note[field].trim().length;
    const limit = HANDOFF_LIMITS[field];
    if (length > 0 && length <= limit) return [];
    return [
      {
        rule: "handoff/field@1",
        outcome: "block",
        detail:
          length === 0
            ? `Fill in "${FIELD_WORDS[field]}".`
            : `"${FIELD_WORDS[field]}" has ${String(length)} characters; keep it to ${String(limit)}.`,
        source: HOUSE_HANDOFF,
        field: `/${field}`,
      },
    ];
  });

const FIELD_WORDS: Readonly<Record<HandoffField, string>> = {
  situation: "situation",
  found: "what was found",
  done: "what was done",
  mustDo: "what you must do",
  byWhen: "by when",
  callMeIf: "call me if",
};
