import type { issueWrittenPrescription } from "@heelward/contracts";
import {
  drugOf,
  laterOnClock,
  measureText,
  presentationOf,
  PRESCRIPTION_FIELDS,
  type CoursePlan,
  type PrescriptionField,
  type PrescriptionKind,
} from "@heelward/domain/medication";
import { dayText } from "@heelward/domain/time";
import type { z } from "zod";
import { identityText, foodChainText } from "./print/medicine-record.ts";
import { numberInWords } from "./print/number-in-words.ts";
import type { IdentityRow } from "./record-store.ts";
import type { CourseRow } from "./store.ts";
import { drugName, measureOf } from "./views.ts";

export type PrescriptionInput = z.output<NonNullable<typeof issueWrittenPrescription.body>>;
export type Filled = Readonly<Partial<Record<PrescriptionField, string>>>;

/** Everything a written prescription is made from. */
export interface Papers {
  readonly input: PrescriptionInput;
  readonly course: CourseRow;
  readonly plan: CoursePlan;
  readonly identity: IdentityRow;
  readonly prescriber: { readonly name: string; readonly registration: string | null };
  readonly practicePhone: string | null;
  /** Name and postal address, as a letter would carry them; null where none is on file. */
  readonly practiceAddress: string | null;
  /** What this vet, and this keeper, wrote the last time. */
  readonly lastByVet: Filled;
  readonly lastOfHorse: Filled;
  readonly issuedOn: string;
  readonly signedWith: string;
}

const SPECIES = { horse: "horse", pony: "horse (pony)", donkey: "donkey" } as const;

/** Times of a day and days of a step, such as `08:00 and 20:00, days 1 to 5, every 2nd day`. */
const whenText = (step: CourseRow["steps"][number], laterMinutes: number): string =>
  [
    `at ${step.timesLocal.map((time) => laterOnClock(time, laterMinutes)).join(" and ")}`,
    step.fromDay === step.toDay ? `day ${step.fromDay}` : `days ${step.fromDay} to ${step.toDay}`,
    ...(step.everyDays === 1 ? [] : [`every ${step.everyDays} days`]),
  ].join(", ");

const dosageText = (course: CourseRow): string =>
  course.steps
    .map(
      (step) =>
        `${measureOf(course.drugKey, course.presentationKey, step.doseMg)} (${step.doseMg} mg) ${whenText(
          step,
          course.shifts.reduce((sum, { byMinutes }) => sum + byMinutes, 0),
        )}`,
    )
    .join("; then ");

const frequencyText = (course: CourseRow): string =>
  course.steps
    .map(
      (step) =>
        `${step.timesLocal.length} a day${step.everyDays === 1 ? "" : `, every ${step.everyDays} days`}`,
    )
    .join("; then ");

const withdrawalText = (course: CourseRow, identity: IdentityRow): string => {
  const rule = drugOf(course.drugKey)?.foodChain;
  if (identity.foodChain === "excluded" || rule?.rule === "never")
    return `${foodChainText(identity)}${rule?.rule === "never" ? " An animal given this medicine may never be eaten." : ""}`;
  return rule?.withdrawalDays === undefined
    ? `${foodChainText(identity)} No withdrawal time is set for this medicine: not for animals that may be eaten, except under the cascade with the period its rules give.`
    : `${foodChainText(identity)} Meat: ${rule.withdrawalDays} days.`;
};

/** What the law asks about this prescription, from the horse, the drug and the vet's own word. */
export const kindOf = (
  jurisdiction: PrescriptionKind["jurisdiction"],
  { input, course, identity }: Pick<Papers, "input" | "course" | "identity">,
): PrescriptionKind => ({
  jurisdiction,
  controlled: input.controlled,
  antimicrobial: input.antimicrobial,
  offLabel: drugOf(course.drugKey)?.licensedIn.includes(jurisdiction) !== true,
  foodAnimal: identity.foodChain !== "excluded",
  keptElsewhere: true,
  repeatable: input.repeats > 0,
});

/** The text of every field that can be filled from the record or the form; what is not known is left out. */
export const fillFields = (kind: PrescriptionKind, papers: Papers): Filled => {
  const { input, course, plan, identity, prescriber, lastByVet, lastOfHorse } = papers;
  const drug = drugOf(course.drugKey);
  const presentation =
    drug === undefined ? undefined : presentationOf(drug, course.presentationKey);
  const amount =
    presentation === undefined ? `${plan.totalMg} mg` : measureText(plan.totalUnits, presentation);
  const premises =
    input.premises ??
    [identity.yard, identity.yardAddress ?? ""].filter((one) => one !== "").join(", ");
  const cautions = [...(drug?.cautions ?? []), ...(drug?.handling ?? [])].join(" ");
  const text: Partial<Record<PrescriptionField, string | undefined>> = {
    prescriberName: prescriber.name,
    prescriberAddress:
      input.prescriberAddress ?? papers.practiceAddress ?? lastByVet.prescriberAddress,
    prescriberPhone: papers.practicePhone ?? undefined,
    prescriberQualifications: input.prescriberQualifications ?? lastByVet.prescriberQualifications,
    prescriberNumber: prescriber.registration ?? undefined,
    keeperName: input.keeperName ?? identity.owner ?? lastOfHorse.keeperName,
    keeperAddress: input.keeperAddress ?? lastOfHorse.keeperAddress,
    keeperContact: input.keeperContact ?? identity.ownerPhone ?? lastOfHorse.keeperContact,
    animalIdentity: identityText(identity),
    animalSpecies: SPECIES[identity.type],
    premises,
    issuedOn: dayText(papers.issuedOn),
    signature: papers.signedWith,
    product:
      presentation === undefined
        ? drugName(course.drugKey)
        : `${drugName(course.drugKey)}: ${presentation.name}`,
    formAndStrength:
      presentation === undefined
        ? undefined
        : `${presentation.unit}, ${presentation.mgPerUnit} mg in one`,
    quantity: amount,
    quantityInWordsAndFigures:
      presentation === undefined
        ? undefined
        : `${numberInWords(plan.totalUnits)} (${amount}); ${numberInWords(plan.totalMg)} milligrams (${plan.totalMg} mg)`,
    dosage: [dosageText(course), course.instructions ?? ""].filter((one) => one !== "").join(". "),
    route: course.route,
    duration: `${plan.doses.length} doses from ${dayText(course.startOn)} to ${dayText(plan.lastDoseOn)}`,
    frequency: frequencyText(course),
    warnings: [input.warnings ?? "", cautions].filter((one) => one !== "").join(" "),
    withdrawal: withdrawalText(course, identity),
    cascadeStatement:
      kind.offLabel === true && input.cascadeReason !== undefined
        ? `Prescribed under the cascade (off-label): ${input.cascadeReason}`
        : undefined,
    underCareDeclaration: input.declaresUnderCare
      ? "I declare that this animal is under my care."
      : undefined,
    repeats:
      input.repeats === 0 ? undefined : `${input.repeats} (in all ${input.repeats + 1} supplies)`,
  };
  return Object.fromEntries(
    Object.keys(PRESCRIPTION_FIELDS).flatMap((key) => {
      const value = text[key as PrescriptionField];
      return value === undefined || value === "" ? [] : [[key, value]];
    }),
  ) as Filled;
};
