import { isAllowed, type Finding, type Judged } from "../evidence/index.ts";
import { daysBetween, dayText, localDateOf, MS_PER_HOUR, MS_PER_MINUTE } from "../time/index.ts";
import { judgeWindows, shareOfLimit, windowsInQuestion } from "./ceilings.ts";
import { counts, type DoseToCount } from "./counted-doses.ts";
import { historyToCount, placeMoiety, scopeOf } from "./course-facts.ts";
import { asClause, found, mgText } from "./finding.ts";
import { drugOf } from "./formulary/index.ts";
import { RULE } from "./formulary/sources.ts";
import type { Drug } from "./formulary/types.ts";
import { holdsOn } from "./holds.ts";
import { nextReviewOn } from "./review.ts";
import { switchFindings } from "./rules/company.ts";
import { foodChainFindings } from "./rules/food-chain.ts";
import { lengthFindings, softFindings } from "./rules/limits.ts";
import { singleDoseFindings } from "./rules/single-dose.ts";
import { slotsOf, type Slot } from "./slots.ts";
import type { Course, DoseEvent, MedicationContext } from "./types.ts";
import { REWEIGH_ON_COURSE_DAYS, WEIGHT_RULE, weightInForce } from "./weight.ts";

/** What is known about a dose at the moment it is given. */
export interface DoseJudgement {
  readonly timing: "on time" | "early" | "late" | "not scheduled" | "not counted";
  readonly lateMinutes: number;
  /** Highest share of any limit, 1 being the printed limit; undefined without weight or limits. */
  readonly shareOfLimit: number | undefined;
  /** The very same record was already there: nothing to do. */
  readonly replay: boolean;
  /** Recorded as a fact although a rule forbade it. */
  readonly breach: boolean;
}

export interface JudgeDoseOptions {
  /**
   * The dose is already inside the horse and is being written down. A fact is never refused: what
   * would have blocked becomes a warning and a breach. A duplicate of a slot is still refused.
   */
  readonly alreadyGiven?: boolean;
}

/** A dose this close to its time is on time. Source: house rule. */
export const ON_TIME_MINUTES = 60;

const DUPLICATE_RULES = new Set(["medication/duplicate-slot@1"]);

const slotFor = (course: Course, dose: DoseEvent): Slot | undefined => {
  if (dose.scheduledAtMs === undefined) return undefined;
  const day = daysBetween(course.startOn, localDateOf(dose.scheduledAtMs, course.zone)) + 1;
  return slotsOf(course, day, day).find((slot) => slot.atMs === dose.scheduledAtMs);
};

const courseFindings = (
  course: Course,
  drug: Drug,
  dose: DoseEvent,
  context: MedicationContext,
): readonly Finding[] => {
  const findings: Finding[] = [];
  if (course.drugKey !== dose.drugKey || course.route !== dose.route)
    findings.push(
      found(
        "not-this-course",
        "block",
        "Drug or route differ from the signed course.",
        RULE.review,
        "/drugKey",
      ),
    );
  if (course.status === "draft" || course.signedAtMs === undefined)
    findings.push(
      found(
        "not-signed",
        "block",
        "The course is not signed: do not give.",
        RULE.review,
        "/courseId",
      ),
    );
  else if (course.status !== "signed" && course.status !== "held")
    findings.push(
      found(
        "course-over",
        "block",
        `The course is ${course.status}: do not give.`,
        RULE.review,
        "/courseId",
      ),
    );
  const holds = holdsOn(course, context.holds, dose.givenAtMs);
  if (course.status === "held" || holds.length > 0)
    findings.push(
      found(
        "held",
        "block",
        `The course is held${holds[0] === undefined ? "" : `: ${asClause(holds[0].reason)}`}. Only a vet releases it.`,
        RULE.review,
        "/courseId",
      ),
    );
  const on = localDateOf(dose.givenAtMs, course.zone);
  const due = nextReviewOn(course, context);
  const stops = drug.classes.includes("NSAID") || drug.classes.includes("analgesic");
  if (on > due)
    findings.push(
      found(
        "needs-vet",
        stops ? "block" : "note",
        `Needs vet: the review was due by ${dayText(due)} and nobody has signed.`,
        drug.review.source,
        "/courseId",
      ),
    );
  return findings;
};

