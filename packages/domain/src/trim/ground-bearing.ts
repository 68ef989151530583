import type { Source } from "../evidence/index.ts";
import { clipAtX, polygonMoments } from "./polygon.ts";
import type { Polygon } from "./polygon.ts";
import { STANDARD_TRIM_VALUES, TRIM_SETTINGS } from "./settings.ts";
import type { TrimValues } from "./settings.ts";
import { findFill, findShoe } from "./shoe-catalogue.ts";
import type { FillEntry, Footprint, OwnCatalogue } from "./shoe-catalogue.ts";
import {
  FROG_SHARE,
  heelOval,
  insetShape,
  solarOutline,
  solarShape,
  wedgeFrom,
} from "./solar-outline.ts";
import { TRIM_SOURCES } from "./sources.ts";

/** Standard gravity. source: CGPM 1901, exact. */
export const GRAVITY = 9.80665;
const OVAL_DEPTH_MM = 34;

export interface BearingInput {
  /** Toe of the horn after the trim, heel contact and breakover, all from the tip of P3 (forward positive), mm. */
  readonly toeX: number;
  readonly heelX: number;
  readonly breakoverX: number;
  readonly widthMm?: number;
  /** Tip of the frog behind the tip of P3; 10 mm where nobody measured it. */
  readonly frogTipBehindMm?: number;
  readonly shoe: string;
  readonly supportFill: string;
  readonly weightKg: number;
  readonly limb: "front" | "hind";
  readonly own?: OwnCatalogue;
  /** Where plates and fills lie; else the standard places. */
  readonly values?: Pick<TrimValues, "fillBehindTipMm" | "frogPlateBehindFrogTipMm">;
}

/** One part of what touches the ground; a hole counts against it. */
export interface BearingPiece {
  readonly part: "rim" | "heel bar" | "frog plate" | "fill" | "base";
  readonly outline: Polygon;
  readonly hole?: Polygon;
}

export interface Bearing {
  readonly areaCm2: number;
  readonly loadN: number;
  readonly pressureKPa: number;
  readonly pressureNPerCm2: number;
  /** Centre of the bearing area from the tip of P3, forward positive. */
  readonly centreOfSupportXMm: number;
  /** The same foot in a plain open-heel shoe without fill, breakover at the toe. */
  readonly plainAreaCm2: number;
  readonly areaToPlain: number;
  readonly pressureToPlain: number;
  readonly pieces: readonly BearingPiece[];
  readonly estimate: true;
  readonly sources: readonly Source[];
}

const PLAIN: Footprint = {
  webMm: 20,
  heels: "open",
  openToe: false,
  frogPlate: false,
  solid: "no",
};

/** Force under one foot of a horse standing square, N. */
export const standingLoadN = (weightKg: number, limb: "front" | "hind"): number =>
  weightKg * GRAVITY * TRIM_SETTINGS.standingShare.value[limb];

/** Mean pressure, force over area: kPa and N/cm² (1 N/cm² = 10 kPa). */
export const meanPressure = (
  loadN: number,
  areaCm2: number,
): { readonly kPa: number; readonly nPerCm2: number } => ({
  nPerCm2: loadN / areaCm2,
  kPa: (10 * loadN) / areaCm2,
});

