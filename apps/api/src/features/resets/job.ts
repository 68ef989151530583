import type { Setting } from "@heelward/domain/evidence";

/** What is known of the work at the next reset. */
export interface JobFacts {
  readonly animalType: string;
  /** What the booking says, if anything. */
  readonly job: string | null;
  /** How the horse stands now, in the file's own words. */
  readonly feet: string | null;
  /** The plan to work from, when it has not been carried out yet. */
  readonly plan: {
    readonly feet: readonly { readonly shoe: string; readonly fixing: string }[];
    readonly vetPresent: boolean;
    readonly handler: boolean;
  } | null;
}

const minutes = (key: string, value: number, citation: string): Setting<number> => ({
  key: `reset-job/${key}`,
  value,
  unit: "min",
  source: { id: `house-job-${key}`, citation, status: "common practice" },
  since: "2026-01-01",
  change: "free",
});
/** Starting values; common practice, no source. A practice's own visits say better. */
export const JOB_MINUTES = {
  trim: minutes("trim", 30, "Trim of four feet; common practice, no source"),
  nailed: minutes("nailed", 60, "Trim and nailed shoes in front; common practice, no source"),
  glued: minutes("glued", 90, "Trim and glued shoes with support; common practice, no source"),
  firstFit: minutes(
    "first-fit",
    30,
    "On top, the first time a plan is fitted: reading the film, drilling, fitting; common practice, no source",
  ),
  donkeyOrPony: minutes("small-feet", -10, "Less for a pony or donkey; common practice, no source"),
} as const;
const LEAST_MINUTES = 20;

/** A practice's own values by key; null or absent where it keeps to the standard. */
export type OwnFigures = Readonly<Record<string, number>> | null;

const isGlued = (text: string): boolean => /glue|cast|foam/iu.test(text);
const isNailed = (text: string): boolean => /nail|shoe|bar|clog|screw/iu.test(text);
const isBare = (text: string): boolean => /^(bare|none)\b/iu.test(text.trim());

const fixings = (facts: JobFacts): string =>
  facts.plan === null
    ? (facts.job ?? facts.feet ?? "")
    : facts.plan.feet.map((foot) => `${foot.shoe} ${foot.fixing}`).join(" ");

/** A plan not yet carried out that puts something on the foot. */
export const isComplexFirstFit = ({ plan }: JobFacts): boolean =>
  plan !== null && plan.feet.some((foot) => !isBare(foot.shoe) || !isBare(foot.fixing));

/** How long the visit takes. An estimate for planning; the farrier's own word counts. */
export const estimateMinutes = (facts: JobFacts, own: OwnFigures = null): number => {
  const minutesFor = (job: keyof typeof JOB_MINUTES): number =>
    own?.[JOB_MINUTES[job].key] ?? JOB_MINUTES[job].value;
  const text = fixings(facts);
  const base = isGlued(text)
    ? minutesFor("glued")
    : !isBare(text) && isNailed(text)
      ? minutesFor("nailed")
      : minutesFor("trim");
  const first = isComplexFirstFit(facts) ? minutesFor("firstFit") : 0;
  const small = facts.animalType === "horse" ? 0 : minutesFor("donkeyOrPony");
  return Math.max(LEAST_MINUTES, base + first + small);
};

/** Skills of the rota that this job needs. */
export const skillsNeeded = (facts: JobFacts): readonly string[] => [
  ...(isGlued(fixings(facts)) ? ["glue-on"] : []),
  ...(isComplexFirstFit(facts) ? ["complex first fit"] : []),
];