const slotFindings = (
  course: Course,
  dose: DoseEvent,
  slot: Slot | undefined,
  context: MedicationContext,
): readonly Finding[] => {
  if (slot === undefined)
    return [
      found(
        "not-scheduled",
        "block",
        "No dose of the signed plan stands at this time; only a vet gives an extra dose.",
        RULE.review,
        "/scheduledAtMs",
      ),
    ];
  const findings: Finding[] = [];
  const twin = context.doses.find(
    (other) =>
      other.id !== dose.id &&
      other.courseId === course.id &&
      other.scheduledAtMs === slot.atMs &&
      counts(other),
  );
  if (twin !== undefined)
    findings.push(
      found(
        "duplicate-slot",
        "block",
        `Already recorded as ${twin.outcome} for ${slot.timeLocal} by ${twin.givenBy}: is this the same dose?`,
        RULE.review,
        "/scheduledAtMs",
      ),
    );
  if (dose.givenAtMs >= slot.lateUntilMs)
    findings.push(
      found(
        "missed",
        "block",
        `More than half the time to the next dose has passed: leave out the ${slot.timeLocal} dose, never double.`,
        RULE.review,
      ),
    );
  else if (dose.givenAtMs < slot.earlyFromMs)
    findings.push(
      found("too-early", "block", `Too early for the ${slot.timeLocal} dose.`, RULE.review),
    );
  const close = context.doses.find(
    (other) =>
      other.id !== dose.id &&
      other.courseId === course.id &&
      other.scheduledAtMs !== slot.atMs &&
      counts(other) &&
      Math.abs(other.givenAtMs - dose.givenAtMs) < slot.leastGapMs,
  );
  if (close !== undefined)
    findings.push(
      found(
        "half-interval",
        "block",
        "The last dose was less than half the interval ago: wait, never double.",
        RULE.review,
      ),
    );
  if (dose.doseMg > slot.doseMg * (1 + 1e-9))
    findings.push(
      found(
        "more-than-signed",
        "block",
        `${mgText(dose.doseMg)} is more than the signed ${mgText(slot.doseMg)}.`,
        RULE.review,
        "/doseMg",
      ),
    );
  return findings;
};

const looseFindings = (dose: DoseEvent): readonly Finding[] =>
  dose.givenByRole === "vet"
    ? []
    : [
        found(
          "no-course",
          "block",
          "No signed course covers this dose; only a vet gives a dose outside a course.",
          RULE.review,
          "/courseId",
        ),
      ];

const wholeFindings = (
  drug: Drug,
  dose: DoseEvent,
  context: MedicationContext,
): { readonly findings: readonly Finding[]; readonly share: number | undefined } => {
  const at = { ...context, atMs: dose.givenAtMs };
  const weight = weightInForce(at);
  const findings: Finding[] = [...foodChainFindings(drug, context.animal, context.jurisdiction)];
  if (dose.route === "intravenous" && dose.givenByRole !== "vet")
    findings.push(
      found("vein-by-vet", "block", "Into the vein: by a vet only.", RULE.hospitalOnly, "/route"),
    );
  if (drug.hospitalOnly && context.place !== "hospital")
    findings.push(
      found("hospital-only", "block", `${drug.name} is for a hospital only.`, RULE.hospitalOnly),
    );
  const course = context.courses.find((entry) => entry.id === dose.courseId);
  const subject: DoseToCount = {
    id: dose.id,
    atMs: dose.givenAtMs,
    drugKey: dose.drugKey,
    doseMg: dose.doseMg,
    route: dose.route,
    presentationKey: dose.presentationKey ?? course?.presentationKey,
    courseId: dose.courseId,
    subject: true,
  };
  const history = historyToCount(context).filter((other) => other.id !== dose.id);
  const placed = placeMoiety([...history, subject], drug.moiety, context.courses, at);
  findings.push(...switchFindings(drug, [...history, subject]));
  if (dose.courseId === undefined)
    findings.push(...singleDoseFindings(drug, dose, [...history, subject], at));
  findings.push(...lengthFindings(drug, placed, context));
  if (weight === undefined) {
    if (drug.ceilings.length > 0)
      findings.push(
        found(
          "weight-missing",
          "block",
          "There is no usable weight on file; weigh first.",
          RULE.review,
        ),
      );
    return { findings, share: undefined };
  }
  if (weight.ageDays > REWEIGH_ON_COURSE_DAYS)
    findings.push(
      found(
        "reweigh",
        "note",
        `The weight is ${weight.ageDays.toFixed(0)} days old; on a course weigh every ${String(REWEIGH_ON_COURSE_DAYS)} days.`,
        WEIGHT_RULE,
      ),
    );
  const windows = windowsInQuestion(placed, scopeOf(at));
  findings.push(...judgeWindows(windows, weight.weightKg, weight.lowKg));
  if (dose.courseId === undefined) findings.push(...softFindings(drug, placed, weight.weightKg));
  const share = windows.reduce(
    (most, window) => Math.max(most, shareOfLimit(window, weight.weightKg)),
    0,
  );
  return { findings, share: windows.length === 0 ? undefined : share };
};

