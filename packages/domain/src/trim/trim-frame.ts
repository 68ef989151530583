import type { Finding } from "../evidence/index.ts";
import { COVERAGE_FACTOR } from "../geometry/settings.ts";
import { heelToRemoveMm, radians } from "./heel.ts";
import { isFounderMoving } from "./judge-wedge.ts";
import { STANDARD_TRIM_VALUES } from "./settings.ts";
import type { TrimValues } from "./settings.ts";
import { findShoe } from "./shoe-catalogue.ts";
import type { TrimProgramme } from "./solve-trim.ts";
import { TRIM_SOURCES } from "./sources.ts";
import type { Range, Reading, TrimInput, TrimLimits, TrimMeasures } from "./trim-types.ts";

/** Lower end of the two-sided 95 % interval of a reading. */
export const lower95 = (reading: Reading): number =>
  reading.value - COVERAGE_FACTOR.value * reading.standardUncertainty;

const middle = (range: Range): number => (range.low + range.high) / 2;

/** The foot and its limits as the planner uses them: wedge taken out, limits only ever stricter. */
export interface TrimFrame {
  readonly values: TrimValues;
  readonly palmarAngleDegrees: number;
  readonly wallAngleDegrees: number;
  readonly baseLengthMm: number;
  /** Share of a heel cut that arrives under the wing. */
  readonly wingShare: number;
  readonly band: Range;
  readonly aimDegrees: number;
  readonly breakoverBand: Range;
  readonly breakoverAimMm: number;
  readonly limits: TrimLimits;
  readonly soleFloorMm: number;
  readonly wallFloorMm: number;
  readonly founderMoving: boolean;
  readonly heelCapMm: number;
  /** Heel that the wing's sole allows over all visits. */
  readonly wingAllowsMm: number;
  /** Heel after which the foot, turned about the tip of P3, would stand under the band. */
  readonly angleAllowsMm: number;
  readonly heelTotalMm: number;
  readonly toeTotalMm: number;
  readonly dressMostMm: number;
  readonly bevelMostMm: number;
  readonly hornMostMm: number;
  readonly setBackMostMm: number;
  /** Ground the bevel takes for each millimetre it runs up. */
  readonly bevelPerHeight: number;
}

const heelToPivotMm = (measures: TrimMeasures): number =>
  measures.baseLengthMm?.value ??
  measures.bearingLengthMm.value - measures.breakoverDistanceMm.value;

const between = (value: number, low: number, high: number): boolean =>
  value >= low && value <= high;

/** Measures that cannot belong to a foot, as blocking findings; the planner refuses to work from them. */
export const checkTrimMeasures = (measures: TrimMeasures): readonly Finding[] => {
  const wedge = measures.wedgeInPlaceDegrees ?? 0;
  const rules: readonly (readonly [boolean, string, keyof TrimMeasures])[] = [
    [
      between(measures.dorsalWallAngleDegrees.value - wedge, 20, 80),
      "The wall angle must lie between 20 and 80 degrees.",
      "dorsalWallAngleDegrees",
    ],
    [
      between(measures.palmarAngleDegrees.value - wedge, -20, 40),
      "The palmar angle must lie between -20 and 40 degrees.",
      "palmarAngleDegrees",
    ],
    [
      heelToPivotMm(measures) >= 15,
      "The heel contact must lie at least 15 mm behind the tip of P3.",
      "bearingLengthMm",
    ],
    [measures.p3SolarLengthMm.value > 0, "P3 must have a length.", "p3SolarLengthMm"],
  ];
  const readings = Object.entries(measures).flatMap(([key, reading]: [string, unknown]) =>
    typeof reading === "object" && reading !== null && "standardUncertainty" in reading
      ? [[key, reading as Reading] as const]
      : [],
  );
  const unusable = readings.filter(
    ([, reading]) => !Number.isFinite(reading.value) || !(reading.standardUncertainty >= 0),
  );
  return [
    ...rules
      .filter(([holds]) => !holds)
      .map(([, detail, key]): Finding => ({
        rule: "trim/measures@1",
        outcome: "block",
        detail,
        source: TRIM_SOURCES.rotationGeometry,
        field: `/measures/${key}`,
      })),
    ...unusable.map(([key]): Finding => ({
      rule: "trim/measures@1",
      outcome: "block",
      detail: "A measure needs a value and an uncertainty of 0 or more.",
      source: TRIM_SOURCES.rotationGeometry,
      field: `/measures/${key}`,
    })),
  ];
};

const resolveLimits = (input: TrimInput): TrimLimits => {
  const values = input.values ?? STANDARD_TRIM_VALUES;
  const sole = values.soleMm;
  const asked = input.limits ?? {};
  return {
    soleAimMm: Math.max(sole.aim, asked.soleAimMm ?? 0),
    soleWarnMm: Math.max(sole.warn, asked.soleWarnMm ?? 0),
    soleBlockMm: Math.max(sole.block, asked.soleBlockMm ?? 0),
    heelPerVisitMm: Math.min(
      values.heelHardMm,
      Math.max(0, asked.heelPerVisitMm ?? values.heelPerVisitMm),
    ),
    wallFloorMm: Math.max(values.wallFloorMm[input.animal], asked.wallFloorMm ?? 0),
    bevelDegrees: Math.min(45, Math.max(30, asked.bevelDegrees ?? values.bevelDegrees)),
    toePerVisitMm: Math.max(0, asked.toePerVisitMm ?? values.toePerVisitMm),
    bevelHeightMm: Math.max(0, asked.bevelHeightMm ?? values.bevelHeightMm),
  };
};

