import {
  draftPrescription,
  recordPlanConsent,
  replyToPrescription,
  setPlanCost,
  signPrescription,
  type FootPlanView,
} from "@heelward/contracts";
import type { Finding } from "@heelward/domain/evidence";
import { MS_PER_MINUTE, type InstantMs } from "@heelward/domain/time";
import * as consent from "../features/prescriptions/consent.ts";
import * as prescriptions from "../features/prescriptions/service.ts";
import { FILMS, FOOT_CONSTANTS } from "./data/films.ts";
import { HORSES } from "./data/horses.ts";
import { PLANS, type DemoPlan } from "./data/plans.ts";
import { known, type Telling } from "./story.ts";
import { ownerOf } from "./who.ts";

type Side = "LF" | "RF";

interface Fitting {
  readonly shoe: FootPlanView["shoe"];
  readonly supportFill: FootPlanView["supportFill"];
  readonly fixing: FootPlanView["fixing"];
  /** Where breakover is to be after the visit, mm ahead of the tip of P3. */
  readonly breakoverMm: number;
  /** The day it was carried out; null when it never was. */
  readonly doneOn: string | null;
  /** The films it rests on, where their day is not the one written in the plan. */
  readonly filmsOn?: string;
  readonly wedgeDegrees?: number;
  readonly urgent?: boolean;
}

const BOOT = { shoe: "boot-pad", supportFill: "back-two-thirds", fixing: "none" } as const;
const FOAM = { shoe: "foam", supportFill: "back-two-thirds", fixing: "tape" } as const;
const GLUED = { shoe: "glue-on", supportFill: "back-two-thirds", fixing: "glue" } as const;
const CLOG = { shoe: "wooden-clog", supportFill: "full", fixing: "screws" } as const;
const BAR = { shoe: "rolled-bar", supportFill: "full", fixing: "glue" } as const;
const BARE = { shoe: "bare", supportFill: "none", fixing: "none" } as const;

/** The words of each plan in the terms of the catalogue. */
const FITTINGS: Readonly<Record<string, Fitting>> = {
  "H01-p1": { ...BOOT, breakoverMm: 6, doneOn: "2026-07-10", urgent: true },
  "H01-p2": { ...BOOT, breakoverMm: 6, doneOn: "2026-08-14" },
  "H13-p1": { ...FOAM, breakoverMm: 4, doneOn: "2026-02-17", urgent: true },
  "H13-p2": {
    shoe: "cast",
    supportFill: "none",
    fixing: "cast-tape",
    breakoverMm: 4,
    doneOn: "2026-02-21",
    wedgeDegrees: 6,
    urgent: true,
  },
  "H13-p3": { ...FOAM, breakoverMm: 3, doneOn: "2026-02-24", urgent: true },
  "H07-p1": { ...GLUED, breakoverMm: 20, doneOn: "2025-10-20" },
  "H07-p2": { ...GLUED, breakoverMm: 6, doneOn: "2026-01-12" },
  "H07-p3": { ...GLUED, breakoverMm: 8, doneOn: "2026-06-20", urgent: true },
  "H07-p4": { ...GLUED, breakoverMm: 6, doneOn: "2026-07-13" },
  "H19-p1": {
    shoe: "rolled-toe",
    supportFill: "full",
    fixing: "glue",
    breakoverMm: 9,
    doneOn: "2026-04-03",
  },
  "H19-p2": { ...BAR, breakoverMm: 5, doneOn: "2026-04-21", urgent: true },
  "H19-p3": { ...BAR, breakoverMm: 6, doneOn: "2026-06-01" },
  "H02-p1": {
    shoe: "cast",
    supportFill: "back-two-thirds",
    fixing: "cast-tape",
    breakoverMm: 6,
    doneOn: "2026-08-27",
  },
  "H02-p2": { ...BARE, breakoverMm: 6, doneOn: "2026-09-28" },
  "H14-p1": { ...CLOG, breakoverMm: 4, doneOn: null, urgent: true },
  "H14-p2": { ...CLOG, breakoverMm: 4, doneOn: "2026-05-11", urgent: true },
  "H14-p3": { ...BAR, breakoverMm: 6, doneOn: "2026-07-06" },
  "H20-p3": { ...BARE, breakoverMm: 7, doneOn: null, filmsOn: "2026-08-04" },
};

/** What the owner was told and said between draft and signature, where there was time to ask. */
interface Terms {
  readonly fromAmount: number;
  readonly toAmount: number;
  readonly covers: string;
  readonly words: string;
}

