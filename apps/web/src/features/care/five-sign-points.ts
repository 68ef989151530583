import { FIVE_SIGNS, type FiveSign, type RedFlagSign } from "@heelward/domain/examination";

/**
 * Most points of each sign. The total of 12 is published (Meier et al. 2019, PeerJ 7:e7084); the
 * split is from memory and shown as such until the clinical lead confirms it.
 */
export const MOST_POINTS: Readonly<Record<FiveSign, number>> = {
  "weight shifting": 2,
  "lifting a forefoot": 2,
  walk: 3,
  "turning in a circle": 3,
  "digital pulse": 2,
};

export type SignPoints = Readonly<Partial<Record<FiveSign, number>>>;

/** The total when all five signs were looked at; null otherwise, because a part is not a score. */
export const totalOf = (points: SignPoints): number | null => {
  const given = FIVE_SIGNS.map((sign) => points[sign]);
  return given.some((one) => one === undefined)
    ? null
    : given.reduce<number>((sum, one) => sum + (one ?? 0), 0);
};

/** The warning signs in the order a person looks a horse over. */
export const SIGN_GROUPS: Readonly<
  Record<"standing" | "feet" | "belly" | "medicine", readonly RedFlagSign[]>
> = {
  standing: [
    "cannotGetUp",
    "liesFlatMoreThanUsual",
    "suddenThreeLeggedLameness",
    "allFourFeetSore",
    "cannotLiftEitherFrontFoot",
    "supportLimbSuddenlyRested",
    "painThroughFullRelief",
    "sweating",
  ],
  feet: [
    "ledgeOrDipAtHairline",
    "bulgeOrCrackInSole",
    "bloodOrPusAtHairline",
    "nailPunctureOrLiveTissueSeen",
    "shoeCastOrClogLooseTwistedOrHot",
    "badSmell",
  ],
  belly: [
    "colic",
    "diarrhoea",
    "darkLooseDung",
    "offFood",
    "notDrinking",
    "mouthUlcers",
    "purpleGums",
    "dull",
    "puffyLegs",
  ],
  medicine: ["twoAntiInflammatoriesGiven", "doubledDose", "wrongHorseDosed", "grainBreakIn"],
};
