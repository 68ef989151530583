import type { Point } from "./circle-fit.ts";
import type { LateromedialLandmark } from "./landmarks.ts";
import type { LateromedialMeasure } from "./lateromedial-definitions.ts";
import { articularCircle } from "./lateromedial.ts";
import type { PointMap } from "./scale.ts";

/** A line to draw on the film, in image pixels, and the measure that it shows. */
export interface ConstructionLine<M extends string = LateromedialMeasure> {
  readonly measure: M;
  readonly from: Point;
  readonly to: Point;
}

/** Foot of the perpendicular from a point on the line through two others; undefined if they coincide. */
export const footOn = (point: Point, a: Point, b: Point): Point | undefined => {
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const squared = dx * dx + dy * dy;
  if (squared === 0) return undefined;
  const share = ((point.x - a.x) * dx + (point.y - a.y) * dy) / squared;
  return { x: a.x + share * dx, y: a.y + share * dy };
};

/**
 * The lines along which the measures are taken, as far as their points are placed: wall and bone
 * lines, perpendiculars to the wall, verticals to the ground and stretches along it.
 */
export const constructionLines = (
  landmarks: PointMap<LateromedialLandmark>,
): readonly ConstructionLine[] => {
  const lines: ConstructionLine[] = [];
  const draw = (
    measure: LateromedialMeasure,
    from: Point | undefined,
    to: Point | undefined,
  ): void => {
    if (from !== undefined && to !== undefined) lines.push({ measure, from, to });
  };
  const l = landmarks;
  const onWall = (p: Point | undefined): Point | undefined =>
    p && l.coronaryBand && l.wallDistal && footOn(p, l.coronaryBand, l.wallDistal);
  const onGround = (p: Point | undefined): Point | undefined =>
    p && l.groundHeel && l.groundToe && footOn(p, l.groundHeel, l.groundToe);
  draw("dorsalWallAngle", l.coronaryBand, l.wallDistal);
  draw("dorsalP3Angle", l.p3DorsalProximal, l.p3Tip);
  draw("p2AxisAngle", l.p2AxisProximal, l.p2AxisDistal);
  draw("palmarAngleGround", l.p3Wing, l.p3Tip);
  draw("hornLamellarProximal", l.p3DorsalProximal, onWall(l.p3DorsalProximal));
  draw("hornLamellarDistal", l.p3Tip, onWall(l.p3Tip));
  draw("soleDepthTip", l.p3Tip, onGround(l.p3Tip));
  draw("soleDepthWing", l.p3Wing, onGround(l.p3Wing));
  draw("heelHeight", l.coronaryBandHeel, onGround(l.coronaryBandHeel));
  draw("bearingLength", onGround(l.heel), onGround(l.breakover));
  draw("breakoverDistance", onGround(l.p3Tip), onGround(l.breakover));
  draw("breakoverFromFrogTip", onGround(l.frogTip), onGround(l.breakover));
  draw("p3PalmarLength", l.p3Tip, l.navicularArticulation);
  const centre = articularCircle(l)?.centre;
  draw("centreOfRotationHeight", centre, onGround(centre));
  draw("leverArm", onGround(centre), onGround(l.breakover));
  if (l.extensorProcess && l.coronaryBand) {
    // Straight up from the extensor process to the level of the top of the wall.
    const [low, high] = [onGround(l.extensorProcess), onGround(l.coronaryBand)];
    if (low && high) {
      draw("founderDistance", l.extensorProcess, {
        x: l.coronaryBand.x + low.x - high.x,
        y: l.coronaryBand.y + low.y - high.y,
      });
    }
  }
  return lines;
};
