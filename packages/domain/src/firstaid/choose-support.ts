import type { Source } from "../evidence/index.ts";
import type { Foot } from "../examination/index.ts";
import type { AnimalType } from "../horse/index.ts";
import { FIRST_AID_SETTINGS, type FirstAidSettings } from "./settings.ts";
import { FOAM_BLOCK, FOAM_BY_WEIGHT, FROG_SUPPORT, WHICH_FEET } from "./sources.ts";

/** `bed only`: nothing is tied to the feet, the deep bed moulds itself to them. */
export const SUPPORTS = ["foam block", "soft pad", "bed only"] as const;
export type Support = (typeof SUPPORTS)[number];

export type LiftsFeet = "easily" | "with difficulty" | "no" | "not tried";

export interface SupportFacts {
  readonly animalType: AnimalType;
  readonly weightKg?: number;
  readonly obelGrade?: number;
  readonly canLiftFeet: LiftsFeet;
  readonly foamAvailable: boolean;
  readonly padsAvailable: boolean;
  readonly feetAffected: readonly Foot[];
}

export interface SupportChoice {
  readonly support: Support;
  /** Feet to put it under; empty for `bed only`. */
  readonly feet: readonly Foot[];
  readonly because: string;
  readonly source: Source;
  /** Why the other foot of the pair gets it too. */
  readonly feetSource: Source;
}

const OTHER_SIDE: Readonly<Record<Foot, Foot>> = { LF: "RF", RF: "LF", LH: "RH", RH: "LH" };
const FOOT_ORDER: readonly Foot[] = ["LF", "RF", "LH", "RH"];

/** The sore feet and their neighbours: the other foot of the pair carries the load meanwhile. */
export const feetToSupport = (affected: readonly Foot[]): readonly Foot[] => {
  const wanted = new Set(affected.flatMap((foot) => [foot, OTHER_SIDE[foot]]));
  return wanted.size === 0 ? ["LF", "RF"] : FOOT_ORDER.filter((foot) => wanted.has(foot));
};

/**
 * What goes under the back of which feet. Nothing is tied on while lifting a foot hurts (Obel 3-4,
 * or lifted with difficulty). A foam block helps only an animal heavy enough to crush it; a lighter
 * one, or one of unknown weight, gets soft pads and the bed that moulds itself.
 */
export const chooseSupport = (
  facts: SupportFacts,
  settings: FirstAidSettings = FIRST_AID_SETTINGS,
): SupportChoice => {
  const bedOnly = (because: string, source: Source): SupportChoice => ({
    support: "bed only",
    feet: [],
    because,
    source,
    feetSource: WHICH_FEET,
  });
  if (facts.canLiftFeet !== "easily" || (facts.obelGrade ?? 0) >= 3)
    return bedOnly("Lifting a foot hurts or was not tried. Wait for the vet.", FROG_SUPPORT);
  const feet = feetToSupport(facts.feetAffected);
  const heavy =
    facts.animalType === "horse" &&
    facts.weightKg !== undefined &&
    facts.weightKg >= settings.foamFromKg.value;
  if (facts.foamAvailable && heavy)
    return {
      support: "foam block",
      feet,
      because: "This horse is heavy enough to press the foam into the shape of the foot.",
      source: FOAM_BLOCK,
      feetSource: WHICH_FEET,
    };
  const why =
    facts.weightKg === undefined
      ? "The weight is not known, and a light horse does not press foam into shape."
      : heavy
        ? "There is no foam."
        : "A light horse does not press foam into shape: it stays a hard lump.";
  return facts.padsAvailable
    ? {
        support: "soft pad",
        feet,
        because: why,
        source: heavy ? FROG_SUPPORT : FOAM_BY_WEIGHT,
        feetSource: WHICH_FEET,
      }
    : bedOnly(`${why} There are no pads. The deep bed does the work.`, FOAM_BY_WEIGHT);
};
