import type { AnimalType } from "../horse/index.ts";
import type { InstantMs, LocalDate, ZoneId } from "../time/index.ts";

/** Which country's labels and laws are applied. `general` is for figures that belong to none. */
export type Jurisdiction = "UK" | "EU" | "US" | "general";

/** How a dose goes in. */
export type Route = "oral" | "intravenous" | "intramuscular" | "patch" | "topical";

export type WeightMethod = "scale" | "tape" | "formula" | "estimate";

/** One weighing. `lowKg` and `highKg` are kept when the person or the device states its own range. */
export interface WeightReading {
  readonly weightKg: number;
  readonly lowKg?: number | undefined;
  readonly highKg?: number | undefined;
  readonly method: WeightMethod;
  readonly takenAtMs: InstantMs;
}

/** Whether the animal may ever be eaten, as its passport says. Not seen counts as "may be eaten". */
export type FoodChainStatus = "excluded" | "not excluded" | "passport not seen";

/** A medicine given outside the formulary's courses that other rules look at. */
export interface OtherMedicine {
  readonly name: string;
  readonly class: "corticosteroid" | "nephrotoxic" | "anticoagulant" | "sedative" | "other";
  readonly givenAtMs: InstantMs;
}

/**
 * Conditions the rules know. Free text is allowed beside them and simply matches no rule.
 * A rule matches on the exact words.
 */
export const KNOWN_CONDITIONS = [
  "renal disease",
  "hepatic disease",
  "cardiac disease",
  "gastric ulcers",
  "colitis",
  "bleeding disorder",
  "blood dyscrasia",
  "epilepsy",
  "shock",
  "dehydrated",
  "not drinking",
  "diarrhoea",
  "colic",
  "off feed",
  "hyperlipaemia",
  "insulin dysregulation",
  "previous laminitis",
  "PPID",
  "breeding animal",
] as const;
export type KnownCondition = (typeof KNOWN_CONDITIONS)[number];

export interface Animal {
  /** The vet's tag; never worked out from height. */
  readonly type: AnimalType;
  readonly bornOn?: LocalDate | undefined;
  readonly heightCm?: number | undefined;
  readonly pregnant?: boolean | undefined;
  readonly lactating?: boolean | undefined;
  readonly conditions: readonly string[];
  readonly foodChain: FoodChainStatus;
  readonly medicinesGiven?: readonly OtherMedicine[] | undefined;
}

/** A stretch of equal dosing. Days count from 1 = `startOn`. */
export interface CourseStep {
  readonly fromDay: number;
  readonly toDay: number;
  readonly doseMg: number;
  /** Wall-clock times at the yard, `HH:MM`. */
  readonly timesLocal: readonly string[];
  /** 1 = every day, 2 = every second day counted from `fromDay`. */
  readonly everyDays: number;
}

/** A vet's signed change of the clock: one dose and all after it come later by the same time. */
export interface CourseShift {
  /** When the first dose that moves was planned until then. */
  readonly fromMs: InstantMs;
  readonly byMinutes: number;
}

export type CourseStatus = "draft" | "signed" | "held" | "stopped" | "finished" | "superseded";

export interface Course {
  readonly id: string;
  readonly drugKey: string;
  readonly presentationKey: string;
  readonly route: Route;
  readonly steps: readonly CourseStep[];
  readonly startOn: LocalDate;
  readonly zone: ZoneId;
  /** In the order they were signed. */
  readonly shifts?: readonly CourseShift[] | undefined;
  readonly status: CourseStatus;
  readonly weightKgUsed: number;
  readonly signedAtMs?: InstantMs | undefined;
  /** Later signatures by which a vet reviewed and continued the course. */
  readonly reviewedAtMs?: readonly InstantMs[] | undefined;
  /** Day number that day 1 stands for when treatment began elsewhere, such as a hospital. */
  readonly continuesFromDay?: number | undefined;
  /** The vet confirms a fresh start although the last one ended less than 14 days ago. */
  readonly restartsSeries?: boolean | undefined;
}

/** `spat out` counts in full towards every limit: nobody knows how much went down. */
export type DoseOutcome = "given" | "refused" | "spat out" | "not given";

export interface DoseEvent {
  readonly id: string;
  readonly courseId?: string | undefined;
  readonly drugKey: string;
  readonly presentationKey?: string | undefined;
  readonly route: Route;
  readonly doseMg: number;
  readonly givenAtMs: InstantMs;
  readonly outcome: DoseOutcome;
  readonly givenBy: string;
  readonly givenByRole?: string | undefined;
  readonly scheduledAtMs?: InstantMs | undefined;
  readonly reason?: string | undefined;
}

/** A stop on one course, or on every course of the animal when `courseId` is absent. */
export interface Hold {
  readonly id: string;
  readonly courseId?: string | undefined;
  readonly why: "red flag" | "weight" | "result" | "vet" | "review" | "condition";
  readonly reason: string;
  readonly fromMs: InstantMs;
  /** Only a vet releases. */
  readonly releasedAtMs?: InstantMs | undefined;
}

/** A vet's written reason against one rule that warned. */
export interface Override {
  /** `area/statement` or `area/statement@version`. */
  readonly rule: string;
  readonly reason: string;
}

/** A laboratory value the rules look for before a drug may start. */
export interface KnownResult {
  readonly test: string;
  readonly value: number;
  readonly unit: string;
  readonly takenAtMs: InstantMs;
}

/** A practice's own stricter limit. A looser one is ignored and reported. */
export interface TightenedCeiling {
  readonly ceilingId: string;
  readonly mgPerKg?: number | undefined;
  readonly absoluteMg?: number | undefined;
}

export interface MedicationSettings {
  readonly ceilings?: readonly TightenedCeiling[] | undefined;
  /** At most 30. */
  readonly weightMaxAgeDays?: number | undefined;
  /** At most 14. */
  readonly resignEveryDays?: number | undefined;
  /** Changes of weight, in percent, that ask for a look and that hold courses; the standard where left out. */
  readonly weightChange?:
    | {
        readonly promptPercent?: number | undefined;
        readonly holdPercent?: number | undefined;
      }
    | undefined;
  /** Figures from memory that a vet of the practice checked against the data sheet in force. */
  readonly confirmedFigures?: readonly string[] | undefined;
}

/** Everything the rules may look at. The clock is `atMs`. */
export interface MedicationContext {
  readonly animal: Animal;
  readonly weights: readonly WeightReading[];
  readonly courses: readonly Course[];
  readonly doses: readonly DoseEvent[];
  readonly holds: readonly Hold[];
  readonly atMs: InstantMs;
  readonly zone: ZoneId;
  readonly jurisdiction: Jurisdiction;
  readonly settings?: MedicationSettings | undefined;
  readonly overrides?: readonly Override[] | undefined;
  readonly results?: readonly KnownResult[] | undefined;
  /** Where the course will be given. A hospital-only drug is refused at a yard. */
  readonly place?: "yard" | "hospital" | undefined;
}
