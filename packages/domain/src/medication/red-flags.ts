import type { Source } from "../evidence/index.ts";
import { drugOf } from "./formulary/index.ts";
import type { Course } from "./types.ts";

/** A sign the yard looks for once a day while a course runs. */
export interface RedFlagSign {
  readonly id: string;
  readonly text: string;
  readonly level: "red" | "amber";
  /** Drug classes it belongs to; absent for every course. */
  readonly onlyClasses?: readonly string[];
  readonly source: Source;
}

const TOXICITY: Source = {
  id: "label/nsaid-signs",
  citation:
    "UK NSAID data sheets for horses and a clinical text on phenylbutazone toxicity (content of the signs); levels are a house rule",
  status: "label",
};
const MEMORY: Source = {
  id: "memory/temperature",
  citation: "Temperature limits recalled; 38.5 C is 101.3 F",
  status: "from memory",
};
const SGLT2: Source = {
  id: "paper/sglt2-harm",
  citation: "Veterinary Record 2024;195:253, harm reported with SGLT2 inhibitors in horses",
  status: "published",
};
const HOUSE: Source = {
  id: "house/yard-checklist",
  citation: "Yard checklist, house rule",
  status: "house rule",
};

/** Temperature outside which the sign is red, rectal. */
export const TEMPERATURE_LIMITS = { lowC: 37, highC: 38.5, source: MEMORY } as const;

/** The daily checklist. Any red sign stops the drug at once, before anyone is asked. */
export const RED_FLAG_SIGNS: readonly RedFlagSign[] = [
  {
    id: "off-feed",
    text: "Off feed, picks at hard feed, drops feed or drools: lift the lip, look at tongue and gums for sores",
    level: "red",
    source: TOXICITY,
  },
  {
    id: "dull",
    text: "Dull, sleepy, lies more than usual for its foot pain",
    level: "red",
    source: TOXICITY,
  },
  {
    id: "gut",
    text: "Loose dung, diarrhoea, any colic sign, resents a touch on the right of the belly",
    level: "red",
    source: TOXICITY,
  },
  {
    id: "swelling",
    text: "Swelling under the belly, of the sheath or the lower limbs",
    level: "red",
    source: TOXICITY,
  },
  {
    id: "water",
    text: "Drinks or urinates much more or much less; dark, red or no urine; trough empty or frozen",
    level: "red",
    source: TOXICITY,
  },
  {
    id: "temperature",
    text: "Temperature above 38.5 °C (101.3 °F) or below 37.0 °C",
    level: "red",
    source: MEMORY,
  },
  {
    id: "weight",
    text: "More than 2 % of weight lost in a week, dull coat, sour temper",
    level: "amber",
    source: HOUSE,
  },
  {
    id: "vein",
    text: "Swelling over the jugular vein after a dose into it",
    level: "red",
    source: TOXICITY,
  },
  {
    id: "count",
    text: "Sachets or paste left do not match the log",
    level: "amber",
    source: HOUSE,
  },
  {
    id: "sglt2",
    text: "Dull or not finishing forage, or the laboratory reports cloudy serum",
    level: "red",
    onlyClasses: ["SGLT2 inhibitor"],
    source: SGLT2,
  },
];

/** The signs to show for the courses that run. */
export const signsFor = (courses: readonly Pick<Course, "drugKey">[]): readonly RedFlagSign[] => {
  const classes = new Set<string>(
    courses.flatMap((course) => drugOf(course.drugKey)?.classes ?? []),
  );
  return RED_FLAG_SIGNS.filter(
    (sign) => sign.onlyClasses === undefined || sign.onlyClasses.some((name) => classes.has(name)),
  );
};

export interface SignsJudgement {
  readonly level: "none" | "amber" | "red";
  readonly signs: readonly RedFlagSign[];
  /** Open courses to hold at once. */
  readonly holdCourseIds: readonly string[];
  readonly tell: readonly ("vet" | "practice manager")[];
  readonly reason: string;
}

/**
 * What the ticked signs mean now. Red holds every open course whose drug can do this and tells vet
 * and manager; amber tells the vet the same day. A held dopamine agonist is the vet's choice, not
 * the yard's, except when the animal is dull or off feed, which its own label names.
 */
export const judgeSigns = (
  ticked: readonly string[],
  courses: readonly Pick<Course, "id" | "drugKey" | "status">[],
): SignsJudgement => {
  const signs = RED_FLAG_SIGNS.filter((sign) => ticked.includes(sign.id));
  const red = signs.filter((sign) => sign.level === "red");
  const level = red.length > 0 ? "red" : signs.length > 0 ? "amber" : "none";
  const labelOfAgonist = red.some((sign) => sign.id === "off-feed" || sign.id === "dull");
  const held =
    level === "red"
      ? courses.filter((course) => {
          if (course.status !== "signed" && course.status !== "held") return false;
          const agonist = drugOf(course.drugKey)?.classes.includes("dopamine agonist") === true;
          return !agonist || labelOfAgonist;
        })
      : [];
  return {
    level,
    signs,
    holdCourseIds: held.map((course) => course.id),
    tell: level === "red" ? ["vet", "practice manager"] : level === "amber" ? ["vet"] : [],
    reason: signs.map((sign) => sign.text).join("; "),
  };
};