const TERMS: Readonly<Record<string, Terms>> = {
  "H07-p1": {
    fromAmount: 260,
    toAmount: 340,
    covers: "Both fore feet: trim, glue-on shoes, fill, and the films afterwards.",
    words: "Yes to the glue-on shoes; please ring before anything dearer.",
  },
  "H07-p4": {
    fromAmount: 220,
    toAmount: 290,
    covers: "Both fore feet: trim, glue-on shoes and fill. Films are charged apart.",
    words: "Go on as before.",
  },
  "H14-p3": {
    fromAmount: 180,
    toAmount: 240,
    covers: "Both fore feet: trim, bar shoes glued on, fill.",
    words: "Yes, if that gets us walking again.",
  },
};

const fittingOf = (plan: DemoPlan): Fitting => {
  const fitting = FITTINGS[plan.id];
  if (fitting === undefined) throw new Error(`no fitting for ${plan.id}`);
  return fitting;
};

const filmDay = (plan: DemoPlan): string => fittingOf(plan).filmsOn ?? plan.films;

const sidesOf = (plan: DemoPlan): readonly Side[] =>
  plan.feet === "right fore" ? ["RF"] : ["LF", "RF"];

const filmOf = (plan: DemoPlan, side: Side) => {
  const film = FILMS.find(
    (one) => one[0] === plan.horse && one[1] === filmDay(plan) && one[2] === side,
  );
  if (film === undefined) throw new Error(`no film of ${plan.id} ${side}`);
  return film;
};

/** Ground base to length of the bone, by which the scenario stages heels: 88 mm on a bone of 54 mm. */
const BASE_SHARE = 88 / 54;
const tangent = (degrees: number): number => Math.tan((degrees * Math.PI) / 180);

/** Heel to come off this visit: towards the middle of the target band, never more than the plan's cap. */
const heelOf = (plan: DemoPlan, side: Side): number => {
  const film = filmOf(plan, side);
  const [low, high] = plan.targets.palmar_angle_deg;
  const bone = FOOT_CONSTANTS.find((one) => one[0] === plan.horse && one[1] === side)?.[3] ?? 54;
  const wantedMm = BASE_SHARE * bone * (tangent(film[4] - film[3]) - tangent((low + high) / 2));
  return Math.min(plan.heel_off_mm_max, Math.max(0, Math.round(wantedMm * 2) / 2));
};

/** A plan as it was carried out. */
export interface PlanWork extends Pick<Fitting, "shoe" | "supportFill" | "fixing" | "doneOn"> {
  readonly plan: string;
  readonly horse: string;
  readonly wedgeDegrees: number;
  readonly heelMm: (side: Side) => number;
}

export const PLAN_WORK: readonly PlanWork[] = PLANS.map((plan): PlanWork => {
  const fitting = fittingOf(plan);
  return {
    plan: plan.id,
    horse: plan.horse,
    shoe: fitting.shoe,
    supportFill: fitting.supportFill,
    fixing: fitting.fixing,
    doneOn: fitting.doneOn,
    wedgeDegrees: fitting.wedgeDegrees ?? 0,
    heelMm: (side) => heelOf(plan, side),
  };
}).toSorted((a, b) => (a.doneOn ?? "").localeCompare(b.doneOn ?? ""));

const WEDGE_REASON = "Reduce tendon pull, rotation feared";

/** What the vet wrote against each warning. */
const REASONS: Readonly<Record<string, string>> = {
  "prescription/owner-consent@1":
    "Talked through at the yard with the likely cost; the owner wants to sleep on the paper, the feet cannot wait.",
  "trim/wedge-founder-moving@1": WEDGE_REASON,
  "prescription/film-age@1": "Holding what is there; the last film still shows this foot.",
  "prescription/sole-tip@1": "Nothing comes off the sole; support lies behind the frog tip.",
  "prescription/sole-wing@1": "Nothing comes off the sole; support lies behind the frog tip.",
  "prescription/angle-under@1": "Half a degree under is accepted this visit and filmed next time.",
  "prescription/breakover-sum@1": "In stages; the rest follows at the next visit.",
  "prescription/toe-reach@1": "Bevel and set-back shoe together; the farrier stops at live sole.",
};
const OTHER_REASON = "Seen on the film and weighed against the pain; checked at the next visit.";

export const overridesFor = (
  findings: readonly Finding[] | readonly { rule: string; outcome: string }[],
) =>
  [...new Set(findings.filter((one) => one.outcome === "warn").map((one) => one.rule))].map(
    (rule) => ({ rule, reason: REASONS[rule] ?? OTHER_REASON }),
  );