const bearingPieces = (
  input: BearingInput,
  footprint: Footprint,
  fill: FillEntry["covers"],
  breakoverX: number,
): readonly BearingPiece[] => {
  const values = input.values ?? STANDARD_TRIM_VALUES;
  const shape = solarShape(input.toeX, input.heelX, input.widthMm);
  const behind = (polygon: Polygon) => clipAtX(polygon, breakoverX, "behind");
  const outer = solarOutline(shape);
  // Nothing bears in front of the tip under a soft fill or block: the toe hangs free.
  const softFront = Math.min(breakoverX, -values.fillBehindTipMm);
  const twoThirds = input.heelX + ((input.toeX - input.heelX) * 2) / 3;
  if (footprint.solid !== "no") {
    const front = footprint.solid === "to breakover" ? breakoverX : Math.min(breakoverX, twoThirds);
    return [{ part: "base", outline: clipAtX(outer, front, "behind") }];
  }
  // A web wider than the heels would turn the hole inside out.
  const web = Math.min(footprint.webMm, 0.9 * shape.halfHeelWidth);
  const inner = insetShape(shape, web, footprint.heels !== "bar");
  const hole = solarOutline(inner);
  const frogTipX = -(input.frogTipBehindMm ?? 10);
  const frogHalf = Math.min(FROG_SHARE * shape.halfWidth, inner.halfHeelWidth);
  const plateTipX = Math.max(
    inner.heelX,
    Math.min(frogTipX - values.frogPlateBehindFrogTipMm, softFront),
  );
  const plate = footprint.frogPlate ? wedgeFrom(plateTipX, inner.heelX, frogHalf) : null;
  const pieces: BearingPiece[] = [{ part: "rim", outline: behind(outer), hole: behind(hole) }];
  if (footprint.heels === "oval")
    pieces.push({
      part: "heel bar",
      outline: heelOval(input.heelX, shape.halfHeelWidth, OVAL_DEPTH_MM),
      hole: heelOval(input.heelX, shape.halfHeelWidth - web, OVAL_DEPTH_MM - web),
    });
  if (fill === "behind the tip" || fill === "back two thirds") {
    const front = fill === "behind the tip" ? softFront : Math.min(softFront, twoThirds);
    pieces.push({ part: "fill", outline: clipAtX(hole, front, "behind") });
    // The plate lies wholly behind the front of a full fill; only what sticks out counts beside it.
    if (plate !== null)
      pieces.push({ part: "frog plate", outline: clipAtX(plate, front, "ahead") });
    return pieces;
  }
  if (plate !== null) pieces.push({ part: "frog plate", outline: plate });
  else if (fill === "frog")
    pieces.push({
      part: "fill",
      outline: wedgeFrom(Math.min(frogTipX, softFront), inner.heelX, frogHalf),
    });
  return pieces;
};

const momentsOf = (pieces: readonly BearingPiece[]) =>
  pieces.reduce(
    (sum, piece) => {
      const full = polygonMoments(piece.outline);
      const hole = piece.hole === undefined ? { area: 0, x: 0 } : polygonMoments(piece.hole);
      return { area: sum.area + full.area - hole.area, x: sum.x + full.x - hole.x };
    },
    { area: 0, x: 0 },
  );

/**
 * Area that bears, mean pressure at standing load and centre of support, from drawn outlines; and the
 * same foot in a plain shoe for comparison. Estimates: no published areas by shoe type were found.
 */
export const groundBearing = (input: BearingInput): Bearing => {
  const footprint = findShoe(input.shoe, input.own)?.footprint ?? PLAIN;
  const fill = findFill(input.supportFill, input.own)?.covers ?? "none";
  const pieces = bearingPieces(input, footprint, fill, input.breakoverX);
  const plain = momentsOf(bearingPieces(input, PLAIN, "none", input.toeX));
  const moments = momentsOf(pieces);
  const loadN = standingLoadN(input.weightKg, input.limb);
  const areaCm2 = moments.area / 100;
  const plainAreaCm2 = plain.area / 100;
  const pressure = meanPressure(loadN, areaCm2);
  return {
    areaCm2,
    loadN,
    pressureKPa: pressure.kPa,
    pressureNPerCm2: pressure.nPerCm2,
    centreOfSupportXMm: moments.x / moments.area,
    plainAreaCm2,
    areaToPlain: areaCm2 / plainAreaCm2,
    pressureToPlain: plainAreaCm2 / areaCm2,
    pieces,
    estimate: true,
    sources: [TRIM_SOURCES.outline, TRIM_SOURCES.load],
  };
};

/** The shoes and fills that are set beside each other for a decision. */
export const BEARING_COMPARISON = [
  { shoe: "plain", supportFill: "none" },
  { shoe: "heart-bar", supportFill: "none" },
  { shoe: "heart-bar", supportFill: "full" },
  { shoe: "reversed", supportFill: "full" },
  { shoe: "egg-bar", supportFill: "none" },
  { shoe: "wide-web", supportFill: "none" },
  { shoe: "glue-on", supportFill: "back-two-thirds" },
  { shoe: "wooden-clog", supportFill: "none" },
  { shoe: "foam", supportFill: "none" },
] as const;

/** One foot in each of the compared shoes, at the same breakover. Estimates, see {@link groundBearing}. */
export const compareBearing = (
  input: Omit<BearingInput, "shoe" | "supportFill">,
): readonly {
  readonly shoe: string;
  readonly supportFill: string;
  readonly bearing: Bearing;
}[] =>
  BEARING_COMPARISON.map((choice) => ({
    ...choice,
    bearing: groundBearing({ ...input, ...choice }),
  }));
