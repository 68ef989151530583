import type { Film } from "../film/film.ts";
import {
  defaultEdgeSearch,
  findEdge,
  type EdgeHit,
  type EdgeSearch,
  type FilmPoint,
} from "./profile.ts";
import { biweights, median } from "./robust.ts";

/** One place where an edge was found, and whether the fit used it. */
export interface EdgeSample {
  readonly at: FilmPoint;
  readonly isUsed: boolean;
  /** Distance from the fitted line or circle. */
  readonly residualPx: number;
}

/** Why a refinement left everything where it was. */
export type NotMovedReason = "no-edge" | "too-few-edges" | "edges-disagree" | "not-enough-points";

interface Outcome {
  readonly moved: boolean;
  readonly reason?: NotMovedReason;
  /** What the screen shows, so that a person can judge and undo the move. */
  readonly samples: readonly EdgeSample[];
}

/** A refined point; `from` is where it was, for undo. */
export interface RefinedPoint extends Outcome {
  readonly point: FilmPoint;
  readonly from: FilmPoint;
  readonly shiftPx: number;
}

/** A refined line, still given by two points. */
export interface RefinedLine extends Outcome {
  readonly a: FilmPoint;
  readonly b: FilmPoint;
  readonly from: { readonly a: FilmPoint; readonly b: FilmPoint };
  /** Root mean square distance of the used samples from the line. */
  readonly rmsPx: number;
}

const withDefaults = (search: Partial<EdgeSearch>): EdgeSearch => ({
  ...defaultEdgeSearch,
  ...search,
});

/**
 * Moves a point along `normalDirection` onto the nearest clear edge within `reachPx`. The point
 * never moves along the edge, which the film says nothing about.
 */
export const refinePoint = (
  film: Film,
  point: FilmPoint,
  normalDirection: FilmPoint,
  reachPx: number,
  search: Partial<EdgeSearch> = {},
): RefinedPoint => {
  const hit = findEdge(film, point, normalDirection, { ...withDefaults(search), reachPx });
  if (hit === undefined) {
    return { moved: false, reason: "no-edge", samples: [], point, from: point, shiftPx: 0 };
  }
  return {
    moved: true,
    samples: [{ at: hit.at, isUsed: true, residualPx: 0 }],
    point: hit.at,
    from: point,
    shiftPx: Math.abs(hit.offsetPx),
  };
};

/** `offset = intercept + slope × t` where t runs from 0 at one end to 1 at the other. */
interface LineFit {
  readonly intercept: number;
  readonly slope: number;
}

interface Placed {
  readonly t: number;
  readonly hit: EdgeHit;
}

/**
 * The line through two samples that leaves the least median distance: it holds with up to half of
 * the samples on other edges. source: Rousseeuw 1984, J Am Stat Assoc 79:871–880.
 */
const leastMedianLine = (placed: readonly Placed[]): LineFit => {
  let best: LineFit = { intercept: median(placed.map(({ hit }) => hit.offsetPx)), slope: 0 };
  let bestSpread = Number.POSITIVE_INFINITY;
  for (const [index, first] of placed.entries()) {
    for (const second of placed.slice(index + 1)) {
      if (second.t - first.t < 0.25) continue;
      const slope = (second.hit.offsetPx - first.hit.offsetPx) / (second.t - first.t);
      const intercept = first.hit.offsetPx - slope * first.t;
      const spread = median(
        placed.map(({ t, hit }) => Math.abs(hit.offsetPx - intercept - slope * t)),
      );
      if (spread < bestSpread) {
        bestSpread = spread;
        best = { intercept, slope };
      }
    }
  }
  return best;
};

const residualsOf = (placed: readonly Placed[], fit: LineFit): readonly number[] =>
  placed.map(({ t, hit }) => hit.offsetPx - fit.intercept - fit.slope * t);

const weightedLine = (placed: readonly Placed[], weights: readonly number[]): LineFit => {
  let [sw, st, so, stt, sto] = [0, 0, 0, 0, 0];
  placed.forEach(({ t, hit }, index) => {
    const weight = weights[index]!;
    sw += weight;
    st += weight * t;
    so += weight * hit.offsetPx;
    stt += weight * t * t;
    sto += weight * t * hit.offsetPx;
  });
  const spread = sw * stt - st * st;
  if (spread <= 1e-12) return { intercept: so / sw, slope: 0 };
  const slope = (sw * sto - st * so) / spread;
  return { intercept: (so - slope * st) / sw, slope };
};

const robustLine = (placed: readonly Placed[]): LineFit => {
  let fit = leastMedianLine(placed);
  for (let round = 0; round < 8; round += 1) {
    fit = weightedLine(placed, biweights(residualsOf(placed, fit)));
  }
  return fit;
};

const lineSamples = 40;
/** Fewer found or agreeing edges than this share, and the fit is not offered; house rule. */
const leastShare = 0.5;

/**
 * Lays a line onto the film's own edge: looks for the edge square to the line at forty places
 * between `a` and `b`, fits a straight line that outliers cannot pull, and moves the two points
 * square to the old line onto it. `reachPx` is how far off the placed line may be.
 */
export const refineLine = (
  film: Film,
  a: FilmPoint,
  b: FilmPoint,
  reachPx: number = defaultEdgeSearch.reachPx,
  search: Partial<EdgeSearch> = {},
): RefinedLine => {
  const settings = { ...withDefaults(search), reachPx };
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  const from = { a, b };
  const unmoved = (reason: NotMovedReason, samples: readonly EdgeSample[]): RefinedLine => ({
    moved: false,
    reason,
    samples,
    a,
    b,
    from,
    rmsPx: 0,
  });
  if (!(length > 8)) return unmoved("not-enough-points", []);
  const normal = { x: (b.y - a.y) / length, y: (a.x - b.x) / length };
  const count = Math.min(lineSamples, Math.floor(length / 2));
  const placed = Array.from({ length: count }, (_, index) => {
    const t = (index + 0.5) / count;
    const start = { x: a.x + (b.x - a.x) * t, y: a.y + (b.y - a.y) * t };
    return { t, hit: findEdge(film, start, normal, settings) };
  }).filter((item): item is Placed => item.hit !== undefined);
  if (placed.length < count * leastShare) return unmoved("too-few-edges", []);
  const fit = robustLine(placed);
  const residuals = residualsOf(placed, fit);
  const weights = biweights(residuals);
  const samples = placed.map(({ hit }, index) => ({
    at: hit.at,
    isUsed: weights[index]! > 0,
    residualPx: residuals[index]!,
  }));
  const used = samples.filter(({ isUsed }) => isUsed);
  if (used.length < count * leastShare) return unmoved("edges-disagree", samples);
  const moveTo = (point: FilmPoint, t: number): FilmPoint => ({
    x: point.x + normal.x * (fit.intercept + fit.slope * t),
    y: point.y + normal.y * (fit.intercept + fit.slope * t),
  });
  return {
    moved: true,
    samples,
    a: moveTo(a, 0),
    b: moveTo(b, 1),
    from,
    rmsPx: Math.sqrt(used.reduce((sum, { residualPx }) => sum + residualPx ** 2, 0) / used.length),
  };
};
