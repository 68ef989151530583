import type { Finding } from "../evidence/index.ts";
import { compareMeasurements, type SemByMeasure } from "./compare.ts";
import { inWords, type FootCode, type MeasuredFilm } from "./film.ts";
import { DISPLACEMENT_BOOK, HEEL_RAISE } from "./sources.ts";
import { dayText, type LocalDate } from "../time/index.ts";

/** The pattern of sinking between two films of one foot. */
export interface SinkingSign {
  readonly foot: FootCode;
  readonly filmOn: LocalDate;
  readonly comparedWith: LocalDate;
  readonly founderChangeMm: number;
  readonly rotationChangeDegrees: number;
  /** Change of the wall-to-bone distances; null when not measured on both films. */
  readonly wallDistanceTopChangeMm: number | null;
  readonly wallDistanceBottomChangeMm: number | null;
  readonly finding: Finding;
}

const lateromedial = (series: readonly MeasuredFilm[]): readonly MeasuredFilm[] =>
  series
    .filter((film) => film.film.view === "lateromedial")
    .toSorted((a, b) => a.film.takenOn.localeCompare(b.film.takenOn));

const signBetween = (
  earlier: MeasuredFilm,
  later: MeasuredFilm,
  study: SemByMeasure,
): SinkingSign | undefined => {
  const founder = compareMeasurements("founderDistance", earlier, later, study);
  if (founder.verdict !== "real" || founder.difference === null || founder.difference <= 0) {
    return undefined;
  }
  const rotation = compareMeasurements("capsularRotation", earlier, later, study);
  if (rotation.verdict !== "within error" || rotation.difference === null) return undefined;
  const top = compareMeasurements("hornLamellarProximal", earlier, later, study);
  const bottom = compareMeasurements("hornLamellarDistal", earlier, later, study);
  const measured = top.difference !== null && bottom.difference !== null;
  if (measured) {
    const upAlike =
      top.difference > 0 &&
      bottom.difference > 0 &&
      Math.abs(top.difference - bottom.difference) <
        Math.max(top.smallestRealChange ?? 0, bottom.smallestRealChange ?? 0);
    if (!upAlike) return undefined;
  }
  const walls = measured
    ? `wall-to-bone distance up alike at top (+${inWords(top.difference, "mm")}) and bottom (+${inWords(bottom.difference, "mm")})`
    : "wall-to-bone distances not measured on both films";
  return {
    foot: later.film.foot,
    filmOn: later.film.takenOn,
    comparedWith: earlier.film.takenOn,
    founderChangeMm: founder.difference,
    rotationChangeDegrees: rotation.difference,
    wallDistanceTopChangeMm: top.difference,
    wallDistanceBottomChangeMm: bottom.difference,
    finding: {
      rule: "radiograph/sinking-pattern@1",
      outcome: "warn",
      detail: `${later.film.foot}: founder distance up ${inWords(founder.difference, "mm")} since ${dayText(earlier.film.takenOn)} while rotation is not clearly different; ${walls}. This is the pattern of sinking: a vet must look now`,
      source: DISPLACEMENT_BOOK,
    },
  };
};

/**
 * Films on which the pattern of sinking shows against an earlier film of the same foot: founder
 * distance up by more than reading error, rotation flat, wall-to-bone distance up alike at top and
 * bottom. Each film is compared with every earlier one and reported once, with the largest rise.
 * A sign for a vet to weigh, not a diagnosis.
 */
export const detectSinking = (
  series: readonly MeasuredFilm[],
  study: SemByMeasure = {},
): readonly SinkingSign[] => {
  const films = lateromedial(series);
  return films.flatMap((later) => {
    const signs = films
      .filter((f) => f.film.foot === later.film.foot && f.film.takenOn < later.film.takenOn)
      .map((earlier) => signBetween(earlier, later, study))
      .filter((sign) => sign !== undefined)
      .toSorted((a, b) => b.founderChangeMm - a.founderChangeMm);
    return signs.slice(0, 1);
  });
};

/**
 * Warnings against raising the heel while the founder distance moves: for each foot, when its newest
 * film stands above any earlier one by more than reading error. Signing a wedge then needs a reason.
 */
export const heelRaiseFindings = (
  series: readonly MeasuredFilm[],
  study: SemByMeasure = {},
): readonly Finding[] => {
  const films = lateromedial(series);
  const newest = new Map(films.map((film) => [film.film.foot, film]));
  return [...newest.values()].flatMap((later) => {
    const rises = films
      .filter((f) => f.film.foot === later.film.foot && f.film.takenOn < later.film.takenOn)
      .map((earlier) => ({
        since: earlier.film.takenOn,
        comparison: compareMeasurements("founderDistance", earlier, later, study),
      }))
      .filter(({ comparison }) => comparison.verdict === "real" && (comparison.difference ?? 0) > 0)
      .toSorted((a, b) => (b.comparison.difference ?? 0) - (a.comparison.difference ?? 0));
    const worst = rises[0];
    return worst === undefined
      ? []
      : [
          {
            rule: "radiograph/heel-raise-with-moving-founder-distance@1",
            outcome: "warn" as const,
            detail: `${later.film.foot}: heel raise with a moving founder distance (+${inWords(worst.comparison.difference ?? 0, "mm")} since ${dayText(worst.since)}); heel raises are not for sinking feet`,
            source: HEEL_RAISE,
          },
        ];
  });
};
