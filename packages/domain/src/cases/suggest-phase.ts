import type { Finding, Setting } from "../evidence/index.ts";
import { MS_PER_DAY, MS_PER_HOUR, type InstantMs } from "../time/index.ts";
import type { Phase } from "./phases.ts";
import { FLOYD_ACUTE, HUNT_WHARTON, THIRTY_DAYS } from "./sources.ts";

export const PHASE_SETTINGS = {
  /** Where acute ends when the bone has not moved. Another author says 6-8 weeks. */
  acuteHours: {
    key: "cases.acute-hours",
    value: 72,
    unit: "h",
    source: HUNT_WHARTON,
    since: "2026-01-01",
    change: "free",
  },
  /** Comfortable without painkillers for this long before maintenance is suggested. */
  comfortDays: {
    key: "cases.comfort-days",
    value: 30,
    unit: "days",
    source: THIRTY_DAYS,
    since: "2026-01-01",
    change: "tighten",
  },
} as const satisfies Record<string, Setting<number>>;

export type PhaseSettings = Readonly<Record<keyof typeof PHASE_SETTINGS, Setting<number>>>;

/** The other published reading of "acute". */
export const ACUTE_SIX_TO_EIGHT_WEEKS: Setting<readonly [number, number]> = {
  key: "cases.acute-hours-other-reading",
  value: [6 * 7 * 24, 8 * 7 * 24],
  unit: "h",
  source: FLOYD_ACUTE,
  since: "2026-01-01",
  change: "free",
};

export interface PhaseFacts {
  /** First lameness of this bout. */
  readonly onsetAtMs: InstantMs;
  /** When the pedal bone was first known to have moved in the hoof. */
  readonly displacedAtMs?: InstantMs;
  /** Sound and off all painkillers since. Leave out while either fails. */
  readonly comfortableSinceMs?: InstantMs;
  /** True when the last two films show no real change. */
  readonly filmsStable?: boolean;
}

export interface PhaseSuggestion {
  readonly phase: Exclude<Phase, "closed">;
  readonly findings: readonly Finding[];
}

const reason = (detail: string, source = HUNT_WHARTON): Finding => ({
  rule: "cases/suggest-phase@1",
  outcome: "note",
  detail,
  source,
});

/**
 * A suggestion for the vet to confirm, from onset, displacement and comfort kept apart. Hours alone
 * never make a case chronic: only displacement does, at whatever hour it happens.
 */
export const suggestPhase = (
  facts: PhaseFacts,
  atMs: InstantMs,
  settings: PhaseSettings = PHASE_SETTINGS,
): PhaseSuggestion => {
  const displaced = facts.displacedAtMs !== undefined && facts.displacedAtMs <= atMs;
  const comfortable =
    facts.comfortableSinceMs !== undefined &&
    atMs - facts.comfortableSinceMs >= settings.comfortDays.value * MS_PER_DAY;
  if (comfortable && (!displaced || facts.filmsStable === true))
    return {
      phase: "maintenance",
      findings: [
        reason(
          `Sound without painkillers for ${String(settings.comfortDays.value)} days or more${displaced ? ", and films hold still" : ""}.`,
          settings.comfortDays.source,
        ),
      ],
    };
  if (displaced)
    return {
      phase: "chronic active",
      findings: [reason("The pedal bone has moved in the hoof: chronic at whatever hour.")],
    };
  const hours = (atMs - facts.onsetAtMs) / MS_PER_HOUR;
  const limit = settings.acuteHours.value;
  return hours < limit
    ? {
        phase: "acute",
        findings: [
          reason(
            `Within ${String(limit)} h of the first lameness, no displacement known.`,
            settings.acuteHours.source,
          ),
        ],
      }
    : {
        phase: "subacute",
        findings: [
          reason(
            `${String(Math.floor(hours))} h since the first lameness and no displacement known. Some authors call the first 6–8 weeks acute.`,
            settings.acuteHours.source,
          ),
        ],
      };
};