const footPlan = (plan: DemoPlan, side: Side): FootPlanView => {
  const fitting = fittingOf(plan);
  const film = filmOf(plan, side);
  const wedge = fitting.wedgeDegrees ?? 0;
  const [low, high] = plan.targets.palmar_angle_deg;
  return {
    foot: side,
    toeBackMm: Math.max(0, film[13] - fitting.breakoverMm),
    breakoverFromP3TipMm: Math.min(fitting.breakoverMm, film[13]),
    breakoverFromFrogTipMm: null,
    heelRemoveMm: heelOf(plan, side),
    palmarAngleTargetDegrees: { low, high },
    soleMinMm: plan.targets.sole_tip_mm_min ?? 10,
    wedgeDegrees: wedge,
    wedgeReason: wedge > 0 ? WEDGE_REASON : null,
    shoe: fitting.shoe,
    supportFill: fitting.supportFill,
    fixing: fitting.fixing,
    limitMm: HORSES.find((one) => one.id === plan.horse)?.limit_mm ?? null,
    notes: null,
  };
};

const sentence = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;

/** The likely cost, and the owner's yes by telephone, on a plan that is still a draft. */
const tellOfTerms = (
  { perform, register, tell }: Telling,
  plan: DemoPlan,
  terms: Terms,
  atMs: InstantMs,
  told: (findings: readonly { rule: string; outcome: string }[]) => void,
): void => {
  const { words, ...cost } = terms;
  tell(atMs, `terms of ${plan.id}`, async () => {
    const prescriptionId = known(register.plans, plan.id).id;
    const priced = await perform(
      atMs,
      plan.by,
      setPlanCost,
      { params: { prescriptionId }, body: { ...cost, currency: "EUR" } },
      (work, { body }) =>
        consent.setCost(work, prescriptionId, known(register.plans, plan.id).version, body),
    );
    const agreed = await perform(
      atMs,
      plan.by,
      recordPlanConsent,
      { params: { prescriptionId }, body: { givenBy: ownerOf(plan.horse), words } },
      (work, { body }) => consent.recordConsent(work, prescriptionId, priced.version, body),
    );
    register.plans.set(plan.id, { id: agreed.id, version: agreed.version });
    told(agreed.findings);
  });
};

/** Every plan: drafted, signed against its warnings, answered by the farrier. */
export const tellOfPlans = (telling: Telling): void => {
  const { calendar, perform, register, tell } = telling;
  for (const plan of PLANS) {
    const draftedMs = calendar.atWritten(plan.drafted);
    const signedMs = calendar.atWritten(plan.signed);
    const needs = plan.needs ?? [];
    let findings: readonly { rule: string; outcome: string }[] = [];
    tell(draftedMs, `draft of ${plan.id}`, async () => {
      const drafted = await perform(
        draftedMs,
        plan.by,
        draftPrescription,
        {
          params: { caseId: known(register.cases, plan.horse) },
          body: {
            aim: sentence(plan.do),
            feet: sidesOf(plan).map((side) => footPlan(plan, side)),
            doNot: (plan.do_not ?? "").split("; ").filter((line) => line !== ""),
            conditions: {
              vetPresent: needs.includes("vet present"),
              nerveBlock: needs.includes("vet present"),
              handler: needs.includes("foal handler"),
              ...(fittingOf(plan).wedgeDegrees === undefined ? {} : { wedgeTrialDays: 7 }),
            },
            intervalDays: plan.interval_days,
            urgent: fittingOf(plan).urgent ?? false,
            radiographIds: sidesOf(plan).map((side) =>
              known(register.films, `${plan.horse} ${filmDay(plan)} ${side}`),
            ),
          },
        },
        (work, { params, body }) => prescriptions.draft(work, params.caseId, body),
      );
      findings = drafted.findings;
      register.plans.set(plan.id, { id: drafted.id, version: drafted.version });
    });
    const terms = TERMS[plan.id];
    if (terms !== undefined)
      tellOfTerms(telling, plan, terms, draftedMs + 5 * MS_PER_MINUTE, (after) => {
        findings = after;
      });
    tell(signedMs, `signature of ${plan.id}`, async () => {
      const drafted = known(register.plans, plan.id);
      const signed = await perform(
        signedMs,
        plan.by,
        signPrescription,
        {
          params: { prescriptionId: drafted.id },
          body: {
            readBack: { filmOpened: true, targetsConfirmed: true },
            overrides: overridesFor(findings),
          },
        },
        (work, { params, body }) =>
          prescriptions.sign(work, params.prescriptionId, drafted.version, body),
      );
      register.plans.set(plan.id, { id: signed.id, version: signed.version });
    });
    const { ack } = plan;
    if (ack === null) continue;
    const ackMs = calendar.atWritten(ack[1]);
    tell(ackMs, `acceptance of ${plan.id}`, async () => {
      const signed = known(register.plans, plan.id);
      const accepted = await perform(
        ackMs,
        ack[0],
        replyToPrescription,
        { params: { prescriptionId: signed.id }, body: { reply: "accepted" } },
        (work, { params, body }) =>
          prescriptions.reply(work, params.prescriptionId, signed.version, body),
      );
      register.plans.set(plan.id, { id: accepted.id, version: accepted.version });
    });
  }
};
