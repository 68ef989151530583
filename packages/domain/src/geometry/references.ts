import type { Source } from "../evidence/index.ts";
import {
  DONKEY_2011,
  FOUNDER_1999,
  HORN_LAMELLAR,
  PALMAR_ANGLE_BOOK,
  RATIO_415,
  SOLE_DEPTH,
} from "./sources.ts";

export type AnimalKind = "horse" | "pony" | "donkey";

/** The animal a film belongs to, as far as reference values depend on it. */
export interface AnimalType {
  readonly kind: AnimalKind;
  /** Adult light breed: some figures were published for these only. */
  readonly lightBreed?: boolean | undefined;
}

/** A published range. `judges` is false where the figure is shown but may not colour a value. */
export interface ReferenceRange {
  readonly low: number | null;
  readonly high: number | null;
  /** Which animals the figure was published for. */
  readonly applies: string;
  readonly source: Source;
  readonly judges: boolean;
}

interface ReferenceRule {
  readonly measure: string;
  readonly low: number | null;
  readonly high: number | null;
  readonly applies: string;
  readonly source: Source;
  readonly kinds: readonly AnimalKind[];
  readonly lightBreedOnly?: true;
}

/**
 * No cited range was found for the palmar angle, sole depth or wall-to-bone distance of ponies, for
 * the front view, or for hind feet; those measures stay without a verdict.
 */
const RULES: readonly ReferenceRule[] = [
  {
    measure: "palmarAngleFoot",
    low: 2,
    high: 10,
    applies: "horses in general; other published bands are 2–7° and 3–5°",
    source: PALMAR_ANGLE_BOOK,
    kinds: ["horse"],
  },
  ...(["soleDepthTip", "soleDepthWing"] as const).map((measure): ReferenceRule => ({
    measure,
    low: 15,
    high: null,
    applies: "light-boned horses need at least 15 mm; another author calls 10–15 mm ideal",
    source: SOLE_DEPTH,
    kinds: ["horse"],
  })),
  ...(["hornLamellarProximal", "hornLamellarDistal"] as const).map((measure): ReferenceRule => ({
    measure,
    low: null,
    high: 20,
    applies: "adult light-breed horses: usually 17–19 mm, above 20 mm read as swelling",
    source: HORN_LAMELLAR,
    kinds: ["horse"],
    lightBreedOnly: true,
  })),
  {
    measure: "hornLamellarRatio",
    low: 0.19,
    high: 0.31,
    applies: "front feet without known laminitis, mean 0.25 ± 2 SD of 0.03 (42 % exceed 0.25)",
    source: { ...RATIO_415, status: "derived" },
    kinds: ["horse"],
  },
  {
    measure: "founderDistance",
    low: -0.3,
    high: 8.5,
    applies: "25 feet of sound horses, mean about 4.1 ± 2 SD of 2.2 mm; not checked in the paper",
    source: { ...FOUNDER_1999, status: "from memory" },
    kinds: ["horse", "pony"],
  },
  {
    measure: "capsularRotation",
    low: null,
    high: null,
    applies: "sound donkeys about +2°, laminitic donkeys typically 12.5°; no range published",
    source: DONKEY_2011,
    kinds: ["donkey"],
  },
];

/** A figure recalled but not checked is shown, never used to judge. */
const mayJudge = (rule: ReferenceRule, animal: AnimalType): boolean =>
  rule.source.status !== "from memory" &&
  (rule.low !== null || rule.high !== null) &&
  (rule.lightBreedOnly !== true || animal.lightBreed === true);

const tabulate = (animal: AnimalType): ReadonlyMap<string, ReferenceRange> =>
  new Map(
    RULES.filter((rule) => rule.kinds.includes(animal.kind)).map((rule) => [
      rule.measure,
      {
        low: rule.low,
        high: rule.high,
        applies: rule.applies,
        source: rule.source,
        judges: mayJudge(rule, animal),
      },
    ]),
  );

const TABLES: Record<
  AnimalKind,
  readonly [ReadonlyMap<string, ReferenceRange>, ReadonlyMap<string, ReferenceRange>]
> = {
  horse: [tabulate({ kind: "horse" }), tabulate({ kind: "horse", lightBreed: true })],
  pony: [tabulate({ kind: "pony" }), tabulate({ kind: "pony", lightBreed: true })],
  donkey: [tabulate({ kind: "donkey" }), tabulate({ kind: "donkey", lightBreed: true })],
};

/** Published range of a measure for this animal; undefined when none was found or the animal is unknown. */
export const referenceFor = (
  measure: string,
  animal: AnimalType | undefined,
): ReferenceRange | undefined =>
  animal === undefined
    ? undefined
    : TABLES[animal.kind][animal.lightBreed === true ? 1 : 0].get(measure);
