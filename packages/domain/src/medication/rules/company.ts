import type { Finding } from "../../evidence/index.ts";
import { MS_PER_DAY, MS_PER_HOUR } from "../../time/index.ts";
import { isOpen } from "../course-facts.ts";
import type { DoseToCount } from "../counted-doses.ts";
import { found } from "../finding.ts";
import { drugOf } from "../formulary/index.ts";
import { LABEL, PAPER, RULE } from "../formulary/sources.ts";
import type { Drug, DrugClass } from "../formulary/types.ts";
import type { MedicationContext } from "../types.ts";
import type { CourseFacts } from "./facts.ts";

/** Least time between the last dose of one anti-inflammatory and the first of the next. Source: UK labels. */
export const NSAID_GAP_HOURS = 24;
/** How long a steroid or a nephrotoxic drug counts as present. Source: house rule. */
const PRESENT_DAYS = 14;
/** How long bute counts as present for the omeprazole rule. Source: label, effect of 3 days. */
const PAIRED_HOURS = 72;
/** A blood value counts as a baseline this long. Source: house rule. */
const BASELINE_DAYS = 30;

const isNsaid = (drugKey: string): boolean => drugOf(drugKey)?.classes.includes("NSAID") ?? false;

/**
 * Closest that a dose of another anti-inflammatory comes to a dose in question, in hours, and which.
 * Only doses of a different drug count; the pair phenylbutazone and suxibuzone counts as different.
 */
const nearestOtherNsaid = (
  drugKey: string,
  doses: readonly DoseToCount[],
): { readonly hours: number; readonly drugKey: string } | undefined => {
  if (!isNsaid(drugKey)) return undefined;
  const mine = doses.filter((dose) => dose.subject).map((dose) => dose.atMs);
  const first = Math.min(...mine);
  const last = Math.max(...mine);
  let nearest: { hours: number; drugKey: string } | undefined;
  for (const other of doses) {
    if (other.subject || other.drugKey === drugKey || !isNsaid(other.drugKey)) continue;
    const inside = other.atMs > first && other.atMs < last;
    const gapMs = inside
      ? Math.min(...mine.map((at) => Math.abs(at - other.atMs)))
      : Math.min(Math.abs(first - other.atMs), Math.abs(last - other.atMs));
    const hours = gapMs / MS_PER_HOUR;
    if (nearest === undefined || hours < nearest.hours) nearest = { hours, drugKey: other.drugKey };
  }
  return nearest;
};

/** The wash-out between two anti-inflammatories: under 24 h blocks, under the softer line notes. */
export const switchFindings = (drug: Drug, doses: readonly DoseToCount[]): readonly Finding[] => {
  const nearest = nearestOtherNsaid(drug.key, doses);
  if (nearest === undefined) return [];
  const other = drugOf(nearest.drugKey);
  const hours = (Math.floor(nearest.hours * 100) / 100).toFixed(2).replace(/\.?0+$/u, "");
  if (nearest.hours < NSAID_GAP_HOURS)
    return [
      found(
        "nsaid-gap",
        "block",
        `${hours} h between ${other?.name ?? nearest.drugKey} and ${drug.name}; one anti-inflammatory at a time, 24 h apart.`,
        LABEL.pbzUkCautions,
      ),
    ];
  const notice = other?.switchNotice;
  return [
    notice !== undefined && nearest.hours < notice.hours
      ? found(
          "nsaid-switch-notice",
          "note",
          `${hours} h after ${other?.name ?? nearest.drugKey}: ${notice.why} (softer line ${String(notice.hours)} h).`,
          notice.source,
        )
      : found(
          "nsaid-gap",
          "pass",
          `${hours} h from the other anti-inflammatory.`,
          LABEL.pbzUkCautions,
        ),
  ];
};

const openOthers = ({ request, context }: CourseFacts) =>
  context.courses.filter(
    (course) =>
      isOpen(course) && course.id !== request.id && course.id !== request.supersedesCourseId,
  );

/** Other open courses that still have a dose to come, by class. */
const overlapFindings = (facts: CourseFacts): readonly Finding[] => {
  if (!facts.drug.classes.includes("NSAID")) return [];
  const firstAt = facts.plan.doses[0]?.atMs ?? facts.context.atMs;
  const lastAt = facts.plan.doses.at(-1)?.atMs ?? facts.context.atMs;
  const clash = openOthers(facts).find(
    (course) =>
      isNsaid(course.drugKey) &&
      facts.doses.some(
        (dose) => dose.courseId === course.id && dose.atMs >= firstAt && dose.atMs <= lastAt,
      ),
  );
  return clash === undefined
    ? []
    : [
        found(
          "one-nsaid",
          "block",
          `A course of ${drugOf(clash.drugKey)?.name ?? clash.drugKey} is still open; stop it first. One anti-inflammatory at a time.`,
          PAPER.reed2006,
        ),
      ];
};

const present = (
  context: MedicationContext,
  doses: readonly DoseToCount[],
  wanted: (drug: Drug) => boolean,
  hours: number,
): boolean =>
  doses.some((dose) => {
    const drug = drugOf(dose.drugKey);
    return (
      !dose.subject &&
      drug !== undefined &&
      wanted(drug) &&
      dose.atMs > context.atMs - hours * MS_PER_HOUR
    );
  });

