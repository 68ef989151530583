import type { FilmFigures, RadiographView } from "@heelward/contracts";
import { type FilmView, millimetresPerPixel } from "@heelward/domain/geometry";
import { refineCircle, refineLine, refinePoint } from "@heelward/radiograph/edge";
import type { Film } from "@heelward/radiograph/film";
import type { Point, Points } from "./workbench.ts";

export interface Move {
  readonly key: string;
  readonly from: Point;
  readonly to: Point;
}

export type RefinementId = "ground" | "wall" | "p3Front" | "solarMargin" | "joint";
export type UnmovedReason = "no-edge" | "too-few-edges" | "edges-disagree" | "not-enough-points";

/** What an edge search did, so that it can be seen and undone. */
export interface Refinement {
  readonly moves: readonly Move[];
  /** Where the film showed the edge. */
  readonly samples: readonly { readonly at: Point; readonly isUsed: boolean }[];
  readonly unmoved: readonly { readonly id: RefinementId; readonly reason: UnmovedReason }[];
}

type Target =
  | { readonly id: RefinementId; readonly kind: "line"; readonly keys: readonly [string, string] }
  | { readonly id: RefinementId; readonly kind: "circle"; readonly keys: readonly string[] }
  /** Moved square to the ground line only. */
  | { readonly id: RefinementId; readonly kind: "height"; readonly keys: readonly string[] };

const GROUND: Readonly<Record<FilmView, readonly [string, string]>> = {
  lateromedial: ["groundHeel", "groundToe"],
  dorsopalmar: ["groundMedial", "groundLateral"],
};

const TARGETS: Readonly<Record<FilmView, readonly Target[]>> = {
  lateromedial: [
    { id: "ground", kind: "line", keys: GROUND.lateromedial },
    { id: "wall", kind: "line", keys: ["coronaryBand", "wallDistal"] },
    { id: "p3Front", kind: "line", keys: ["p3DorsalProximal", "p3Tip"] },
    { id: "solarMargin", kind: "height", keys: ["p3Wing"] },
    {
      id: "joint",
      kind: "circle",
      keys: ["p2Articular1", "p2Articular2", "p2Articular3", "p2Articular4", "p2Articular5"],
    },
  ],
  dorsopalmar: [
    { id: "ground", kind: "line", keys: GROUND.dorsopalmar },
    { id: "solarMargin", kind: "height", keys: ["p3MarginMedial", "p3MarginLateral"] },
  ],
};

/** How far from a mark its edge is looked for, in pixels of this film: by its scale, where it has one. */
export const edgeReachPx = (
  { scale }: Pick<RadiographView, "scale">,
  points: Points,
  { edgeReach }: Pick<FilmFigures, "edgeReach">,
): number => {
  const perPx = millimetresPerPixel(scale, points);
  return perPx.ok ? edgeReach.mm / perPx.value : edgeReach.px;
};

interface Outcome {
  readonly moved: boolean;
  readonly reason?: UnmovedReason;
  readonly samples: Refinement["samples"];
}

const upFrom = (points: Points, view: FilmView): Point => {
  const [a, b] = GROUND[view].map((key) => points[key]);
  if (a === undefined || b === undefined) return { x: 0, y: -1 };
  return { x: b.y - a.y, y: a.x - b.x };
};

const refineTarget = (
  film: Film,
  points: Points,
  target: Target,
  view: FilmView,
  reachPx: number,
): { readonly outcome: Outcome; readonly placed: readonly Point[] } | undefined => {
  const given = target.keys.map((key) => points[key]).filter((point) => point !== undefined);
  if (target.kind === "line") {
    const [a, b] = given;
    if (a === undefined || b === undefined) return undefined;
    const found = refineLine(film, a, b, reachPx);
    return { outcome: found, placed: [found.a, found.b] };
  }
  if (target.kind === "circle") {
    if (given.length === 0) return undefined;
    const found = refineCircle(film, given, reachPx);
    return { outcome: found, placed: found.points };
  }
  if (given.length === 0) return undefined;
  const up = upFrom(points, view);
  const found = given.map((point) => refinePoint(film, point, up, reachPx));
  const unmoved = found.find((one) => !one.moved);
  return {
    outcome: {
      moved: found.some((one) => one.moved),
      ...(unmoved?.reason === undefined ? {} : { reason: unmoved.reason }),
      samples: found.flatMap((one) => one.samples),
    },
    placed: found.map((one) => one.point),
  };
};

const placedKeys = (points: Points, target: Target): readonly string[] =>
  target.keys.filter((key) => points[key] !== undefined);

/**
 * Looks for the film's own edges near the marks: ground line, wall, front of P3, lower margin of P3
 * and the joint surface, within `reachPx` of each mark. With `only`, just the edges on which that landmark lies. Nothing is moved
 * here; the moves are given back to be shown, applied and undone.
 */
export const refineMarks = (
  film: Film,
  view: FilmView,
  points: Points,
  reachPx: number,
  only?: string,
): Refinement => {
  const targets = TARGETS[view].filter(
    (target) => only === undefined || target.keys.includes(only),
  );
  const parts = targets.flatMap((target) => {
    const found = refineTarget(film, points, target, view, reachPx);
    return found === undefined ? [] : [{ target, ...found }];
  });
  return {
    moves: parts.flatMap(({ target, outcome, placed }) =>
      outcome.moved
        ? placedKeys(points, target).flatMap((key, index) => {
            const [from, to] = [points[key], placed[index]];
            return from === undefined || to === undefined ? [] : [{ key, from, to }];
          })
        : [],
    ),
    samples: parts.flatMap(({ outcome }) => outcome.samples),
    unmoved: parts.flatMap(({ target, outcome }) =>
      outcome.reason === undefined ? [] : [{ id: target.id, reason: outcome.reason }],
    ),
  };
};

/** True when an edge of the film can be looked for at this landmark. */
export const canRefine = (view: FilmView, key: string): boolean =>
  TARGETS[view].some((target) => target.keys.includes(key));
