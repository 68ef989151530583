import type { Finding, Source } from "../evidence/index.ts";
import type { AnimalType } from "../horse/animal-type.ts";
import type { BreakoverForecastInput } from "../growth/index.ts";
import type { Bearing } from "./ground-bearing.ts";
import type { LeverChange } from "./lever-arm.ts";
import type { TrimValues } from "./settings.ts";
import type { OwnCatalogue } from "./shoe-catalogue.ts";

export const FEET = ["LF", "RF", "LH", "RH"] as const;
export type Foot = (typeof FEET)[number];

/** A measured value with its standard uncertainty (one SD), same unit. */
export interface Reading {
  readonly value: number;
  readonly standardUncertainty: number;
}

export interface Range {
  readonly low: number;
  readonly high: number;
}

/**
 * What the film says. Frame: x forward from the tip of P3, y up from the ground, mm. Angles are to the
 * ground as the foot stood; the wedge in place is taken out before anything is planned.
 */
export interface TrimMeasures {
  readonly palmarAngleDegrees: Reading;
  readonly dorsalWallAngleDegrees: Reading;
  readonly dorsalP3AngleDegrees: Reading;
  readonly soleDepthTipMm: Reading;
  readonly soleDepthWingMm: Reading;
  readonly hornLamellarProximalMm: Reading;
  readonly hornLamellarDistalMm: Reading;
  /** Breakover in front of the tip of P3; positive forward. */
  readonly breakoverDistanceMm: Reading;
  /** Heel contact to breakover along the ground. */
  readonly bearingLengthMm: Reading;
  /** Tip to wing of P3. */
  readonly p3SolarLengthMm: Reading;
  /** How far the tip of the frog lies behind the tip of P3; positive behind. */
  readonly frogTipToP3TipMm?: Reading;
  /** Heel contact to the pivot of the trim (the tip of P3); else bearing length less breakover. */
  readonly baseLengthMm?: Reading;
  readonly heelHeightMm?: Reading;
  /** Centre of rotation of the coffin joint from the tip of P3: x forward (negative), height above ground. */
  readonly centreOfRotation?: { readonly xMm: number; readonly heightMm: number };
  readonly founderDistanceMm?: Reading;
  /** Change of the founder distance since the film before; positive = bone lower. */
  readonly founderChangeMm?: number;
  /** Error of one founder reading from the practice's own repeat-reading study; else the starting value. */
  readonly founderSemMm?: number;
  readonly toeLengthMm?: Reading;
  /** Widest part of the foot, for the outline from below. */
  readonly footWidthMm?: Reading;
  /** Wedge under the heels when the film was taken. */
  readonly wedgeInPlaceDegrees?: number;
}

/** What the vet wants, where it differs from the house values. */
export interface TrimTargets {
  readonly palmarAngleDegrees?: Range;
  readonly breakoverMm?: Range;
  /** Sole to keep under tip and wing; may only raise the floor. */
  readonly soleMinMm?: number;
  /** Heel to take in one visit at most; never over the hard limit. */
  readonly heelRemoveMaxMm?: number;
}

export interface TrimLimits {
  readonly soleBlockMm: number;
  readonly soleWarnMm: number;
  readonly soleAimMm: number;
  readonly heelPerVisitMm: number;
  readonly wallFloorMm: number;
  readonly bevelDegrees: number;
  readonly bevelHeightMm: number;
  readonly toePerVisitMm: number;
}

export interface TrimInput {
  readonly foot: Foot;
  readonly measures: TrimMeasures;
  readonly phase: "acute" | "subacute" | "chronic active" | "maintenance" | "closed";
  readonly animal: AnimalType;
  readonly weightKg: number;
  /** First aid: the feet are not yet measured and agreed. */
  readonly emergency: boolean;
  readonly targets?: TrimTargets;
  readonly limits?: Partial<TrimLimits>;
  /** The practice's figures on the day; else the standard ones. */
  readonly values?: TrimValues;
  /** Ids from the catalogue, or a practice's own. */
  readonly shoe: string;
  readonly supportFill: string;
  readonly fixing: string;
  /** The practice's own shoes and fills. */
  readonly own?: OwnCatalogue;
  /** How far behind the horn's toe this shoe can carry breakover, mm; else the catalogue's. */
  readonly shoeSetBackMm?: number;
  readonly intervalDays: number;
  /** Longest cycle allowed for the phase. */
  readonly ceilingDays: number;
  /** Growth and the signed limit; without them no date is worked out from growth. */
  readonly growth?: Omit<BreakoverForecastInput, "breakoverAfterMm" | "wallAngleDegrees"> & {
    readonly limitMm: number;
  };
}

