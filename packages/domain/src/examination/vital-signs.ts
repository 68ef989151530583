import type { Finding, Setting } from "../evidence/index.ts";
import { RED_FLAG_LIST, RESTING_VALUES } from "./sources.ts";

export interface VitalSigns {
  readonly heartRatePerMinute?: number;
  readonly breathsPerMinute?: number;
  readonly temperatureCelsius?: number;
}

const flag = (key: string, value: number, unit: string): Setting<number> => ({
  key: `examination.${key}`,
  value,
  unit,
  source: RED_FLAG_LIST,
  since: "2026-01-01",
  change: "tighten",
});

export const VITAL_SIGN_SETTINGS = {
  /** Red above, not at. */
  heartRateAbove: flag("heart-rate-above", 60, "beats a minute"),
  heartRateRise: flag("heart-rate-rise", 12, "beats a minute"),
  /** Red at and above. */
  temperatureFrom: flag("temperature-from", 38.6, "°C"),
  /** Breathing fast; starting value, red above. */
  breathsAbove: flag("breaths-above", 30, "breaths a minute"),
} as const;

export type VitalSignSettings = Readonly<Record<keyof typeof VITAL_SIGN_SETTINGS, Setting<number>>>;

interface Limits {
  readonly name: string;
  readonly unit: string;
  /** Outside: a slip of the pen, refused. */
  readonly possible: readonly [number, number];
  /** Outside: told, not judged. Source: {@link RESTING_VALUES}. */
  readonly usual: readonly [number, number];
}

const LIMITS: Readonly<Record<keyof VitalSigns, Limits>> = {
  heartRatePerMinute: {
    name: "Heart rate",
    unit: "a minute",
    possible: [10, 240],
    usual: [28, 44],
  },
  breathsPerMinute: { name: "Breathing", unit: "a minute", possible: [2, 180], usual: [8, 16] },
  temperatureCelsius: { name: "Temperature", unit: "°C", possible: [30, 43], usual: [37.5, 38.5] },
};

const KEYS = ["heartRatePerMinute", "breathsPerMinute", "temperatureCelsius"] as const;

/** Refuses impossible readings and notes unusual resting ones (adult horse at rest). */
export const judgeVitalSigns = (signs: VitalSigns): readonly Finding[] =>
  KEYS.flatMap((key): readonly Finding[] => {
    const value = signs[key];
    if (value === undefined) return [];
    const { name, unit, possible, usual } = LIMITS[key];
    if (!(value >= possible[0] && value <= possible[1]))
      return [
        {
          rule: "examination/vital-sign-possible@1",
          outcome: "block",
          detail: `${name} ${String(value)} ${unit} cannot be right; it must lie between ${String(possible[0])} and ${String(possible[1])}.`,
          source: RESTING_VALUES,
          field: `/${key}`,
        },
      ];
    if (value >= usual[0] && value <= usual[1]) return [];
    return [
      {
        rule: "examination/vital-sign-usual@1",
        outcome: "note",
        detail: `${name} ${String(value)} ${unit} is outside our resting range of ${String(usual[0])} to ${String(usual[1])}.`,
        source: RESTING_VALUES,
        field: `/${key}`,
      },
    ];
  });

/** The vital signs that need a vet at once, alone or against the previous reading. */
export const vitalSignRedFlags = (
  now: VitalSigns,
  previous?: VitalSigns,
  settings: VitalSignSettings = VITAL_SIGN_SETTINGS,
): readonly Finding[] => {
  const findings: Finding[] = [];
  const add = (rule: string, detail: string, setting: Setting<number>) => {
    findings.push({
      rule: `examination/red-flag-${rule}@1`,
      outcome: "warn",
      detail,
      source: setting.source,
    });
  };
  const { heartRatePerMinute: heart, breathsPerMinute: breaths, temperatureCelsius: heat } = now;
  if (heart !== undefined && heart > settings.heartRateAbove.value)
    add(
      "heart-rate",
      `Heart rate ${String(heart)}, over ${String(settings.heartRateAbove.value)} at rest.`,
      settings.heartRateAbove,
    );
  const before = previous?.heartRatePerMinute;
  if (heart !== undefined && before !== undefined && heart - before >= settings.heartRateRise.value)
    add(
      "heart-rate-rise",
      `Heart rate up from ${String(before)} to ${String(heart)}.`,
      settings.heartRateRise,
    );
  if (breaths !== undefined && breaths > settings.breathsAbove.value)
    add("breathing", `Breathing fast: ${String(breaths)} a minute.`, settings.breathsAbove);
  if (heat !== undefined && heat >= settings.temperatureFrom.value)
    add(
      "temperature",
      `Temperature ${heat.toFixed(1)} °C; ${String(settings.temperatureFrom.value)} or more.`,
      settings.temperatureFrom,
    );
  return findings;
};
