import { smallestRealChangeOf } from "./compare.ts";
import type { MeasureKey } from "./film.ts";
import { REPEAT_STUDY_SIZE } from "./settings.ts";

/** One reading of one film by one person. Readings of a film by the same person are repeats. */
export interface RepeatReading {
  readonly measure: MeasureKey;
  readonly filmId: string;
  readonly readerId: string;
  readonly value: number;
}

export interface RepeatReadingResult {
  readonly measure: MeasureKey;
  readonly films: number;
  readonly readers: number;
  readonly readings: number;
  /** SD of repeats by one person. Null without repeats. */
  readonly semSameReader: number | null;
  /** SD between people, their mean offset and their film-by-film disagreement. Null unless balanced. */
  readonly semBetweenReaders: number | null;
  /** Standard error of measurement for any reader: what a comparison of two films should use. */
  readonly sem: number;
  readonly smallestRealChange: number;
  /** Method: two-way where every reader read every film equally often, else within films. */
  readonly method: "two-way" | "within films";
  /** True when the study is large enough to replace the defaults after sign-off. */
  readonly enough: boolean;
  readonly missing?: string;
}

const meanOf = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;
const squaresAbout = (values: readonly number[], centre: number): number =>
  values.reduce((sum, value) => sum + (value - centre) * (value - centre), 0);

const grouped = <T>(
  items: readonly T[],
  keyOf: (item: T) => string,
): ReadonlyMap<string, readonly T[]> => {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const group = groups.get(keyOf(item));
    if (group === undefined) groups.set(keyOf(item), [item]);
    else group.push(item);
  }
  return groups;
};
const valuesOf = (readings: readonly RepeatReading[]): readonly number[] =>
  readings.map((r) => r.value);

/** Sum of squares within groups and its degrees of freedom. */
const within = (groups: Iterable<readonly number[]>): { squares: number; freedom: number } => {
  let squares = 0;
  let freedom = 0;
  for (const group of groups) {
    squares += squaresAbout(group, meanOf(group));
    freedom += group.length - 1;
  }
  return { squares, freedom };
};

interface Parts {
  readonly sameReader: number | null;
  readonly between: number;
  readonly total: number;
}

/**
 * Two-way random model film × reader (balanced): variance of readers, of film-by-reader disagreement
 * and of repeats. With one reading per cell the last two cannot be told apart.
 */
const twoWay = (
  readings: readonly RepeatReading[],
  films: number,
  readers: number,
  repeats: number,
): Parts => {
  const grand = meanOf(valuesOf(readings));
  const squaresBy = (keyOf: (r: RepeatReading) => string, each: number): number =>
    [...grouped(readings, keyOf).values()].reduce((sum, group) => {
      const off = meanOf(valuesOf(group)) - grand;
      return sum + each * off * off;
    }, 0);
  const cells = [...grouped(readings, cellOf).values()].map(valuesOf);
  const pure = within(cells);
  const ssFilms = squaresBy((r) => r.filmId, readers * repeats);
  const ssReaders = squaresBy((r) => r.readerId, films * repeats);
  const ssCells = squaresBy(cellOf, repeats);
  const msReaders = ssReaders / (readers - 1);
  const msInteraction = (ssCells - ssFilms - ssReaders) / ((films - 1) * (readers - 1));
  const readerVariance = Math.max(0, (msReaders - msInteraction) / (films * repeats));
  if (repeats === 1) {
    return {
      sameReader: null,
      between: readerVariance,
      total: readerVariance + Math.max(0, msInteraction),
    };
  }
  const pureVariance = pure.squares / pure.freedom;
  const interaction = Math.max(0, (msInteraction - pureVariance) / repeats);
  return {
    sameReader: pureVariance,
    between: readerVariance + interaction,
    total: readerVariance + interaction + pureVariance,
  };
};

const cellOf = (reading: RepeatReading): string =>
  JSON.stringify([reading.filmId, reading.readerId]);

/** How many films, people and readings of each make a study. */
export interface RepeatStudySize {
  readonly films: number;
  readonly readers: number;
  readonly repeats: number;
}

const resultFor = (
  measure: MeasureKey,
  readings: readonly RepeatReading[],
  wanted: RepeatStudySize,
): RepeatReadingResult | undefined => {
  const byFilm = grouped(readings, (r) => r.filmId);
  const films = byFilm.size;
  const readers = new Set(readings.map((r) => r.readerId)).size;
  const cells = [...grouped(readings, cellOf).values()];
  const repeats = Math.min(...cells.map((cell) => cell.length));
  const balanced =
    cells.length === films * readers && cells.every((cell) => cell.length === repeats);
  const pure = within(cells.map(valuesOf));
  const pooled = within([...byFilm.values()].map(valuesOf));
  if (pooled.freedom === 0) return undefined;
  const method = balanced && films > 1 && readers > 1 ? "two-way" : "within films";
  const parts: Parts =
    method === "two-way"
      ? twoWay(readings, films, readers, repeats)
      : {
          sameReader: pure.freedom === 0 ? null : pure.squares / pure.freedom,
          between: Number.NaN,
          total: pooled.squares / pooled.freedom,
        };
  const enough = films >= wanted.films && readers >= wanted.readers && repeats >= wanted.repeats;
  const sem = Math.sqrt(parts.total);
  return {
    measure,
    films,
    readers,
    readings: readings.length,
    semSameReader: parts.sameReader === null ? null : Math.sqrt(parts.sameReader),
    semBetweenReaders: method === "two-way" ? Math.sqrt(parts.between) : null,
    sem,
    smallestRealChange: smallestRealChangeOf(sem),
    method,
    enough,
    ...(enough
      ? {}
      : {
          missing: `needs ${wanted.films} films, ${wanted.readers} people and ${wanted.repeats} readings each; has ${films} films, ${readers} people, ${repeats} each`,
        }),
  };
};

/**
 * Standard error of measurement and smallest real change (1.96·√2·SEM) for every measure that was
 * read more than once. Measures without any repeat are left out. `wanted` is the practice's own size
 * of a study that may replace the defaults.
 */
export const repeatReadingStudy = (
  readings: readonly RepeatReading[],
  wanted: RepeatStudySize = REPEAT_STUDY_SIZE.value,
): readonly RepeatReadingResult[] =>
  [
    ...grouped(
      readings.filter((r) => Number.isFinite(r.value)),
      (r) => r.measure,
    ).values(),
  ]
    .map((group) =>
      group[0] === undefined ? undefined : resultFor(group[0].measure, group, wanted),
    )
    .filter((result) => result !== undefined);
