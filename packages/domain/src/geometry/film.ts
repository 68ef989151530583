import type { LocalDate } from "../time/index.ts";
import type { DorsopalmarMeasure } from "./dorsopalmar-definitions.ts";
import { DORSOPALMAR_DEFINITIONS } from "./dorsopalmar-definitions.ts";
import type { LateromedialMeasure } from "./lateromedial-definitions.ts";
import { LATEROMEDIAL_DEFINITIONS } from "./lateromedial-definitions.ts";
import type { MeasureDefinition, MeasureUnit } from "./measurement.ts";

export type FootCode = "LF" | "RF" | "LH" | "RH";
export type FilmView = "lateromedial" | "dorsopalmar";
/** Where the central ray was aimed. */
export type BeamCentring =
  | "hoof-ground interface"
  | "coronary band"
  | "coffin joint"
  | "not recorded";
export type MeasureKey = LateromedialMeasure | DorsopalmarMeasure;

/** The facts about a film that decide what it may be compared with. */
export interface FilmContext {
  readonly foot: FootCode;
  readonly view: FilmView;
  readonly takenOn: LocalDate;
  /** Wedge under the foot, degrees; 0 without one. */
  readonly wedgeDegrees: number;
  readonly centring: BeamCentring;
  /** False when an item of the position card was not ticked. */
  readonly positionCardComplete?: boolean | undefined;
}

/** One value of one film; a `Measurement` is one, and so is a value typed in from paper. */
export interface Reading {
  readonly key: MeasureKey;
  readonly value: number | null;
  readonly standardUncertainty: number | null;
}

/** A film with what was read from it. */
export interface MeasuredFilm {
  readonly film: FilmContext;
  readonly measurements: readonly Reading[];
}

type AnyDefinition = MeasureDefinition<MeasureKey, string>;

const DEFINITIONS: ReadonlyMap<string, AnyDefinition> = new Map(
  [...LATEROMEDIAL_DEFINITIONS, ...DORSOPALMAR_DEFINITIONS].map((d: AnyDefinition) => [d.key, d]),
);

/** What a measure is, by key. */
export const definitionOf = (key: MeasureKey): AnyDefinition => {
  const found = DEFINITIONS.get(key);
  if (found === undefined) throw new Error(`unknown measure ${key}`);
  return found;
};

export const readingOf = (film: MeasuredFilm, key: MeasureKey): Reading | undefined =>
  film.measurements.find((reading) => reading.key === key);

/** The value of a measure on a film with any wedge taken out; undefined when it was not given. */
export const footValueOf = (film: MeasuredFilm, key: MeasureKey): number | undefined => {
  const value = readingOf(film, key)?.value;
  if (value === undefined || value === null) return undefined;
  return definitionOf(key).carriesWedge === true ? value - film.film.wedgeDegrees : value;
};

const UNIT_TEXT: Record<MeasureUnit, string> = { mm: " mm", deg: "°", ratio: "", "%": " %" };

/** "15.0 mm", "2.5°", "0.25": the form used in sentences. */
export const inWords = (value: number, unit: MeasureUnit): string =>
  `${value.toFixed(unit === "ratio" ? 2 : 1)}${UNIT_TEXT[unit]}`;
