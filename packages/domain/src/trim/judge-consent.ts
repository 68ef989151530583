import type { Finding, Source } from "../evidence/index.ts";
import type { FootPlan } from "./trim-types.ts";

/** The rule an owner's consent answers; a written reason against it is the recorded waiver. */
export const CONSENT_RULE = "prescription/owner-consent@1";

const CONSENT_SOURCE: Source = {
  id: "house/owner-consent",
  citation:
    "Owners agree to what is fixed to the foot and what it may cost before it is ordered; first aid never waits for it",
  status: "house rule",
};

/** Supports that any hand takes off again: they are first aid, not a device. */
const SOFT_SHOES: readonly string[] = ["bare", "foam", "boot-pad"];
const LOOSE_FIXINGS: readonly string[] = ["none", "tape"];

type Worn = Pick<FootPlan, "shoe" | "fixing">;

/** True when something is fixed to a foot that stays until a farrier takes it off. */
export const hasDevice = (feet: readonly Worn[]): boolean =>
  feet.some(({ shoe, fixing }) => !SOFT_SHOES.includes(shoe) || !LOOSE_FIXINGS.includes(fixing));

/**
 * Whether a plan may go out as far as the owner is concerned. Nothing to say about a plan without a
 * device. In an emergency the wait is waived, and the finding keeps why.
 */
export const judgeConsent = (plan: {
  readonly feet: readonly Worn[];
  readonly isEmergency: boolean;
  /** Who agreed, as the owner is named. */
  readonly agreedBy: string | null;
}): readonly Finding[] => {
  if (!hasDevice(plan.feet)) return [];
  const said = (outcome: Finding["outcome"], detail: string): readonly Finding[] => [
    { rule: CONSENT_RULE, outcome, detail, source: CONSENT_SOURCE },
  ];
  if (plan.agreedBy !== null) return said("pass", `${plan.agreedBy} agreed to this plan.`);
  return plan.isEmergency
    ? said(
        "note",
        "Waived: first aid does not wait for the owner's consent. Tell the owner today, with the likely cost.",
      )
    : said(
        "warn",
        "The owner has not agreed to this plan. Ask first, or write why it cannot wait.",
      );
};
