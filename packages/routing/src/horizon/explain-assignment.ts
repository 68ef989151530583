import { rowFits, vetTaken, type HorizonDraft } from "./horizon-draft.ts";
import type { HorizonModel, Obstacle } from "./horizon-model.ts";

/** What stands between a reset and one farrier's day in this plan; undefined: it would fit. */
const obstacleOn = (
  model: HorizonModel,
  draft: HorizonDraft,
  reset: number,
  day: number,
): Obstacle | undefined => {
  const slot = model.slots[reset * model.problem.days.length + day]!;
  if (typeof slot === "string") return slot;
  if (vetTaken(model, draft, reset, day)) return "no vet";
  const row = draft.rows[day]!.filter((other) => other !== reset);
  for (let at = 0; at <= row.length; at++)
    if (rowFits(model, day, row, reset, at)) return undefined;
  return "day full";
};

const REMEDY: Readonly<Record<Obstacle, string>> = {
  "fixed elsewhere": "release the fixed visit",
  "other farrier": "let another farrier take this horse",
  skill: "a farrier with the skill on more days",
  "too early": "allow an earlier visit",
  "past the ceiling": "a vet's signed reason to go past the ceiling, or an extra day before it",
  "yard closed": "the yard opens on one more day",
  "no helper": "somebody to hold the horse on one more day",
  "no vet": "a vet's visit to the yard on one more day",
  "window too short": "longer opening hours, or a longer vet's visit",
  "day full": "more working time before then, or a less urgent horse moved",
};

interface Tally {
  readonly obstacle: Obstacle;
  readonly days: number;
}

const tally = (
  model: HorizonModel,
  draft: HorizonDraft,
  reset: number,
  days: readonly number[],
): readonly Tally[] => {
  const counts = new Map<Obstacle, number>();
  for (const day of days) {
    const obstacle = obstacleOn(model, draft, reset, day);
    if (obstacle !== undefined) counts.set(obstacle, (counts.get(obstacle) ?? 0) + 1);
  }
  return [...counts]
    .map(([obstacle, count]) => ({ obstacle, days: count }))
    .sort((a, b) => b.days - a.days || (a.obstacle < b.obstacle ? -1 : 1));
};

const inWords = (tallies: readonly Tally[]): string =>
  tallies
    .map(({ obstacle, days }) => `${obstacle} (${days} farrier ${days === 1 ? "day" : "days"})`)
    .join(", ");

/** Obstacles nobody would remove to serve a horse sooner come last. */
const remedyFor = (tallies: readonly Tally[]): string => {
  const open = tallies.filter(
    ({ obstacle }) => obstacle !== "too early" && obstacle !== "fixed elsewhere",
  );
  return REMEDY[(open[0] ?? tallies[0])?.obstacle ?? "day full"];
};

const minutes = (seconds: number): string => `${Math.round(seconds / 60)} min`;

/** Why a placed reset is where it is, and what would make it better. */
export const explainPlaced = (
  model: HorizonModel,
  draft: HorizonDraft,
  reset: number,
): { readonly why: string; readonly wouldImprove?: string } => {
  const { days, resets } = model.problem;
  const item = resets[reset]!;
  const day = draft.dayOf[reset]!;
  const here = days[day]!;
  const late = model.lateDays[reset * days.length + day]!;
  const row = draft.rows[day]!;
  const sameYard = row.filter(
    (other) => other !== reset && model.placeOf[other] === model.placeOf[reset],
  ).length;
  const at = row.indexOf(reset);
  const before = at === 0 ? model.startOf[day]! : model.placeOf[row[at - 1]!]!;
  const after = at === row.length - 1 ? model.endOf[day]! : model.placeOf[row[at + 1]!]!;
  const own = model.placeOf[reset]!;
  const detour =
    model.seconds[before * model.places + own]! +
    model.seconds[own * model.places + after]! -
    (row.length === 1 ? 0 : model.seconds[before * model.places + after]!);
  const company =
    sameYard > 0
      ? `with ${sameYard} other ${sameYard === 1 ? "horse" : "horses"} at the same yard`
      : `adds ${minutes(Math.max(0, detour))} of driving`;
  if (item.fixed !== undefined) return { why: `fixed for ${here.on} with ${here.farrierId}` };
  const kept =
    item.promised?.on === here.on && item.promised.farrierId === here.farrierId
      ? "keeps what was promised; "
      : item.promised === undefined
        ? ""
        : `moved from ${item.promised.on} with ${item.promised.farrierId}; `;
  if (late === 0) return { why: `${kept}on or before the due day ${item.dueOn}; ${company}` };
  const sooner = days
    .map((_, index) => index)
    .filter((index) => days[index]!.on < here.on && days[index]!.on >= item.earliestOn);
  const tallies = tally(model, draft, reset, sooner);
  const stopped =
    sooner.length === 0
      ? "the first day of the plan"
      : tallies.length === 0
        ? "an earlier day would cost a more urgent horse"
        : `earlier days fail on ${inWords(tallies)}`;
  return {
    why: `${kept}${late} ${late === 1 ? "day" : "days"} after the due day ${item.dueOn}: ${stopped}; ${company}`,
    ...(sooner.length === 0 ? {} : { wouldImprove: remedyFor(tallies) }),
  };
};

/** Why a reset found no place, and what would give it one. */
export const explainUnplaced = (
  model: HorizonModel,
  draft: HorizonDraft,
  reset: number,
): { readonly why: string; readonly wouldImprove: string } => {
  const { days } = model.problem;
  const tallies = tally(
    model,
    draft,
    reset,
    days.map((_, day) => day),
  );
  return {
    why:
      tallies.length === 0
        ? "not placed before the search was stopped"
        : `no day works: ${inWords(tallies)}`,
    wouldImprove: tallies.length === 0 ? "a longer search" : remedyFor(tallies),
  };
};
