import { WEIGHT_CHANGE_SETTINGS } from "@heelward/domain/horse";
import type { MedicationSettings, TightenedCeiling } from "@heelward/domain/medication";

/** One figure a practice set, as stored. */
export interface SettingRow {
  readonly key: string;
  readonly value: unknown;
}

/** Keys under which a practice tightens the rules. Anything looser is ignored by the rules and said so. */
export const MEDICATION_SETTING_KEYS = {
  /** Days. */
  weightMaxAge: "medication.weight-max-age",
  /** Days. */
  resignEvery: "medication.resign-every",
  /** Followed by a ceiling's id and `.mg-per-kg` or `.absolute-mg`. */
  ceiling: "medication.ceiling.",
  /** Followed by a drug's key: hours in the sport's list in force. */
  detection: "medication.detection-hours.",
  /** Followed by a figure's id; 1 when a vet checked it against the data sheet in force. */
  confirmed: "medication.confirmed.",
} as const;

const numberOf = (value: unknown): number | undefined =>
  typeof value === "number" && Number.isFinite(value) ? value : undefined;

const ceilingOf = ({ key, value }: SettingRow): readonly TightenedCeiling[] => {
  const amount = numberOf(value);
  const match = /^(.+)\.(mg-per-kg|absolute-mg)$/u.exec(
    key.slice(MEDICATION_SETTING_KEYS.ceiling.length),
  );
  const ceilingId = match?.[1];
  if (ceilingId === undefined || amount === undefined) return [];
  return [
    match?.[2] === "mg-per-kg" ? { ceilingId, mgPerKg: amount } : { ceilingId, absoluteMg: amount },
  ];
};

/** The practice's own figures for the dose rules. `rows` holds each key once, the value in force. */
export const medicationSettings = (rows: readonly SettingRow[]): MedicationSettings => {
  const of = (key: string) => numberOf(rows.find((row) => row.key === key)?.value);
  return {
    weightMaxAgeDays: of(MEDICATION_SETTING_KEYS.weightMaxAge),
    resignEveryDays: of(MEDICATION_SETTING_KEYS.resignEvery),
    weightChange: {
      promptPercent: of(WEIGHT_CHANGE_SETTINGS.promptPercent.key),
      holdPercent: of(WEIGHT_CHANGE_SETTINGS.holdPercent.key),
    },
    ceilings: rows
      .filter((row) => row.key.startsWith(MEDICATION_SETTING_KEYS.ceiling))
      .flatMap(ceilingOf),
    confirmedFigures: rows
      .filter((row) => row.key.startsWith(MEDICATION_SETTING_KEYS.confirmed) && row.value === 1)
      .map((row) => row.key.slice(MEDICATION_SETTING_KEYS.confirmed.length)),
  };
};
