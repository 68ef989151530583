import { dayText, type InstantMs, type LocalDate } from "../time/index.ts";

export const CONTACT_ANSWERS = ["yes", "no", "call me", "unclear"] as const;
export type ContactAnswer = (typeof CONTACT_ANSWERS)[number];

const ANSWER_WORDS: readonly (readonly [ContactAnswer, RegExp])[] = [
  ["call me", /\b(call|ring|phone)\b/],
  ["no", /\b(no|not|cannot|can't|can t|won't|cancel|nope)\b/],
  ["yes", /^(y|yes|yeah|yep|ok|okay|fine|confirmed?|sure|thumbs up|👍)\b|^👍/u],
];

/**
 * What an owner's text message means for the board. Anything that is not plainly yes, no or "call
 * me" is unclear and stays with a person; "yes but not Friday" is not a yes.
 */
export const readOwnerAnswer = (message: string): ContactAnswer => {
  const text = message.trim().toLowerCase().replaceAll("’", "'");
  return ANSWER_WORDS.find(([, pattern]) => pattern.test(text))?.[0] ?? "unclear";
};

/** One try to reach somebody. */
export interface ContactTry {
  readonly on: LocalDate;
  readonly atMs: InstantMs;
  readonly by: "text" | "call" | "mail" | "in person";
  readonly answer?: ContactAnswer;
}

export interface ContactSummary {
  /** Tries since the last answer. */
  readonly unanswered: readonly ContactTry[];
  readonly lastAnswer?: ContactAnswer;
  /** One line for an alert; absent when nothing waits for an answer. */
  readonly line?: string;
}

/** What was tried and what came back, for the alert of a late reset. */
export const summariseContacts = (tries: readonly ContactTry[]): ContactSummary => {
  const inOrder = tries.toSorted((left, right) => left.atMs - right.atMs);
  const lastAnswered = inOrder.findLastIndex((one) => one.answer !== undefined);
  const unanswered = inOrder.slice(lastAnswered + 1);
  const lastAnswer = inOrder[lastAnswered]?.answer;
  const days = unanswered.map((one) => `${one.by} ${dayText(one.on)}`).join(", ");
  return {
    unanswered,
    ...(lastAnswer === undefined ? {} : { lastAnswer }),
    ...(unanswered.length === 0
      ? {}
      : {
          line: `${String(unanswered.length)} unanswered ${unanswered.length === 1 ? "try" : "tries"}: ${days}`,
        }),
  };
};
