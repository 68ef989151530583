import type { Source } from "../evidence/index.ts";
import type { AnimalKind } from "./references.ts";
import { inWords, type MeasureKey, type Reading } from "./film.ts";
import {
  CARE_BOOK,
  DONKEY_2011,
  FOUNDER_1999,
  HORN_LAMELLAR,
  HUNT_1993,
  PALMAR_ANGLE_BOOK,
  PROGNOSIS_1999,
  RATIO_415,
  SOLE_DEPTH,
  STICK_1982,
} from "./sources.ts";

/** What a published work says about a measure. Shown beside the value; never a verdict. */
export interface LiteratureStatement {
  readonly measure: MeasureKey;
  readonly value: number;
  readonly statement: string;
  readonly caution: string;
  readonly source: Source;
}

interface Rule {
  readonly measure: MeasureKey;
  /** Says nothing for values the work does not speak of. */
  readonly say: (value: number) => string | undefined;
  readonly caution: string;
  readonly source: Source;
  /** Horses and ponies when left out. */
  readonly kinds?: readonly AnimalKind[];
}

/** Mean and SD of the wall-to-bone ratio in 415 front feet without known laminitis. */
const RATIO_MEAN = 0.25;
const RATIO_SD = 0.03;
/** Standard deviations from that mean. */
export const hornLamellarRatioZ = (ratio: number): number => (ratio - RATIO_MEAN) / RATIO_SD;

const CLINICAL_FIRST =
  "Groups, not this animal. In the same literature the clinical picture told more than any film; a vet weighs it.";

const RULES: readonly Rule[] = [
  {
    measure: "founderDistance",
    say: (mm) =>
      mm > 15
        ? `${inWords(mm, "mm")}: a textbook gives a poor outlook above 15 mm`
        : `${inWords(mm, "mm")}: a textbook gives a poor outlook above 15 mm; this reading is not above it`,
    caution: CLINICAL_FIRST,
    source: CARE_BOOK,
  },
  {
    measure: "founderDistance",
    say: () =>
      "in 216 cases founder distance was the best film measure for the outcome in acute founder, after the clinical group",
    caution: CLINICAL_FIRST,
    source: PROGNOSIS_1999,
  },
  {
    measure: "founderDistance",
    say: () =>
      "in 25 feet of sound horses about 4 mm, SD about 2 mm; differs between breeds (figures recalled, not checked)",
    caution:
      "Unverified until somebody has read the table. Other schools measure from the hairline and get 12–15 mm.",
    source: { ...FOUNDER_1999, status: "from memory" },
  },
  {
    measure: "capsularRotation",
    say: () => "in 91 cases more rotation went with less return to performance",
    caution: "A later study of 202 cases found no such relation.",
    source: STICK_1982,
  },
  {
    measure: "capsularRotation",
    say: () =>
      "in 202 cases rotation did not tell the outcome (R² 0.004); distal displacement told a little (0.139), the clinical grade most (0.504)",
    caution: CLINICAL_FIRST,
    source: HUNT_1993,
  },
  {
    measure: "capsularRotation",
    say: (degrees) => {
      if (degrees < 5.5)
        return "under 5.5°: the group that returned to athletic work (figures recalled, not checked)";
      if (degrees > 11.5)
        return "over 11.5°: the group lost for performance (figures recalled, not checked)";
      return "5.5–11.5°: the uncertain group (figures recalled, not checked)";
    },
    caution: "Unverified cut-offs, contradicted by a later study.",
    source: { ...STICK_1982, id: "stick-1982-cutoffs", status: "from memory" },
  },
  {
    measure: "soleDepthTip",
    say: (mm) =>
      mm < 15
        ? `${inWords(mm, "mm")}: on venograms the papillae of the sole were bent or absent below 15 mm`
        : undefined,
    caution: "A practitioner's series; another author calls 10–15 mm ideal.",
    source: SOLE_DEPTH,
  },
  {
    measure: "hornLamellarProximal",
    say: (mm) =>
      mm > 20 ? `${inWords(mm, "mm")}: above 20 mm one author reads serious swelling` : undefined,
    caution: "Published for adult light breeds only.",
    source: HORN_LAMELLAR,
  },
  {
    measure: "hornLamellarRatio",
    say: (ratio) =>
      `${inWords(ratio, "ratio")}: ${hornLamellarRatioZ(ratio).toFixed(1)} SD from the mean of 415 front feet without known laminitis`,
    caution: "42 % of those feet exceeded 0.25, so the ratio alone is a poor alarm.",
    source: RATIO_415,
  },
  {
    measure: "palmarAngleFoot",
    say: (degrees) =>
      degrees >= 5 && degrees <= 9
        ? "5–9° lies inside one published band for sound horses and inside another author's mildest laminitis class"
        : undefined,
    caution: "The palmar angle alone does not tell sound from laminitic.",
    source: PALMAR_ANGLE_BOOK,
  },
  {
    measure: "capsularRotation",
    say: () =>
      "in 83 sound donkeys about 2° between wall and bone; laminitic donkeys typically 12.5°",
    caution:
      "Figures as reported in a trade journal. Differences of about 2° should not be read alone.",
    source: DONKEY_2011,
    kinds: ["donkey"],
  },
  {
    measure: "palmarAngleFoot",
    say: () => "in 83 sound donkeys about 8°, in 74 laminitic donkeys about 11°",
    caution: "Figures as reported in a trade journal. Horse bands do not carry over to donkeys.",
    source: DONKEY_2011,
    kinds: ["donkey"],
  },
];

const HORSES: readonly AnimalKind[] = ["horse", "pony"];

/**
 * Statements from the literature about the measures of a film, with citation and caution. Evidence for
 * a vet to weigh: no survival figure for a single animal is ever given. Work on horses and ponies is
 * not quoted for donkeys.
 */
export const literatureStatements = (
  measures: readonly Reading[],
  kind: AnimalKind,
): readonly LiteratureStatement[] =>
  RULES.flatMap((rule) => {
    if (!(rule.kinds ?? HORSES).includes(kind)) return [];
    const value = measures.find((reading) => reading.key === rule.measure)?.value;
    if (value === undefined || value === null) return [];
    const statement = rule.say(value);
    return statement === undefined
      ? []
      : [{ measure: rule.measure, value, statement, caution: rule.caution, source: rule.source }];
  });
