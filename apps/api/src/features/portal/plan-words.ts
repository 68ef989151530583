import type { FootPlanView, Prescription } from "@heelward/contracts";
import { findShoe } from "@heelward/domain/trim";

type Plan = Pick<Prescription, "feet" | "doNot" | "conditions" | "intervalDays">;

/** Trade words and what stands for them in front of an owner. Longer words first. */
const REPLACED: readonly (readonly [RegExp, string])[] = [
  [/\bthe tip of (?:P3|the distal phalanx|the coffin bone)\b/giu, "the tip of the pedal bone"],
  [/\b(?:the )?(?:P3|distal phalanx|coffin bone|third phalanx)\b/giu, "the pedal bone"],
  [/\b(?:the )?(?:DDFT|deep digital flexor tendon)\b/giu, "the deep tendon"],
  [/\b(?:the )?HLZ\b/gu, "the wall thickness in front of the bone"],
  [/\bNSAIDs?\b/gu, "pain relief"],
  [/\bPOB\b/gu, "breakover"],
  [/\bcoronary band\b/giu, "hairline"],
  [/\bdigital pulses?\b/giu, "pulse in the foot"],
  [/\bwedges?\b/giu, "heel raise"],
  [/\boverdue\b/giu, "due"],
];

/** A professional's sentence with the words of our glossary in place of the trade's. */
export const inOurWords = (text: string): string => {
  const said = REPLACED.reduce((sentence, [trade, ours]) => sentence.replace(trade, ours), text);
  return said.charAt(0).toUpperCase() + said.slice(1);
};

const FOOT = { LF: "Left front", RF: "Right front", LH: "Left hind", RH: "Right hind" } as const;

const SHOE: Readonly<Record<string, string>> = {
  bare: "Nothing goes on the foot after the trim.",
  "boot-pad": "The foot wears a boot with a soft pad.",
  foam: "A foam block is taped under the back of the foot.",
  plain: "A plain shoe goes on.",
  "rolled-toe": "A shoe with a rolled toe goes on, so that the foot tips over more easily.",
  "set-back": "A shoe goes on that is set back from the toe.",
  "heart-bar": "A heart-bar shoe goes on; its bar rests on the frog.",
  "egg-bar": "A shoe goes on that is closed behind the heels.",
  "rolled-bar": "A rolled shoe with a bar goes on.",
  reversed: "A shoe goes on that is open at the toe.",
  "wide-web": "A wide shoe goes on.",
  "glue-on": "A shoe is glued on.",
  "wooden-clog": "A wooden clog with a rocker goes on.",
  cast: "The foot gets a cast.",
};
const FILL: Readonly<Record<string, string>> = {
  "frog-pad": "A soft pad supports the frog.",
  "back-two-thirds": "A soft filling supports the back two thirds of the foot; the toe stays free.",
  full: "A soft filling supports the sole behind the tip of the pedal bone.",
};
const FIXING: Readonly<Record<string, string>> = {
  nails: "It is nailed on.",
  screws: "It is screwed on, without hammering.",
  glue: "It is glued, without hammering.",
  tape: "It is held with tape.",
  "cast-tape": "It is held with cast tape.",
};

const mm = (value: number): string => `${Math.round(Math.abs(value) * 10) / 10} mm`;
const sentence = (text: string): string => {
  const trimmed = text.trim();
  return /[.!?]$/u.test(trimmed) ? trimmed : `${trimmed}.`;
};

const footSentences = (foot: FootPlanView): readonly string[] => {
  const tips = foot.breakoverFromP3TipMm;
  const shoe = SHOE[foot.shoe] ?? `It wears: ${findShoe(foot.shoe)?.name ?? foot.shoe}.`;
  return [
    foot.heelRemoveMm > 0
      ? `The back of the foot will be lowered by ${mm(foot.heelRemoveMm)}.`
      : "The back of the foot keeps its height.",
    ...(foot.toeBackMm > 0 ? [`The toe will be brought back by ${mm(foot.toeBackMm)}.`] : []),
    Math.abs(tips) < 0.5
      ? "The foot will tip over right under the tip of the pedal bone."
      : `The foot will tip over ${mm(tips)} ${tips > 0 ? "in front of" : "behind"} the tip of the pedal bone.`,
    ...(foot.soleMinMm > 0
      ? [`At least ${mm(foot.soleMinMm)} of sole stays under the pedal bone.`]
      : []),
    ...(foot.wedgeDegrees > 0
      ? [
          `The heels are raised by ${Math.round(foot.wedgeDegrees * 10) / 10} degrees for a limited time${foot.wedgeReason === null ? "." : `: ${sentence(inOurWords(foot.wedgeReason))}`}`,
        ]
      : []),
    shoe,
    ...(FILL[foot.supportFill] === undefined ? [] : [FILL[foot.supportFill] ?? ""]),
    ...(foot.shoe === "glue-on" || FIXING[foot.fixing] === undefined
      ? []
      : [FIXING[foot.fixing] ?? ""]),
  ];
};

const together = (feet: readonly FootPlanView["foot"][]): string => {
  const has = (...wanted: readonly FootPlanView["foot"][]) =>
    feet.length === wanted.length && wanted.every((foot) => feet.includes(foot));
  if (has("LF", "RF")) return "Both front feet";
  if (has("LH", "RH")) return "Both hind feet";
  if (has("LF", "RF", "LH", "RH")) return "All four feet";
  return feet.map((foot, at) => (at === 0 ? FOOT[foot] : FOOT[foot].toLowerCase())).join(" and ");
};

/**
 * A signed plan as an owner reads it: one line per foot, or one for feet that get the same, then what
 * must not be done and when the next visit is. It repeats the plan and adds nothing to it.
 */
export const planInPlainWords = (plan: Plan): readonly string[] => {
  const lines = new Map<string, FootPlanView["foot"][]>();
  for (const foot of plan.feet) {
    const words = footSentences(foot).join(" ");
    lines.set(words, [...(lines.get(words) ?? []), foot.foot]);
  }
  return [
    ...(plan.conditions.emergency
      ? ["This is first aid: the feet are not fully measured yet, and the plan will change."]
      : []),
    ...[...lines].map(([words, feet]) => `${together(feet)}: ${words}`),
    ...(plan.conditions.nerveBlock ? ["The vet numbs the feet first."] : []),
    ...(plan.conditions.vetPresent ? ["The vet is there while it is done."] : []),
    ...plan.doNot.map((one) => `Please not: ${sentence(inOurWords(one))}`),
    `The next visit for the feet comes within ${plan.intervalDays} days.`,
  ];
};