const otherMedicine = (
  { animal, atMs }: MedicationContext,
  wanted: "corticosteroid" | "nephrotoxic",
) =>
  (animal.medicinesGiven ?? []).find(
    (medicine) =>
      medicine.class === wanted && medicine.givenAtMs > atMs - PRESENT_DAYS * MS_PER_DAY,
  );

const outsideFindings = ({ drug, context, request }: CourseFacts): readonly Finding[] => {
  const findings: Finding[] = [];
  const steroid = otherMedicine(context, "corticosteroid");
  if (drug.notWithSteroid && steroid !== undefined)
    findings.push(
      found(
        "steroid",
        "warn",
        `${steroid.name} was given within 14 days, by whatever route: the stop is lifted only by the vet's written reason.`,
        LABEL.meloxicamInj,
      ),
    );
  const nephrotoxic = otherMedicine(context, "nephrotoxic");
  if (drug.notWithNephrotoxic && nephrotoxic !== undefined)
    findings.push(
      request.hydrationAndCreatinineRecorded === true
        ? found(
            "nephrotoxic",
            "warn",
            `${nephrotoxic.name} can harm the kidneys: hydration and creatinine are recorded; the vet writes the reason.`,
            LABEL.pbzUkCautions,
          )
        : found(
            "nephrotoxic",
            "block",
            `${nephrotoxic.name} can harm the kidneys: record hydration and creatinine first.`,
            LABEL.pbzUkCautions,
          ),
    );
  return findings;
};

const pairFindings = ({ drug, context, doses, request }: CourseFacts): readonly Finding[] => {
  const has = (name: DrugClass): boolean => drug.classes.includes(name);
  const near = (wanted: (other: Drug) => boolean): boolean =>
    present(context, doses, wanted, PAIRED_HOURS);
  const findings: Finding[] = [];
  if (
    (drug.key === "omeprazole" && near((other) => other.moiety === "phenylbutazone")) ||
    (drug.moiety === "phenylbutazone" && near((other) => other.key === "omeprazole"))
  )
    findings.push(
      found(
        "omeprazole-with-bute",
        "warn",
        "Not as a routine pair: 6 of 8 horses on both had bowel complications against none of 6 controls.",
        PAPER.ricord2021,
      ),
    );
  if (
    (has("SGLT2 inhibitor") && near((other) => other.classes.includes("NSAID"))) ||
    (has("NSAID") && near((other) => other.classes.includes("SGLT2 inhibitor")))
  )
    findings.push(
      found(
        "sglt2-with-nsaid",
        request.hydrationAndCreatinineRecorded === true ? "warn" : "block",
        "SGLT2 inhibitor with an anti-inflammatory: hydration and creatinine must be recorded.",
        PAPER.sglt2Harm,
      ),
    );
  if (
    (has("dopamine agonist") && near((other) => other.classes.includes("dopamine antagonist"))) ||
    (has("dopamine antagonist") && near((other) => other.classes.includes("dopamine agonist")))
  )
    findings.push(
      found(
        "dopamine",
        "warn",
        "Acepromazine and pergolide can work against each other.",
        RULE.memory,
      ),
    );
  return findings;
};

const SGLT2_BASELINE = ["triglycerides", "GGT", "creatinine"] as const;

const sglt2Findings = ({ drug, context, request }: CourseFacts): readonly Finding[] => {
  if (!drug.classes.includes("SGLT2 inhibitor")) return [];
  const recent = new Set(
    (context.results ?? [])
      .filter(
        (result) =>
          result.takenAtMs <= context.atMs &&
          result.takenAtMs > context.atMs - BASELINE_DAYS * MS_PER_DAY,
      )
      .map((result) => result.test),
  );
  const missing = SGLT2_BASELINE.filter((test) => !recent.has(test));
  return [
    found(
      "sglt2-reason",
      "warn",
      "Only after diet has failed or in severe laminitis: the vet writes which.",
      PAPER.sglt2Harm,
    ),
    missing.length > 0 || request.recheckOn === undefined
      ? found(
          "sglt2-baseline",
          "block",
          `Before the start: ${[...missing, ...(request.recheckOn === undefined ? ["a date for the next blood test"] : [])].join(", ")}.`,
          RULE.monitoringSglt2,
        )
      : found(
          "sglt2-baseline",
          "pass",
          "Baseline blood and next test are on file.",
          RULE.monitoringSglt2,
        ),
  ];
};

/** Medicines beside the one in question, apart from other anti-inflammatories. */
export const besideFindings = (facts: CourseFacts): readonly Finding[] => [
  ...outsideFindings(facts),
  ...pairFindings(facts),
  ...sglt2Findings(facts),
];

/** What else the animal gets. */
export const companyFindings = (facts: CourseFacts): readonly Finding[] => [
  ...overlapFindings(facts),
  ...switchFindings(facts.drug, facts.doses),
  ...besideFindings(facts),
];