/** Geometry and bounds of one foot. @throws RangeError on measures that cannot belong to a foot. */
export const trimFrame = (input: TrimInput): TrimFrame => {
  const { measures, targets } = input;
  const impossible = checkTrimMeasures(measures)[0];
  if (impossible !== undefined) throw new RangeError(impossible.detail);
  const limits = resolveLimits(input);
  const values = input.values ?? STANDARD_TRIM_VALUES;
  const wedge = measures.wedgeInPlaceDegrees ?? 0;
  const palmarAngleDegrees = measures.palmarAngleDegrees.value - wedge;
  const wallAngleDegrees = measures.dorsalWallAngleDegrees.value - wedge;
  const wall = radians(wallAngleDegrees);
  const bevel = radians(limits.bevelDegrees);
  const baseLengthMm = heelToPivotMm(measures);
  const wingBehindMm = measures.p3SolarLengthMm.value * Math.cos(radians(palmarAngleDegrees));
  const wingShare = Math.min(1, wingBehindMm / baseLengthMm);
  const band =
    targets?.palmarAngleDegrees ??
    (input.animal === "donkey" ? values.donkeyPalmarAngleDegrees : values.palmarAngleDegrees);
  const aimDegrees = middle(band);
  const house = values.breakoverMm;
  const breakoverBand = targets?.breakoverMm ?? { low: house.low, high: house.high };
  const breakoverAimMm = targets?.breakoverMm === undefined ? house.aim : middle(breakoverBand);
  const soleFloorMm = Math.max(limits.soleBlockMm, targets?.soleMinMm ?? 0);
  const wallFloorMm = Math.max(limits.wallFloorMm, measures.hornLamellarProximalMm.value);
  const founderMoving = isFounderMoving(measures.founderChangeMm, measures.founderSemMm);
  const askedHeel = targets?.heelRemoveMaxMm ?? limits.heelPerVisitMm;
  const heelCapMm =
    input.emergency || founderMoving ? 0 : Math.min(values.heelHardMm, Math.max(0, askedHeel));
  const breakover = measures.breakoverDistanceMm;
  const sole = measures.soleDepthTipMm;
  const reach =
    COVERAGE_FACTOR.value *
    Math.hypot(
      Math.cos(bevel) * sole.standardUncertainty,
      Math.sin(bevel) * breakover.standardUncertainty,
    );
  const bevelPerHeight = 1 / Math.tan(bevel) + 1 / Math.tan(wall);
  return {
    values,
    palmarAngleDegrees,
    wallAngleDegrees,
    baseLengthMm,
    wingShare,
    band,
    aimDegrees,
    breakoverBand,
    breakoverAimMm,
    limits,
    soleFloorMm,
    wallFloorMm,
    founderMoving,
    heelCapMm,
    wingAllowsMm: Math.max(0, (lower95(measures.soleDepthWingMm) - soleFloorMm) / wingShare),
    angleAllowsMm: baseLengthMm * Math.tan(radians(Math.max(0, palmarAngleDegrees - band.low))),
    heelTotalMm: heelToRemoveMm(baseLengthMm, palmarAngleDegrees, aimDegrees),
    toeTotalMm: Math.max(0, breakover.value - breakoverAimMm),
    dressMostMm: Math.max(0, lower95(measures.hornLamellarDistalMm) - wallFloorMm) / Math.sin(wall),
    bevelMostMm: limits.bevelHeightMm * bevelPerHeight,
    hornMostMm: Math.max(
      0,
      breakover.value - (soleFloorMm + reach - sole.value * Math.cos(bevel)) / Math.sin(bevel),
    ),
    setBackMostMm: Math.max(
      0,
      input.shoeSetBackMm ?? findShoe(input.shoe, input.own)?.setBackMm ?? 0,
    ),
    bevelPerHeight,
  };
};

/** The programme of one visit, after what earlier visits took. */
export const programmeFor = (
  frame: TrimFrame,
  taken: {
    readonly heelMm: number;
    readonly dressMm: number;
    readonly bevelMm: number;
    readonly setBackMm: number;
  } = { heelMm: 0, dressMm: 0, bevelMm: 0, setBackMm: 0 },
): TrimProgramme => ({
  heelWantedMm: frame.heelTotalMm - taken.heelMm,
  heelMostMm: Math.min(
    frame.heelCapMm,
    frame.wingAllowsMm - taken.heelMm,
    frame.angleAllowsMm - taken.heelMm,
  ),
  toeWantedMm: frame.toeTotalMm - taken.dressMm - taken.bevelMm - taken.setBackMm,
  toeMostMm: frame.limits.toePerVisitMm,
  dressMostMm: frame.dressMostMm - taken.dressMm,
  bevelMostMm: frame.bevelMostMm,
  hornMostMm: frame.hornMostMm - taken.dressMm - taken.bevelMm,
  setBackMostMm: frame.setBackMostMm - taken.setBackMm,
});
