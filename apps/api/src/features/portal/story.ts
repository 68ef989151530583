import type { OwnHorse } from "./store.ts";

/** True when nothing is under way any more: a quiet page, without reminders. */
export const isQuiet = (horse: OwnHorse): boolean =>
  horse.status === "died" || (horse.openCaseId === null && horse.closedCaseId !== null);

const hasDied = (horse: OwnHorse): boolean =>
  horse.status === "died" ||
  (horse.openCaseId === null &&
    (horse.closeReason === "welfare decision" || horse.closeReason === "died"));

const PHASE: Readonly<Record<string, (name: string) => string>> = {
  acute: (name) => `${name} is in the first, painful days. Somebody looks every day.`,
  subacute: (name) => `${name} is past the first days. We go on step by step.`,
  "chronic active": (name) => `The feet of ${name} are being put right, visit by visit.`,
  maintenance: (name) => `${name} is on a steady rhythm of trims and checks.`,
};

/** One calm sentence that says where things stand. */
export const headline = (horse: OwnHorse): string => {
  if (hasDied(horse)) return `We are sorry about ${horse.name}.`;
  if (isQuiet(horse)) return `The case of ${horse.name} is closed.`;
  if (horse.phase === null) return `Nothing is open for ${horse.name}.`;
  return PHASE[horse.phase]?.(horse.name) ?? `${horse.name} is in our care.`;
};

/** What stands on the page of a horse whose case is closed. */
export const quietWords = (horse: OwnHorse): readonly string[] =>
  hasDied(horse)
    ? [
        "Nothing more will be sent from here.",
        "If you would like to talk, or would like a copy of the records, ring us whenever it suits you.",
      ]
    : [
        "There is nothing to do on this page. No reminders are sent while the case is closed.",
        "Ring us at once if the feet trouble you again; do not wait for a date.",
      ];

const longDay = (day: string): string =>
  new Intl.DateTimeFormat("en-GB", {
    timeZone: "UTC",
    day: "numeric",
    month: "long",
    year: "numeric",
  }).format(new Date(`${day}T00:00:00Z`));

const comfortWords = (comfort: readonly { readonly on: string; readonly score: number }[]) => {
  const latest = comfort.at(-1);
  if (latest === undefined) return [];
  const before = comfort.at(-2);
  const said = `On ${longDay(latest.on)} the five signs of pain came to ${latest.score} of 12; lower is more comfortable.`;
  if (before === undefined) return [said];
  const step = latest.score - before.score;
  return [
    step === 0
      ? `${said} The time before it was the same.`
      : `${said} The time before it was ${before.score}.${step >= 2 ? " If you have not spoken with us since, please ring." : ""}`,
  ];
};

/** A few sentences on what is going on and why. */
export const paragraphs = (
  horse: OwnHorse,
  comfort: readonly { readonly on: string; readonly score: number }[],
  isPlanBeingSettled: boolean,
): readonly string[] =>
  horse.openCaseId === null
    ? []
    : [
        "In laminitis the bond between the hoof wall and the pedal bone, the bone inside the hoof, is weakened. Standing hurts. That is why the weight is taken off the toe and carried by the back of the foot.",
        ...comfortWords(comfort),
        ...(isPlanBeingSettled
          ? ["The vet and the farrier are settling the next step for the feet together."]
          : []),
      ];

/** What nobody can say yet, said openly. */
export const notKnownYet = (
  horse: OwnHorse,
  facts: { readonly hasFilms: boolean; readonly hasRecentWeight: boolean },
): readonly string[] =>
  horse.openCaseId === null
    ? []
    : [
        ...(facts.hasFilms
          ? []
          : ["Whether the pedal bone has moved: no X-ray pictures have been taken yet."]),
        ...(horse.hasCause ? [] : ["What set it off: the vet is still looking."]),
        ...(facts.hasRecentWeight
          ? []
          : ["What your horse weighs now: the last weighing is more than 30 days old."]),
        // Toe horn takes eleven to thirteen months from hairline to ground. Source: Lungwitz & Adams, A Text-Book of Horseshoeing.
        "How long it will take: a new toe needs about a year to grow down, and every horse goes its own way.",
      ];
