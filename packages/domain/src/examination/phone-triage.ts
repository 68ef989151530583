import type { Finding, Source } from "../evidence/index.ts";
import { AFTERBIRTH_HOURS } from "./red-flags.ts";
import { AFTERBIRTH, EMERGENCY, RED_FLAG_LIST, SUPPORT_LIMB } from "./sources.ts";

/** Answers to the first telephone call. Left out: not asked yet or not known. */
export interface PhoneAnswers {
  readonly canStand?: boolean;
  readonly willMove?: "freely" | "stiffly" | "only when forced" | "not at all";
  readonly canLiftFrontFoot?: "easily" | "with difficulty" | "no";
  readonly shiftsWeight?: boolean;
  readonly leansBack?: boolean;
  readonly feetWarm?: boolean;
  readonly pulsesStrong?: boolean;
  readonly allFourFeetSore?: boolean;
  readonly suddenThreeLeggedLameness?: boolean;
  readonly grainBreakIn?: boolean;
  readonly hoursSinceFoalingWithoutAfterbirth?: number;
  readonly steroidLately?: boolean;
  readonly otherLegInjured?: boolean;
  readonly knownInsulinTroubleOrPpid?: boolean;
  readonly colicDiarrhoeaOrOffFood?: boolean;
  readonly medicineAlreadyGiven?: string;
}

/** The order in which to ask; the first answer may end the questions. */
export const PHONE_QUESTIONS: readonly {
  readonly key: keyof PhoneAnswers;
  readonly ask: string;
}[] = [
  { key: "canStand", ask: "Is the horse on its feet, or can it get up?" },
  { key: "willMove", ask: "Will it move? Do not make it walk to find out." },
  { key: "suddenThreeLeggedLameness", ask: "Is it suddenly on three legs?" },
  { key: "canLiftFrontFoot", ask: "Can you lift a front foot? Leave it if the horse objects." },
  { key: "allFourFeetSore", ask: "Are all four feet sore?" },
  { key: "colicDiarrhoeaOrOffFood", ask: "Any colic, loose dung, or not eating?" },
  { key: "grainBreakIn", ask: "Has it been in the feed store, or on rich grass?" },
  {
    key: "hoursSinceFoalingWithoutAfterbirth",
    ask: "Has it foaled? When did the afterbirth come?",
  },
  { key: "otherLegInjured", ask: "Is another leg injured, bandaged or in a cast?" },
  { key: "steroidLately", ask: "Any steroid, also into a joint, in the last weeks?" },
  { key: "shiftsWeight", ask: "Does it shift its weight from foot to foot?" },
  { key: "leansBack", ask: "Does it stand leaning back on its heels?" },
  { key: "feetWarm", ask: "Are the feet warm?" },
  { key: "pulsesStrong", ask: "Is the pulse over the fetlock strong?" },
  { key: "knownInsulinTroubleOrPpid", ask: "Has it insulin trouble or the old-age gland disease?" },
  {
    key: "medicineAlreadyGiven",
    ask: "Has it had any medicine today? Which, how much, when? Give nothing more.",
  },
];

export type TriageUrgency = "vet now" | "vet today" | "ask on";

export interface Triage {
  readonly urgency: TriageUrgency;
  /** Deciding findings, most urgent first. */
  readonly findings: readonly Finding[];
  /** Next question to ask; absent once the vet must be rung now. */
  readonly nextQuestion?: string;
  /** Whether the yard's first-aid sheet should go out with the call. */
  readonly sendFirstAidSheet: boolean;
}

const now = (rule: string, detail: string, source: Source = RED_FLAG_LIST): Finding => ({
  rule: `examination/call-now-${rule}@1`,
  outcome: "warn",
  detail,
  source,
});

const urgentFindings = (answers: PhoneAnswers): readonly Finding[] => {
  const found: Finding[] = [];
  if (answers.canStand === false) found.push(now("cannot-get-up", "It cannot get up: vet now."));
  if (answers.suddenThreeLeggedLameness === true)
    found.push(now("three-legs", "Suddenly on three legs: vet now."));
  if (answers.willMove === "not at all" || answers.willMove === "only when forced")
    found.push(now("will-not-move", "It moves only when forced: vet now. Do not walk it."));
  if (answers.canLiftFrontFoot === "no")
    found.push(now("cannot-lift", "It cannot lift a front foot: vet now."));
  if (answers.allFourFeetSore === true)
    found.push(now("four-feet", "All four feet sore: vet now."));
  if (answers.colicDiarrhoeaOrOffFood === true)
    found.push(now("ill", "Ill as well as sore, or off food: vet now."));
  if (answers.grainBreakIn === true)
    found.push(now("grain", "A feed break-in needs the vet now, even with a happy horse."));
  const hours = answers.hoursSinceFoalingWithoutAfterbirth;
  if (hours !== undefined && hours >= AFTERBIRTH_HOURS)
    found.push(
      now(
        "afterbirth",
        `Afterbirth not passed ${String(hours)} h after foaling: vet now.`,
        AFTERBIRTH,
      ),
    );
  if (
    answers.otherLegInjured === true &&
    (answers.shiftsWeight === true || answers.feetWarm === true)
  )
    found.push(now("support-limb", "The good leg is now sore: vet now.", SUPPORT_LIMB));
  return found;
};

const suspected = (answers: PhoneAnswers): boolean =>
  answers.shiftsWeight === true ||
  answers.leansBack === true ||
  answers.feetWarm === true ||
  answers.pulsesStrong === true ||
  answers.willMove === "stiffly" ||
  answers.canLiftFrontFoot === "with difficulty" ||
  answers.steroidLately === true;

/**
 * How fast a vet is needed, from whatever has been answered so far. "Cannot get up" decides alone,
 * before any other answer. Any sign of laminitis is at least "vet today": it is an emergency on a
 * par with colic. The answer is never "no vet needed".
 */
export const phoneCallTriage = (answers: PhoneAnswers): Triage => {
  const urgent = urgentFindings(answers);
  if (urgent.length > 0) return { urgency: "vet now", findings: urgent, sendFirstAidSheet: true };
  const next = PHONE_QUESTIONS.find((question) => answers[question.key] === undefined)?.ask;
  const rest = next === undefined ? {} : { nextQuestion: next };
  if (suspected(answers) || next === undefined)
    return {
      urgency: "vet today",
      findings: [
        {
          rule: "examination/call-today@1",
          outcome: "warn",
          detail: "Suspected laminitis is an emergency like colic: the vet sees the horse today.",
          source: EMERGENCY,
        },
      ],
      sendFirstAidSheet: true,
      ...rest,
    };
  return { urgency: "ask on", findings: [], sendFirstAidSheet: false, ...rest };
};
