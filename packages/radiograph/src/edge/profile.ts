import type { Film } from "../film/film.ts";

/** A position on the film; whole numbers are pixel centres. */
export interface FilmPoint {
  readonly x: number;
  readonly y: number;
}

/**
 * Which way brightness must change along the search direction: `rising` from dark to bright,
 * `falling` from bright to dark, `either` for the stronger of both.
 */
export type EdgePolarity = "rising" | "falling" | "either";

/** How an edge is looked for. */
export interface EdgeSearch {
  /** Furthest distance from the starting place, to either side. */
  readonly reachPx: number;
  readonly polarity: EdgePolarity;
  /** Standard deviation of the smoothing across the edge. */
  readonly smoothingPx: number;
  /** Brightness is averaged over this far to either side, along the edge. */
  readonly averagingPx: number;
}

export const defaultEdgeSearch: EdgeSearch = {
  reachPx: 12,
  polarity: "either",
  smoothingPx: 1.2,
  averagingPx: 2,
};

/** An edge found on one search line. */
export interface EdgeHit {
  readonly at: FilmPoint;
  /** Signed distance from the start along the search direction. */
  readonly offsetPx: number;
  /** Change of brightness per pixel; positive when rising. */
  readonly slope: number;
}

const stepPx = 0.5;

/** Brightness between pixels, or nothing outside the film. */
const brightnessAt = ({ widthPx, heightPx, pixels }: Film, x: number, y: number): number => {
  if (!(x >= 0 && y >= 0 && x <= widthPx - 1 && y <= heightPx - 1)) return Number.NaN;
  const column = Math.min(widthPx - 2, Math.floor(x));
  const row = Math.min(heightPx - 2, Math.floor(y));
  const fx = x - column;
  const fy = y - row;
  const at = row * widthPx + column;
  const top = pixels[at]! * (1 - fx) + pixels[at + 1]! * fx;
  const bottom = pixels[at + widthPx]! * (1 - fx) + pixels[at + widthPx + 1]! * fx;
  return top * (1 - fy) + bottom * fy;
};

const normalised = ({ x, y }: FilmPoint): FilmPoint | undefined => {
  const length = Math.hypot(x, y);
  return length > 0 && Number.isFinite(length) ? { x: x / length, y: y / length } : undefined;
};

const readProfile = (
  film: Film,
  start: FilmPoint,
  direction: FilmPoint,
  search: EdgeSearch,
  halfSteps: number,
): Float64Array => {
  const across = Math.max(0, Math.round(search.averagingPx));
  return Float64Array.from({ length: 2 * halfSteps + 1 }, (_, index) => {
    const offset = (index - halfSteps) * stepPx;
    let sum = 0;
    for (let side = -across; side <= across; side += 1) {
      sum += brightnessAt(
        film,
        start.x + direction.x * offset - direction.y * side,
        start.y + direction.y * offset + direction.x * side,
      );
    }
    return sum / (2 * across + 1);
  });
};

/** Derivative of a Gaussian, scaled so that a straight ramp gives its own slope per pixel. */
const slopeKernel = (sigmaPx: number): Float64Array => {
  const reach = Math.ceil((3 * sigmaPx) / stepPx);
  const weights = Float64Array.from({ length: 2 * reach + 1 }, (_, index) => {
    const t = (index - reach) * stepPx;
    return t * Math.exp(-(t * t) / (2 * sigmaPx * sigmaPx));
  });
  const scale = weights.reduce((sum, weight, index) => sum + weight * (index - reach) * stepPx, 0);
  return weights.map((weight) => weight / scale);
};

/** Least change per pixel that counts as an edge, as a share of full scale; house rule. */
const faintestEdge = 0.0015;

/**
 * Looks for an edge along a line through `start`, to a small fraction of a pixel: the place of
 * steepest brightness, where a place near the start is preferred to one far away. Answers nothing
 * where there is no clear edge or the line leaves the film.
 */
export const findEdge = (
  film: Film,
  start: FilmPoint,
  direction: FilmPoint,
  search: EdgeSearch,
): EdgeHit | undefined => {
  const along = normalised(direction);
  if (along === undefined) return undefined;
  const kernel = slopeKernel(search.smoothingPx);
  const reach = (kernel.length - 1) / 2;
  const halfSteps = Math.ceil(search.reachPx / stepPx);
  const profile = readProfile(film, start, along, search, halfSteps + reach + 1);
  const count = 2 * halfSteps + 3;
  const sign = search.polarity === "falling" ? -1 : 1;
  const slopes = Float64Array.from({ length: count }, (_, index) => {
    let slope = 0;
    for (let tap = 0; tap < kernel.length; tap += 1) slope += kernel[tap]! * profile[index + tap]!;
    return slope;
  });
  const strength = (index: number): number =>
    search.polarity === "either" ? Math.abs(slopes[index]!) : sign * slopes[index]!;
  let best = -1;
  let bestScore = faintestEdge * 2 ** film.bitsStored;
  for (let index = 1; index < count - 1; index += 1) {
    const here = strength(index);
    if (!(here >= strength(index - 1) && here > strength(index + 1))) continue;
    const offset = (index - halfSteps - 1) * stepPx;
    const score = here * Math.exp(-0.5 * (offset / (0.6 * search.reachPx)) ** 2);
    if (score > bestScore) {
      bestScore = score;
      best = index;
    }
  }
  if (best < 0) return undefined;
  const [before, here, after] = [strength(best - 1), strength(best), strength(best + 1)];
  const bend = before - 2 * here + after;
  const part = bend === 0 ? 0 : (0.5 * (before - after)) / bend;
  const offsetPx = (best - halfSteps - 1 + part) * stepPx;
  return {
    at: { x: start.x + along.x * offsetPx, y: start.y + along.y * offsetPx },
    offsetPx,
    slope: slopes[best]!,
  };
};