const timingOf = (
  dose: DoseEvent,
  slot: Slot | undefined,
): Pick<DoseJudgement, "timing" | "lateMinutes"> => {
  if (slot === undefined) return { timing: "not scheduled", lateMinutes: 0 };
  const lateMinutes = Math.round((dose.givenAtMs - slot.atMs) / MS_PER_MINUTE);
  return {
    timing:
      lateMinutes > ON_TIME_MINUTES ? "late" : lateMinutes < -ON_TIME_MINUTES ? "early" : "on time",
    lateMinutes,
  };
};

/** Warnings on a dose that the course's own signature already answered. */
const settledBySignature = (finding: Finding): Finding =>
  finding.outcome === "warn" ? { ...finding, outcome: "note" } : finding;

/**
 * May this dose be given now, and how does it stand in time? Uses the same ledger as
 * `judgeCourse`: sums over every route and product, one anti-inflammatory at a time, course length.
 *
 * Late, missed, early: within half the interval after its time a dose may still be given; later it
 * is left out; never two within half the interval; never double. Source: house rule, no label text.
 */
export const judgeDose = (
  dose: DoseEvent,
  context: MedicationContext,
  options: JudgeDoseOptions = {},
): Judged<DoseJudgement> => {
  const known = context.doses.find((other) => other.id === dose.id);
  const course = context.courses.find((entry) => entry.id === dose.courseId);
  const slot = course === undefined ? undefined : slotFor(course, dose);
  const timing = timingOf(dose, slot);
  if (known !== undefined && known.outcome === dose.outcome && known.doseMg === dose.doseMg)
    return {
      ok: true,
      value: { ...timing, shareOfLimit: undefined, replay: true, breach: false },
      findings: [found("replay", "pass", "Already recorded; nothing to do.", RULE.review)],
    };
  if (!counts(dose))
    return {
      ok: true,
      value: {
        timing: "not counted",
        lateMinutes: timing.lateMinutes,
        shareOfLimit: undefined,
        replay: false,
        breach: false,
      },
      findings: [
        (dose.reason ?? "").trim() === ""
          ? found(
              "reason",
              "note",
              `Recorded as ${dose.outcome}: write why.`,
              RULE.review,
              "/reason",
            )
          : found("reason", "pass", `Recorded as ${dose.outcome}.`, RULE.review),
      ],
    };
  const drug = drugOf(dose.drugKey);
  if (drug === undefined || !(dose.doseMg > 0))
    return {
      ok: false,
      findings: [
        found("unknown-drug", "block", "Not in the formulary, or no amount.", RULE.review),
      ],
    };
  const whole = wholeFindings(drug, dose, context);
  const findings = [
    ...(dose.courseId === undefined
      ? looseFindings(dose)
      : course === undefined
        ? [found("no-course", "block", "This course is not on file.", RULE.review, "/courseId")]
        : [
            ...courseFindings(course, drug, dose, context),
            ...slotFindings(course, dose, slot, context),
          ]),
    ...(course === undefined ? whole.findings : whole.findings.map(settledBySignature)),
  ];
  const value: DoseJudgement = {
    ...timing,
    shareOfLimit: whole.share,
    replay: false,
    breach: !isAllowed(findings),
  };
  if (isAllowed(findings)) return { ok: true, value, findings };
  const duplicate = findings.some((finding) => DUPLICATE_RULES.has(finding.rule));
  return options.alreadyGiven === true && !duplicate
    ? {
        ok: true,
        value,
        findings: findings.map((finding) =>
          finding.outcome === "block" ? { ...finding, outcome: "warn" } : finding,
        ),
      }
    : { ok: false, findings };
};

/** Earliest instant at which the limits would let this dose through, within two days. */
export const earliestAllowedAt = (
  dose: DoseEvent,
  context: MedicationContext,
): number | undefined => {
  const drug = drugOf(dose.drugKey);
  if (drug === undefined) return undefined;
  const passes = (at: number) =>
    isAllowed(wholeFindings(drug, { ...dose, givenAtMs: at }, context).findings);
  const candidates = context.doses
    .filter(counts)
    .flatMap((other) => [24, 25, 48, 49].map((hours) => other.givenAtMs + hours * MS_PER_HOUR))
    .filter((at) => at > dose.givenAtMs && at < dose.givenAtMs + 50 * MS_PER_HOUR)
    .toSorted((a, b) => a - b);
  return [dose.givenAtMs, ...candidates].find(passes);
};
