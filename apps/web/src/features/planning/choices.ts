import type { PlanChoice } from "./queries.ts";

/** Whose day a choice falls on. */
export interface FarrierDay {
  readonly key: string;
  readonly on: string;
  readonly farrier: PlanChoice["farrier"];
  readonly choices: readonly PlanChoice[];
}

/** The plan as days of farriers, by date, then farrier, then time. */
export const daysOf = (choices: readonly PlanChoice[]): readonly FarrierDay[] => {
  const keys = new Map<string, PlanChoice[]>();
  for (const choice of choices) {
    const key = `${choice.on} ${choice.farrier.name} ${choice.farrier.id}`;
    const found = keys.get(key);
    if (found === undefined) keys.set(key, [choice]);
    else found.push(choice);
  }
  return [...keys]
    .toSorted(([a], [b]) => a.localeCompare(b))
    .flatMap(([key, found]) => {
      const ordered = found.toSorted((a, b) => a.startAt.localeCompare(b.startAt));
      const [first] = ordered;
      return first === undefined
        ? []
        : [{ key, on: first.on, farrier: first.farrier, choices: ordered }];
    });
};
