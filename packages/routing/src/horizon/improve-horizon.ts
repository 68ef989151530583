import { randomStream, type RandomStream } from "../random.ts";
import type { SearchClock } from "../search-clock.ts";
import {
  bestInsertion,
  copyDraft,
  draftCost,
  emptyDraft,
  insert,
  remove,
  type HorizonDraft,
} from "./horizon-draft.ts";
import { softerModel, type HorizonModel } from "./horizon-model.ts";

/** Lateness at stake per day, the order in which the greedy plan is built. */
const urgency = (model: HorizonModel, reset: number): number =>
  model.problem.resets[reset]!.welfareWeight;

/** Puts resets in one after the other, each at its cheapest place. */
const insertInOrder = (
  model: HorizonModel,
  draft: HorizonDraft,
  order: readonly number[],
): void => {
  for (const reset of order) {
    const place = bestInsertion(model, draft, reset);
    if (place !== undefined && place.cost < model.unplacedCost[reset]!)
      insert(model, draft, reset, place.day, place.at);
  }
};

/** Puts in first what would lose most by waiting (regret). */
const insertByRegret = (
  model: HorizonModel,
  draft: HorizonDraft,
  waiting: readonly number[],
): void => {
  const left = new Set(waiting);
  const known = new Map<number, ReturnType<typeof bestInsertion>>();
  while (left.size > 0) {
    let chosen = -1;
    let most = -Infinity;
    for (const reset of left) {
      if (!known.has(reset)) known.set(reset, bestInsertion(model, draft, reset));
      const place = known.get(reset);
      if (place === undefined || place.cost >= model.unplacedCost[reset]!) continue;
      const regret = Math.min(place.second, model.unplacedCost[reset]!) - place.cost;
      if (regret > most) {
        most = regret;
        chosen = reset;
      }
    }
    if (chosen < 0) return;
    const place = known.get(chosen)!;
    insert(model, draft, chosen, place.day, place.at);
    left.delete(chosen);
    known.delete(chosen);
    // Only places on the changed day can have changed; vet visits may bind days of one date.
    const on = model.problem.days[place.day]!.on;
    for (const [reset, other] of known)
      if (
        other === undefined ||
        model.problem.days[other.day]!.on === on ||
        model.placeCost[reset * model.problem.days.length + place.day]! < other.second
      )
        known.delete(reset);
  }
};

/** First plan: fixed visits, then promises, then by urgency and due day, each at its cheapest place. */
export const greedyHorizon = (model: HorizonModel): HorizonDraft => {
  const draft = emptyDraft(model);
  const { resets } = model.problem;
  const rank = (reset: number): number =>
    resets[reset]!.fixed !== undefined ? 0 : resets[reset]!.promised !== undefined ? 1 : 2;
  const order = resets
    .map((_, reset) => reset)
    .sort(
      (a, b) =>
        rank(a) - rank(b) ||
        urgency(model, b) - urgency(model, a) ||
        (resets[a]!.dueOn < resets[b]!.dueOn
          ? -1
          : resets[a]!.dueOn > resets[b]!.dueOn
            ? 1
            : a - b),
    );
  insertInOrder(model, draft, order);
  return draft;
};

type Chooser = (draft: HorizonDraft, count: number) => number[];

/** Ways of choosing what to take out. */
const choosers = (model: HorizonModel, random: RandomStream): readonly Chooser[] => {
  const { resets, days } = model.problem;
  const all = resets.map((_, reset) => reset);
  const pickSome = (from: readonly number[], count: number): number[] => {
    const pool = [...from];
    const chosen: number[] = [];
    while (chosen.length < count && pool.length > 0) {
      const index = random.below(pool.length);
      chosen.push(pool[index]!);
      pool[index] = pool.at(-1)!;
      pool.pop();
    }
    return chosen;
  };
  const unplaced = (draft: HorizonDraft): number[] =>
    all.filter((reset) => draft.dayOf[reset]! < 0);
  const near: Chooser = (draft, count) => {
    const seed = random.below(resets.length);
    const score = (other: number): number => {
      const day = draft.dayOf[other]!;
      const apart = model.seconds[model.placeOf[seed]! * model.places + model.placeOf[other]!]!;
      const sameDay = day >= 0 && day === draft.dayOf[seed] ? -600 : 0;
      return apart + sameDay + 1200 * random.next();
    };
    const scored = all.map((reset) => [score(reset), reset] as const);
    return scored
      .sort((a, b) => a[0] - b[0] || a[1] - b[1])
      .slice(0, count)
      .map(([, reset]) => reset);
  };
  const wholeDays: Chooser = (draft, count) => {
    const used = days.map((_, day) => day).filter((day) => draft.rows[day]!.length > 0);
    const chosen: number[] = [];
    while (chosen.length < count && used.length > 0) {
      const index = random.below(used.length);
      chosen.push(...draft.rows[used[index]!]!);
      used.splice(index, 1);
    }
    return chosen;
  };
  const costly: Chooser = (draft, count) => {
    const detour = (reset: number): number => {
      const day = draft.dayOf[reset]!;
      if (day < 0) return Infinity;
      const row = draft.rows[day]!;
      const at = row.indexOf(reset);
      const before = at === 0 ? model.startOf[day]! : model.placeOf[row[at - 1]!]!;
      const after = at === row.length - 1 ? model.endOf[day]! : model.placeOf[row[at + 1]!]!;
      const here = model.placeOf[reset]!;
      const saved =
        model.seconds[before * model.places + here]! +
        model.seconds[here * model.places + after]! -
        model.seconds[before * model.places + after]!;
      return saved + model.placeCost[reset * days.length + day]!;
    };
    const ranked = all
      .map((reset) => [detour(reset), reset] as const)
      .sort((a, b) => b[0] - a[0] || a[1] - b[1]);
    const chosen: number[] = [];
    while (chosen.length < count && ranked.length > 0) {
      const index = Math.floor(random.next() ** 4 * ranked.length);
      chosen.push(ranked[index]![1]);
      ranked.splice(index, 1);
    }
    return chosen;
  };
  /** A late or unplaced reset, and what stands in its way on the days it could have had. */
  const makeRoom: Chooser = (draft, count) => {
    const late = all.filter((reset) => {
      const day = draft.dayOf[reset]!;
      return day < 0 || model.lateDays[reset * days.length + day]! > 0;
    });
    if (late.length === 0) return near(draft, count);
    const seed = late[random.below(late.length)]!;
    const rivals: number[] = [];
    for (const day of model.choices[seed]!.slice(0, 6)) rivals.push(...draft.rows[day]!);
    return [
      seed,
      ...pickSome(
        rivals.filter((reset) => reset !== seed),
        count - 1,
      ),
    ];
  };
  return [
    (draft, count) => [...pickSome(all, count), ...unplaced(draft)],
    near,
    wholeDays,
    costly,
    makeRoom,
  ];
};