export interface Constraint {
  readonly id: string;
  /** The proposal respects it, or reaches the target it states. */
  readonly met: boolean;
  /** It stopped the trim from going further. */
  readonly binding: boolean;
  readonly detail: string;
  readonly source: Source;
}

export interface TrimStage {
  readonly visit: number;
  readonly heelRemoveMm: number;
  readonly toeBackMm: number;
  readonly palmarAngleDegrees: number;
  readonly breakoverFromP3TipMm: number;
}

/** A figure that remains, with the lower bound the floor was tested against. */
export interface Remaining {
  readonly valueMm: number;
  readonly low95Mm: number;
  readonly floorMm: number;
}

/** Targets for one foot, as signed and carried out. */
export interface FootPlan {
  readonly foot: Foot;
  readonly toeBackMm: number;
  readonly breakoverFromP3TipMm: number;
  readonly breakoverFromFrogTipMm?: number;
  readonly heelRemoveMm: number;
  readonly palmarAngleTargetDegrees: Range;
  readonly soleMinMm: number;
  readonly wedgeDegrees: number;
  readonly wedgeReason?: string;
  readonly shoe: string;
  readonly supportFill: string;
  readonly fixing: string;
  readonly doNots: readonly string[];
}

export interface TrimProposal {
  readonly foot: Foot;
  readonly trim: {
    /** This visit. */
    readonly heelRemoveMm: number;
    /** Base × (tan now − tan wanted): all visits together. */
    readonly heelTotalMm: number;
    /** Toe at ground level, this visit. */
    readonly toeBackMm: number;
    readonly toeBackTotalMm: number;
    /** Of it: thickness dressed off the lower dorsal wall, square to the wall. */
    readonly wallDressingMm: number;
    /** Of it: ground the bevel takes. */
    readonly bevelBackMm: number;
    /** Of it: set-back of the shoe. */
    readonly shoeSetBackMm: number;
    /** Wall shortened by the bevel, measured along the wall. */
    readonly toeAlongWallMm: number;
  };
  readonly after: {
    readonly palmarAngleDegrees: number;
    /** The same by turning the foot about the tip of P3; within reading error of the other. */
    readonly palmarAngleByRotationDegrees: number;
    readonly breakoverFromP3TipMm: number;
    readonly breakoverFromFrogTipMm?: number;
    readonly soleTipMm: Remaining;
    readonly soleWingMm: Remaining;
    readonly wallDistalMm: Remaining;
    readonly tipToBevelMm: number;
    readonly heelHeightMm?: number;
  };
  readonly visitsNeeded: number;
  readonly stages: readonly TrimStage[];
  readonly wedge: { readonly degrees: 0; readonly detail: string };
  readonly placement: {
    readonly shoeFrontFromP3TipMm: number;
    readonly heelPastButtressMm: number;
    /** Tip of the frog plate from the tip of P3 (negative: behind); absent when it cannot be worked out. */
    readonly frogPlateTipFromP3TipMm?: number;
    readonly fillFrontFromP3TipMm: number;
    readonly notes: readonly string[];
  };
  readonly lever?: LeverChange;
  readonly bearing: Bearing;
  readonly reset: {
    readonly days: number;
    readonly bound: "interval" | "limit" | "ceiling";
    readonly detail: string;
  };
  readonly constraints: readonly Constraint[];
  readonly findings: readonly Finding[];
  readonly targetsMet: boolean;
  /** The same figures, rounded down to what can be cut, for the prescription. */
  readonly plan: FootPlan;
}
