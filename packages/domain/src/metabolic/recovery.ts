import type { Source } from "../evidence/index.ts";
import {
  addDays,
  daysBetween,
  localDateOf,
  MS_PER_HOUR,
  startOfDay,
  type InstantMs,
  type LocalDate,
  type ZoneId,
} from "../time/index.ts";
import { METABOLIC_SETTINGS, METABOLIC_STANDARD, type MetabolicValues } from "./settings.ts";

const LADDER: Source = {
  id: "house/movement-ladder",
  citation:
    "Return-to-movement ladder: advice clashes between sources, so one ladder at a time, set by the vet; days on painkillers and 3 days after do not count (label: effect lasts at least 3 days)",
  status: "house rule",
};
const HEALING: Source = {
  id: "paper/laminitis-recovery",
  citation:
    "Five-sign scores of recovering laminitis: median 8 falling to 0 by day 25, one case in four slow or relapsing",
  status: "published",
};

export interface LadderStage {
  readonly name: string;
  readonly leastDays: number;
  readonly stopRules: readonly string[];
}

const STOP = [
  "shifting weight, short on the turn, or the five-sign score up by 1 or more: back one stage and ring the vet",
  "stronger pulse or warmer feet than yesterday: stay in, ring the vet",
] as const;

const STAGES = [
  "box rest on a deep bed",
  "small pen on soft ground",
  "hand walking on the soft, 5 minutes twice a day",
  "hand walking on the soft, 10 to 20 minutes",
  "bare yard or track turnout",
] as const;

/** The ladder a vet starts from and may edit, with the practice's days. Source: house rule. */
export const standardLadder = (
  values: MetabolicValues = METABOLIC_STANDARD,
): readonly LadderStage[] =>
  STAGES.map((name, index) => ({
    name,
    leastDays: values.ladderDays[index] ?? 14,
    stopRules: STOP,
  }));

export interface LadderPosition {
  readonly stage: LadderStage;
  readonly stageIndex: number;
  /** Days that count: no painkiller then or in the three days before. */
  readonly countedDays: number;
  readonly mayMoveUp: boolean;
  readonly source: Source;
}

/**
 * Where a horse stands on the one ladder in force. A day with a painkiller dose, and the days after
 * it (three as a standard), do not count. `painFlag` stops any move up.
 */
export const ladderPosition = (
  input: {
    readonly ladder: readonly LadderStage[];
    readonly stageIndex: number;
    readonly stageSince: LocalDate;
    readonly today: LocalDate;
    readonly painkillerDays: readonly LocalDate[];
    readonly painFlag: boolean;
  },
  values: MetabolicValues = METABOLIC_STANDARD,
): LadderPosition | undefined => {
  const stage = input.ladder[input.stageIndex];
  if (stage === undefined) return undefined;
  const length = daysBetween(input.stageSince, input.today);
  let countedDays = 0;
  for (let day = 0; day < length; day += 1) {
    const medicated = input.painkillerDays.some((on) => {
      const since = day - daysBetween(input.stageSince, on);
      return since >= 0 && since <= values.medicatedTailDays;
    });
    if (!medicated) countedDays += 1;
  }
  return {
    stage,
    stageIndex: input.stageIndex,
    countedDays,
    mayMoveUp:
      !input.painFlag &&
      countedDays >= stage.leastDays &&
      input.stageIndex + 1 < input.ladder.length,
    source: LADDER,
  };
};

export interface IceEntry {
  readonly fromMs: InstantMs;
  readonly toMs: InstantMs;
  readonly hoofCelsius?: number | undefined;
}

export interface IceLog {
  /** Gaps of more than the limit between the first and the last entry. */
  readonly gaps: readonly {
    readonly fromMs: InstantMs;
    readonly toMs: InstantMs;
    readonly hours: number;
  }[];
  readonly totalHours: number;
  readonly hoursByDay: readonly { readonly on: LocalDate; readonly hours: number }[];
  readonly warmReadings: readonly IceEntry[];
  readonly source: Source;
}

/** Merges overlapping entries; entries that end before they start are left out. */
const merged = (entries: readonly IceEntry[]): readonly IceEntry[] => {
  const out: IceEntry[] = [];
  for (const entry of entries
    .filter(({ fromMs, toMs }) => toMs > fromMs)
    .toSorted((a, b) => a.fromMs - b.fromMs)) {
    const last = out.at(-1);
    if (last !== undefined && entry.fromMs <= last.toMs)
      out[out.length - 1] = { ...last, toMs: Math.max(last.toMs, entry.toMs) };
    else out.push(entry);
  }
  return out;
};

