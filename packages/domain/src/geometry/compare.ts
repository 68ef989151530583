import type { Finding } from "../evidence/index.ts";
import {
  definitionOf,
  footValueOf,
  inWords,
  readingOf,
  type FilmContext,
  type MeasuredFilm,
  type MeasureKey,
} from "./film.ts";
import type { Interval } from "./measurement.ts";
import { COVERAGE_FACTOR, SEM_ANGLE_DEGREES, SEM_DISTANCE_MM, SEM_FOUNDER_MM } from "./settings.ts";
import {
  CENTRING_STUDY,
  HEEL_RAISE,
  PLAIN_GEOMETRY,
  POSITIONING_BOOK,
  UNCERTAINTY_GUIDE,
} from "./sources.ts";

/** Standard error of one reading by measure, from the practice's own repeat-reading study. */
export type SemByMeasure = { readonly [key in MeasureKey]?: number | undefined };

export interface Comparison {
  readonly key: MeasureKey;
  /** Later minus earlier, wedge taken out of both; null when refused. */
  readonly difference: number | null;
  readonly interval95: Interval | null;
  /** Smallest difference that counts as real between these two films. */
  readonly smallestRealChange: number | null;
  readonly verdict: "real" | "within error" | "refused";
  /** The sentence for the page. */
  readonly text: string;
  readonly findings: readonly Finding[];
}

/** Text of a difference smaller than its error. */
export const NOT_CLEARLY_DIFFERENT = "not clearly different";

/** Repeat-reading standard error of a measure; 0 where only the measure's own uncertainty applies. */
export const semOf = (key: MeasureKey, study: SemByMeasure = {}): number => {
  const own = study[key];
  if (own !== undefined) return own;
  switch (definitionOf(key).errorClass) {
    case "distance":
      return SEM_DISTANCE_MM.value;
    case "angle":
      return SEM_ANGLE_DEGREES.value;
    case "founder":
      return SEM_FOUNDER_MM.value;
    case "own":
      return 0;
  }
};

/** 1.96·√2·SEM: the smallest change between two readings that is more than reading error. */
export const smallestRealChangeOf = (sem: number): number =>
  COVERAGE_FACTOR.value * Math.SQRT2 * sem;

const refused = (key: MeasureKey, findings: readonly Finding[]): Comparison => ({
  key,
  difference: null,
  interval95: null,
  smallestRealChange: null,
  verdict: "refused",
  text: findings[0]?.detail ?? "cannot be compared",
  findings,
});

/** Why two films may not be compared on this measure, or what the reader must know. */
const conditions = (key: MeasureKey, a: FilmContext, b: FilmContext): readonly Finding[] => {
  const definition = definitionOf(key);
  const findings: Finding[] = [];
  if (definition.centringMatters === true) {
    const unknown = a.centring === "not recorded" || b.centring === "not recorded";
    if (a.centring !== b.centring || unknown) {
      findings.push({
        rule: "radiograph/same-centring@1",
        outcome: unknown ? "warn" : "block",
        detail: unknown
          ? `${definition.label}: the beam centring of a film was not recorded; it changes this reading`
          : `${definition.label} cannot be compared: one film was centred on the ${a.centring}, the other on the ${b.centring}`,
        source: CENTRING_STUDY,
      });
    }
  }
  if (a.positionCardComplete === false || b.positionCardComplete === false) {
    findings.push({
      rule: "radiograph/both-films-positioned@1",
      outcome: "warn",
      detail:
        "the position card of a film was not complete; part of the difference may be the set-up",
      source: POSITIONING_BOOK,
    });
  }
  if (definition.carriesWedge === true && (a.wedgeDegrees !== 0 || b.wedgeDegrees !== 0)) {
    findings.push({
      rule: "radiograph/wedge-taken-out@1",
      outcome: "note",
      detail: `compared without the wedge (${inWords(a.wedgeDegrees, "deg")} and ${inWords(b.wedgeDegrees, "deg")} taken out)`,
      source: HEEL_RAISE,
    });
  }
  return findings;
};