// Found on invented months of several sizes and seeds (packages/routing/bench); they change how soon
// a good plan is found, never what is allowed.
const HOT_SECONDS = 8000;
const COLD_SECONDS = 100;
/** What the search pays for a late point, so that it can trade lateness of one day for another's. */
const POINT_SECONDS = 20_000;
/** Resets taken out at once at most. */
const MOST_OUT = 25;

/**
 * Adaptive large neighbourhood search: take a few dozen resets out, put them back better, and learn
 * which ways of taking out pay.
 * source: Ropke & Pisinger 2006, Transportation Science 40(4):455–472.
 */
export const improveHorizon = (
  full: HorizonModel,
  start: HorizonDraft,
  seed: number,
  rounds: number,
  clock: SearchClock,
  onRound: (round: number, best: HorizonDraft, share: number) => void,
): { readonly best: HorizonDraft; readonly finished: boolean } => {
  const model = softerModel(full, POINT_SECONDS);
  const random = randomStream(seed);
  const ways = choosers(model, random);
  const merit = ways.map(() => 1);
  const total = model.problem.resets.length;
  let best = start;
  let bestCost = draftCost(full, start);
  let here = start;
  let hereCost = draftCost(model, start);
  if (total === 0) return { best, finished: true };
  const most = Math.max(1, Math.min(MOST_OUT, Math.ceil(total * 0.3)));
  for (let round = 0; round < rounds; round++) {
    if (clock.isOver()) return { best, finished: false };
    const share = Math.max(round / rounds, clock.share());
    const heat = HOT_SECONDS * (COLD_SECONDS / HOT_SECONDS) ** share;
    let ticket = random.next() * merit.reduce((sum, value) => sum + value, 0);
    let way = 0;
    while (way < ways.length - 1 && (ticket -= merit[way]!) > 0) way++;
    const draft = copyDraft(here);
    const count = 1 + random.below(most);
    const chosen = [...new Set(ways[way]!(draft, count))];
    const gone = remove(model, draft, chosen);
    // What stayed unplaced gets a chance every round.
    const waiting = [
      ...new Set([...gone, ...model.problem.resets.keys()].filter((r) => draft.dayOf[r]! < 0)),
    ];
    if (random.next() < 0.5) insertByRegret(model, draft, waiting);
    else {
      const keyed = waiting.map(
        (reset) => [urgency(model, reset) * (0.5 + random.next()), reset] as const,
      );
      keyed.sort((a, b) => b[0] - a[0] || a[1] - b[1]);
      insertInOrder(
        model,
        draft,
        keyed.map(([, reset]) => reset),
      );
    }
    const cost = draftCost(model, draft);
    let reward = 0;
    const fullCost = draftCost(full, draft);
    if (fullCost < bestCost - 1e-6) {
      best = draft;
      bestCost = fullCost;
      reward = 3;
    } else if (cost < hereCost - 1e-6) reward = 1;
    if (cost < hereCost || random.next() < Math.exp((hereCost - cost) / heat)) {
      here = draft;
      hereCost = cost;
    }
    merit[way] = Math.max(0.1, 0.97 * merit[way]! + 0.03 * reward * 4);
    if (round % 50 === 0) onRound(round, best, share);
  }
  return { best, finished: true };
};
