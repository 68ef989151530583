import type { Finding } from "../../evidence/index.ts";
import { found } from "../finding.ts";
import { LABEL, PAPER, RULE } from "../formulary/sources.ts";
import type { CourseFacts } from "./facts.ts";

/** Weights and heights at which the vet is asked whether the animal is a pony. Source: house rule. */
const ASK_PONY = { belowKg: 300, upToCm: 148 } as const;

const ageFindings = ({ drug, presentation, age, context }: CourseFacts): readonly Finding[] => {
  if (age === undefined)
    return drug.ageGates.length === 0
      ? []
      : [
          found(
            "age-unknown",
            "note",
            "No date of birth on file; age limits were not checked.",
            RULE.review,
          ),
        ];
  const gate = drug.ageGates
    .filter(
      (entry) =>
        age.days < entry.underDays &&
        (entry.presentationKeys === undefined || entry.presentationKeys.includes(presentation.key)),
    )
    .toSorted((a) => (a.outcome === "block" ? -1 : 1))[0];
  const findings: Finding[] = [];
  if (gate !== undefined)
    findings.push(
      found(
        "age",
        gate.outcome,
        `${String(age.days)} days old; the label sets a line at ${String(gate.underDays)} days.`,
        gate.source,
      ),
    );
  const aged = drug.review.agedFromYears;
  if (aged !== undefined && age.years >= aged)
    findings.push(
      found(
        "aged",
        "note",
        `${String(age.years)} years old: reduced dose, review every ${String(drug.review.agedEveryDays ?? 7)} days${
          drug.moiety === "phenylbutazone" && age.years >= 20 && context.animal.type !== "pony"
            ? ", no loading"
            : ""
        }.`,
        PAPER.lees1985,
      ),
    );
  return findings;
};

const breedingFindings = ({ drug, context }: CourseFacts): readonly Finding[] =>
  (["pregnancy", "lactation"] as const).flatMap((state) => {
    const present = state === "pregnancy" ? context.animal.pregnant : context.animal.lactating;
    const outcome = drug[state];
    if (present !== true || outcome === "none") return [];
    return [
      found(
        state,
        outcome,
        outcome === "block"
          ? `Not to be given in ${state}.`
          : `In ${state} the vet weighs it up and writes the reason.`,
        drug.reproductionSource ?? drug.conditionSource,
      ),
    ];
  });

const conditionFindings = ({ drug, context }: CourseFacts): readonly Finding[] => {
  const has = new Set(context.animal.conditions);
  const blocked = drug.blockedConditions.filter((condition) => has.has(condition));
  const cautioned = drug.cautionConditions.filter((condition) => has.has(condition));
  return [
    ...blocked.map((condition) =>
      found(
        "condition",
        "block",
        `Not with ${condition}. Water must be free; the vet is called.`,
        ["dehydrated", "not drinking"].includes(condition)
          ? LABEL.nsaidWater
          : drug.conditionSource,
      ),
    ),
    ...cautioned.map((condition) =>
      found(
        "condition-caution",
        "warn",
        `With ${condition} the vet writes why the benefit is worth it.`,
        drug.conditionSource,
      ),
    ),
  ];
};

/** The animal: age, breeding, kind, weight floor, illness. */
export const animalFindings = (facts: CourseFacts): readonly Finding[] => {
  const { drug, context, plan, request } = facts;
  const { animal } = context;
  const findings: Finding[] = [];
  if (animal.type === "donkey" && drug.donkey === "vet must set the schedule")
    findings.push(
      request.vetSetsSchedule === true
        ? found(
            "donkey",
            "warn",
            "Donkeys and mules clear this faster: the vet's own interval is used and the reason written.",
            PAPER.mealey1997,
          )
        : found(
            "donkey",
            "block",
            "The horse schedule does not fit donkeys and mules; the vet must set the dose and the interval.",
            PAPER.mealey1997,
            "/steps",
          ),
    );
  const weightKg = plan.weight?.weightKg;
  if (
    animal.type === "horse" &&
    drug.moiety === "phenylbutazone" &&
    ((weightKg !== undefined && weightKg < ASK_PONY.belowKg) ||
      (animal.heightCm !== undefined && animal.heightCm <= ASK_PONY.upToCm))
  )
    findings.push(
      found(
        "ask-pony",
        "note",
        "Under 300 kg or up to 148 cm and tagged as a horse: should the pony schedule hold?",
        RULE.pbzPony,
      ),
    );
  if (drug.minWeightKg !== undefined && weightKg !== undefined && weightKg < drug.minWeightKg.kg)
    findings.push(
      found(
        "minimum-weight",
        "block",
        `Not under ${String(drug.minWeightKg.kg)} kg; this animal is ${weightKg.toFixed(0)} kg.`,
        drug.minWeightKg.source,
      ),
    );
  return [
    ...findings,
    ...ageFindings(facts),
    ...breedingFindings(facts),
    ...conditionFindings(facts),
  ];
};