/**
 * Standard uncertainty of a reading in a comparison: the larger of its own computed uncertainty and
 * the repeat-reading error. Both describe the same marking error, so they are not added.
 */
const uncertaintyOf = (own: number | null, sem: number): number => Math.max(own ?? 0, sem);

const compareValues = (
  key: MeasureKey,
  a: MeasuredFilm,
  b: MeasuredFilm,
  study: SemByMeasure,
  findings: readonly Finding[],
): Comparison => {
  const definition = definitionOf(key);
  const from = footValueOf(a, key);
  const to = footValueOf(b, key);
  if (from === undefined || to === undefined) {
    return refused(key, [
      {
        rule: "radiograph/both-measured@1",
        outcome: "block",
        detail: `${definition.label} was not measured on both films`,
        source: PLAIN_GEOMETRY,
      },
    ]);
  }
  if (findings.some((finding) => finding.outcome === "block")) return refused(key, findings);
  const sem = semOf(key, study);
  const combined = Math.hypot(
    uncertaintyOf(readingOf(a, key)?.standardUncertainty ?? null, sem),
    uncertaintyOf(readingOf(b, key)?.standardUncertainty ?? null, sem),
  );
  if (combined === 0) {
    return refused(key, [
      {
        rule: "radiograph/error-known@1",
        outcome: "block",
        detail: `${definition.label}: neither film states an uncertainty, and there is no repeat-reading error for it`,
        source: UNCERTAINTY_GUIDE,
      },
    ]);
  }
  const half = COVERAGE_FACTOR.value * combined;
  const difference = to - from;
  const real = Math.abs(difference) >= half;
  const sign = difference < 0 ? "−" : "+";
  const size = inWords(Math.abs(difference), definition.unit);
  return {
    key,
    difference,
    interval95: { low: difference - half, high: difference + half },
    smallestRealChange: half,
    verdict: real ? "real" : "within error",
    text: real
      ? `real change: ${sign}${size} (± ${inWords(half, definition.unit)})`
      : `${NOT_CLEARLY_DIFFERENT}: ${sign}${size} (± ${inWords(half, definition.unit)})`,
    findings,
  };
};

/**
 * Change of one measure from film `a` to the later film `b` of the same foot, any wedge taken out
 * first. `real` only when the difference leaves its own 95 % interval; films of another foot or view,
 * or (for palmar angle and sole depth) of another beam centring, are refused.
 */
export const compareMeasurements = (
  key: MeasureKey,
  a: MeasuredFilm,
  b: MeasuredFilm,
  study: SemByMeasure = {},
): Comparison => {
  if (a.film.foot !== b.film.foot || a.film.view !== b.film.view) {
    return refused(key, [
      {
        rule: "radiograph/same-foot@1",
        outcome: "block",
        detail: `films of ${a.film.foot} (${a.film.view}) and ${b.film.foot} (${b.film.view}) are not a series`,
        source: PLAIN_GEOMETRY,
      },
    ]);
  }
  return compareValues(key, a, b, study, conditions(key, a.film, b.film));
};

/** Every measure that both films carry. */
export const compareFilms = (
  a: MeasuredFilm,
  b: MeasuredFilm,
  study: SemByMeasure = {},
): readonly Comparison[] =>
  a.measurements
    .filter(
      (reading) => reading.value !== null && (readingOf(b, reading.key)?.value ?? null) !== null,
    )
    .map((reading) => compareMeasurements(reading.key, a, b, study));

/** Right foot minus left foot of the same pair. Some difference between feet is common in sound animals. */
export const compareFeet = (
  key: MeasureKey,
  left: MeasuredFilm,
  right: MeasuredFilm,
  study: SemByMeasure = {},
): Comparison => compareValues(key, left, right, study, conditions(key, left.film, right.film));
