import type { Point } from "./circle-fit.ts";
import { footOn, type ConstructionLine } from "./construction-lines.ts";
import type { DorsopalmarMeasure } from "./dorsopalmar-definitions.ts";
import type { DorsopalmarLandmark } from "./landmarks.ts";
import type { PointMap } from "./scale.ts";

const middleOf = (a: Point, b: Point): Point => ({ x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 });

/** From the lower edge of a joint gap square to the joint, as far as the upper edge lies above it. */
const acrossGap = (
  lower: Point,
  upper: Point,
  medial: Point,
  lateral: Point,
): { readonly from: Point; readonly to: Point } | undefined => {
  const [dx, dy] = [lateral.x - medial.x, lateral.y - medial.y];
  const squared = dx * dx + dy * dy;
  if (squared === 0) return undefined;
  const share = ((upper.x - lower.x) * -dy + (upper.y - lower.y) * dx) / squared;
  return { from: lower, to: { x: lower.x - dy * share, y: lower.y + dx * share } };
};

/**
 * The lines along which the measures of the front view are taken, as far as their points are placed,
 * in image pixels. The differences between inside and outside have no line of their own.
 */
export const frontConstructionLines = (
  landmarks: PointMap<DorsopalmarLandmark>,
): readonly ConstructionLine<DorsopalmarMeasure>[] => {
  const lines: ConstructionLine<DorsopalmarMeasure>[] = [];
  const draw = (
    measure: DorsopalmarMeasure,
    from: Point | undefined,
    to: Point | undefined,
  ): void => {
    if (from !== undefined && to !== undefined) lines.push({ measure, from, to });
  };
  const l = landmarks;
  const foot = (p: Point | undefined, a: Point | undefined, b: Point | undefined) =>
    p && a && b && footOn(p, a, b);
  draw("p3Tilt", l.p3MarginMedial, l.p3MarginLateral);
  draw("p3TiltForamina", l.foramenMedial, l.foramenLateral);
  draw("coronaryBandTilt", l.coronetMedial, l.coronetLateral);
  const joint = [l.jointMedialUpper, l.jointMedialLower, l.jointLateralUpper, l.jointLateralLower];
  const [medialUp, medialLow, lateralUp, lateralLow] = joint;
  if (medialUp && medialLow && lateralUp && lateralLow) {
    const ends = [middleOf(medialUp, medialLow), middleOf(lateralUp, lateralLow)] as const;
    const medial = acrossGap(medialLow, medialUp, ...ends);
    const lateral = acrossGap(lateralLow, lateralUp, ...ends);
    draw("jointSpaceMedial", medial?.from, medial?.to);
    draw("jointSpaceLateral", lateral?.from, lateral?.to);
  }
  draw(
    "soleDepthMedial",
    l.p3MarginMedial,
    foot(l.p3MarginMedial, l.groundMedial, l.groundLateral),
  );
  draw(
    "soleDepthLateral",
    l.p3MarginLateral,
    foot(l.p3MarginLateral, l.groundMedial, l.groundLateral),
  );
  draw(
    "wallDistanceMedial",
    l.p3MarginMedial,
    foot(l.p3MarginMedial, l.coronetMedial, l.wallMedial),
  );
  draw(
    "wallDistanceLateral",
    l.p3MarginLateral,
    foot(l.p3MarginLateral, l.coronetLateral, l.wallLateral),
  );
  return lines;
};
