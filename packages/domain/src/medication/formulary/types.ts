import type { Source } from "../../evidence/index.ts";
import type { AnimalType } from "../../horse/index.ts";
import type { LocalDate } from "../../time/index.ts";
import type { Jurisdiction, KnownCondition, Route } from "../types.ts";

/** A number with its unit and where it comes from. */
export interface Figure {
  readonly id: string;
  readonly value: number;
  readonly unit: string;
  readonly source: Source;
}

export type MeasureUnit =
  | "sachet"
  | "paste division"
  | "ml"
  | "g of paste"
  | "tablet"
  | "kg mark"
  | "g of powder"
  | "spoon";

/** What a yard measures a dose with. */
export interface Presentation {
  readonly key: string;
  readonly name: string;
  readonly routes: readonly Route[];
  readonly jurisdictions: readonly Jurisdiction[];
  readonly unit: MeasureUnit;
  /** Active substance in one unit. */
  readonly mgPerUnit: number;
  /** Smallest amount that can be measured, in units. */
  readonly smallestStep: number;
  /** Smallest step when the label or the vet allows splitting. */
  readonly splitStep?: number | undefined;
  /** Rounding is down unless the label itself says otherwise. */
  readonly rounding: "down" | "up" | "nearest";
  /** Whole pack, in units, for the amount dispensed. */
  readonly unitsPerPack?: number | undefined;
  /** Weight range the label allows; outside is refused. */
  readonly weightRangeKg?: readonly [number, number] | undefined;
  readonly source: Source;
}

/** A hard limit on a window. */
export interface Ceiling {
  readonly id: string;
  readonly jurisdictions: readonly Jurisdiction[];
  readonly windowHours: 24 | 48;
  readonly mgPerKg?: number | undefined;
  readonly absoluteMg?: number | undefined;
  /** Course days on which a window must open for this limit to hold. */
  readonly fromDay: number;
  readonly toDay: number;
  readonly types?: readonly AnimalType[] | undefined;
  readonly minAgeYears?: number | undefined;
  readonly routes?: readonly Route[] | undefined;
  /** Only these presentations; a dose of unknown presentation falls under the limits without this list. */
  readonly presentationKeys?: readonly string[] | undefined;
  readonly exceptPresentationKeys?: readonly string[] | undefined;
  /** The label doses by syringe mark: the weight is raised to the next mark before the test. */
  readonly weightMarkKg?: number | undefined;
  readonly source: Source;
}

/** The label's own plan, per administration. */
export interface LabelPhase {
  readonly id: string;
  readonly jurisdictions: readonly Jurisdiction[];
  readonly presentationKeys: readonly string[];
  readonly types: readonly AnimalType[];
  readonly name: "load" | "step" | "maintain" | "all" | "start";
  readonly fromDay: number;
  readonly toDay: number;
  readonly mgPerKg: number;
  readonly timesPerDay: number;
  readonly everyDays: readonly number[];
  /** The label's worked example: units of the presentation for an animal of this weight. */
  readonly anchor?: { readonly weightKg: number; readonly units: number } | undefined;
  readonly source: Source;
}

/** A dose table by weight printed on a label. */
export interface DoseBand {
  readonly jurisdictions: readonly Jurisdiction[];
  readonly presentationKey: string;
  readonly fromKg: number;
  readonly toKg: number;
  readonly units: number;
  readonly source: Source;
}

export interface AgeGate {
  readonly underDays: number;
  readonly outcome: "block" | "warn";
  readonly presentationKeys?: readonly string[] | undefined;
  readonly source: Source;
}

export interface MonitoringRule {
  readonly tests: readonly string[];
  readonly onDays: readonly number[];
  /** After the last listed day. */
  readonly thenEveryDays?: number | undefined;
  readonly source: Source;
}

export type DrugClass =
  | "NSAID"
  | "analgesic"
  | "hospital analgesic"
  | "gastroprotectant"
  | "dopamine agonist"
  | "dopamine antagonist"
  | "SGLT2 inhibitor"
  | "insulin sensitiser"
  | "thyroid hormone"
  | "vasoactive"
  | "sedative";

export interface Drug {
  readonly key: string;
  readonly name: string;
  readonly classes: readonly DrugClass[];
  /** Active substance that limits are counted in. */
  readonly moiety: string;
  /** Milligrams of the moiety per milligram of this drug. */
  readonly moietyFactor: number;
  readonly moietySource?: Source | undefined;
  /** Jurisdictions with a licence for horses; elsewhere it is off-label. */
  readonly licensedIn: readonly Jurisdiction[];
  readonly hospitalOnly: boolean;
  readonly presentations: readonly Presentation[];
  readonly ceilings: readonly Ceiling[];
  /** Soft limits in mg/kg of any 24 h that need the vet's written reason. */
  readonly softCeilings: readonly {
    readonly id: string;
    readonly mgPerKg: number;
    readonly why: string;
    readonly source: Source;
  }[];
  readonly phases: readonly LabelPhase[];
  readonly bands: readonly DoseBand[];
  readonly courseCaps: readonly {
    readonly id: string;
    readonly jurisdictions: readonly Jurisdiction[];
    readonly treatmentDays: number;
    readonly routes?: readonly Route[] | undefined;
    readonly source: Source;
  }[];
  readonly ageGates: readonly AgeGate[];
  readonly pregnancy: "block" | "warn" | "none";
  readonly lactation: "block" | "warn" | "none";
  readonly reproductionSource?: Source | undefined;
  /** `vet must set the schedule`: horse intervals do not fit donkeys and mules. */
  readonly donkey: "vet must set the schedule" | "as horses";
  readonly minWeightKg?: { readonly kg: number; readonly source: Source } | undefined;
  readonly blockedConditions: readonly KnownCondition[];
  readonly cautionConditions: readonly KnownCondition[];
  readonly conditionSource: Source;
  readonly notWithSteroid: boolean;
  readonly notWithNephrotoxic: boolean;
  /** `never`: an animal that gets it may never be eaten. Days: meat withdrawal. */
  readonly foodChain: {
    readonly rule: "never" | "excluded or cascade" | "withdrawal";
    readonly withdrawalDays?: number | undefined;
    readonly source: Source;
  };
  /** Earliest review by signature, then the interval. */
  readonly review: {
    readonly firstDay?: number | undefined;
    readonly thenEveryDays: number;
    readonly agedFromYears?: number | undefined;
    readonly agedEveryDays?: number | undefined;
    readonly source: Source;
  };
  readonly switchNotice?:
    | { readonly hours: number; readonly why: string; readonly source: Source }
    | undefined;
  readonly monitoring: readonly MonitoringRule[];
  /** Plain sentences for the person who gives or signs. */
  readonly cautions: readonly string[];
  /** Sentences for the people who handle it. */
  readonly handling: readonly string[];
  readonly figures: readonly Figure[];
  readonly version: string;
  readonly reviewOn: LocalDate;
}