/** Gaps over the limit, hours on ice in total and per local day, and readings too warm. */
export const iceLog = (
  entries: readonly IceEntry[],
  zone: ZoneId,
  values: MetabolicValues = METABOLIC_STANDARD,
): IceLog => {
  const runs = merged(entries);
  const gaps = runs.flatMap((run, index) => {
    const before = runs[index - 1];
    if (before === undefined) return [];
    const hours = (run.fromMs - before.toMs) / MS_PER_HOUR;
    return hours > values.iceGapHours ? [{ fromMs: before.toMs, toMs: run.fromMs, hours }] : [];
  });
  const byDay = new Map<LocalDate, number>();
  for (const run of runs) {
    let at = run.fromMs;
    while (at < run.toMs) {
      const on = localDateOf(at, zone);
      const next = Math.min(run.toMs, startOfDay(addDays(on, 1), zone));
      byDay.set(on, (byDay.get(on) ?? 0) + (next - at) / MS_PER_HOUR);
      at = next;
    }
  }
  return {
    gaps,
    totalHours: runs.reduce((sum, run) => sum + (run.toMs - run.fromMs) / MS_PER_HOUR, 0),
    hoursByDay: [...byDay].map(([on, hours]) => ({ on, hours })),
    warmReadings: entries.filter(
      ({ hoofCelsius }) => hoofCelsius !== undefined && hoofCelsius >= values.iceWarmFromCelsius,
    ),
    source: METABOLIC_SETTINGS.iceGapHours.source,
  };
};

export interface PainScore {
  readonly on: LocalDate;
  /** Five-sign score, 0-12. */
  readonly score: number;
}

export interface HealingCurve {
  /** Rate per day of the fitted exponential fall; undefined with fewer than two days. */
  readonly ratePerDay: number | undefined;
  readonly halfLifeDays: number | undefined;
  /** Expected score today on the typical course, with a band. */
  readonly expected: { readonly low: number; readonly mid: number; readonly high: number };
  readonly slow: boolean;
  readonly relapse: boolean;
  readonly rethink: boolean;
  readonly source: Source;
}

/** A score under this reads as zero on the 12-point scale. */
const READS_AS_ZERO = 0.5;
/** Typical fall: from the first score to under half a point by day 25. */
const TYPICAL_DAYS = 25;
/** Band around the typical course: from a fifth faster to two fifths slower. Source: house rule. */
const BAND = { fast: 1.2, slow: 0.6 } as const;

const typicalRate = (first: number): number =>
  Math.log(Math.max(first, 1) / READS_AS_ZERO) / TYPICAL_DAYS;

/**
 * The score over time against the typical exponential fall. From the day of rethinking (14) a score above the band, or
 * a rise of 2 or more from the lowest, asks for a rethink. It prompts; it predicts nothing.
 */
export const healingCurve = (
  scores: readonly PainScore[],
  today: LocalDate,
  values: MetabolicValues = METABOLIC_STANDARD,
): HealingCurve | undefined => {
  const sorted = scores.filter(({ on }) => on <= today).toSorted((a, b) => (a.on < b.on ? -1 : 1));
  const first = sorted[0];
  const last = sorted.at(-1);
  if (first === undefined || last === undefined) return undefined;
  const dayOf = (on: LocalDate): number => daysBetween(first.on, on);
  const points = sorted.map(({ on, score }) => ({
    day: dayOf(on),
    log: Math.log(score + READS_AS_ZERO),
  }));
  const meanDay = points.reduce((sum, { day }) => sum + day, 0) / points.length;
  const meanLog = points.reduce((sum, { log }) => sum + log, 0) / points.length;
  const spread = points.reduce((sum, { day }) => sum + (day - meanDay) ** 2, 0);
  const ratePerDay =
    spread === 0
      ? undefined
      : -points.reduce((sum, { day, log }) => sum + (day - meanDay) * (log - meanLog), 0) / spread;
  const rate = typicalRate(first.score);
  const day = dayOf(last.on);
  const at = (factor: number): number => first.score * Math.exp(-rate * factor * day);
  const expected = { low: at(BAND.fast), mid: at(1), high: at(BAND.slow) };
  const lowest = Math.min(...sorted.map(({ score }) => score));
  const slow = day >= values.rethinkOnDay && last.score > expected.high + READS_AS_ZERO;
  const relapse = last.score - lowest >= 2;
  return {
    ratePerDay,
    halfLifeDays:
      ratePerDay === undefined || ratePerDay <= 0 ? undefined : Math.log(2) / ratePerDay,
    expected,
    slow,
    relapse,
    rethink: slow || relapse,
    source: HEALING,
  };
};

/** Two points up within 24 h on the five-sign score alerts the vet. Source: house rule. */
export const painRise = (
  scores: readonly { readonly atMs: InstantMs; readonly score: number }[],
  values: MetabolicValues = METABOLIC_STANDARD,
): { readonly rise: number; readonly alert: boolean } => {
  const sorted = scores.toSorted((a, b) => a.atMs - b.atMs);
  const last = sorted.at(-1);
  if (last === undefined) return { rise: 0, alert: false };
  const earlier = sorted.filter(
    ({ atMs }) => atMs < last.atMs && atMs >= last.atMs - 24 * MS_PER_HOUR,
  );
  const lowest = Math.min(last.score, ...earlier.map(({ score }) => score));
  return { rise: last.score - lowest, alert: last.score - lowest >= values.painRise };
};
