import type { HorizonModel } from "./horizon-model.ts";

/** Seconds of a farrier's day that can be spent on horses at most. */
const workSeconds = (model: HorizonModel, day: number): number => {
  const farrierDay = model.problem.days[day]!;
  const { places, seconds } = model;
  let nearest = Infinity;
  const yards = new Set(model.placeOf);
  for (const yard of yards)
    nearest = Math.min(
      nearest,
      seconds[model.startOf[day]! * places + yard]! + seconds[yard * places + model.endOf[day]!]!,
    );
  return Math.max(0, (farrierDay.endMs - farrierDay.startMs) / 1000 - nearest);
};

/**
 * Fewest late points any plan can have: resets may be cut into pieces and spread over days, days only
 * have so many working seconds, driving between yards is free. A transportation problem, solved
 * exactly by successive shortest paths with potentials.
 * source: Ahuja, Magnanti & Orlin 1993, Network Flows, section 9.7.
 */
export const latenessBound = (model: HorizonModel): number => {
  const { resets, days } = model.problem;
  const dayCount = days.length;
  // The last column takes what stays unplaced.
  const columns = dayCount + 1;
  const room = Float64Array.from({ length: columns }, (_, day) =>
    day < dayCount ? workSeconds(model, day) : Infinity,
  );
  const cost = new Float64Array(resets.length * columns).fill(Infinity);
  const need = new Float64Array(resets.length);
  let points = 0;
  resets.forEach((reset, r) => {
    need[r] = reset.serviceMinutes * 60;
    let least = model.unplacedDays[r]! * reset.welfareWeight;
    const whole = Math.max(need[r]!, 1e-9);
    cost[r * columns + dayCount] = least / whole;
    for (const day of model.choices[r]!) {
      const late = model.lateDays[r * dayCount + day]! * reset.welfareWeight;
      least = Math.min(least, late);
      cost[r * columns + day] = late / whole;
    }
    if (need[r] === 0) points += least;
  });
  const flow = new Float64Array(resets.length * columns);
  const distance = new Float64Array(columns);
  const done = new Uint8Array(columns);
  const fromReset = new Int32Array(columns);
  const fromColumn = new Int32Array(columns);
  const priceColumn = new Float64Array(columns);
  const priceReset = new Float64Array(resets.length);
  const holders: number[][] = Array.from({ length: columns }, () => []);
  for (let r = 0; r < resets.length; r++) {
    while (need[r]! > 1e-6) {
      // Dijkstra over columns; one step goes back from a full column to a reset in it, and on.
      done.fill(0);
      fromColumn.fill(-1);
      for (let column = 0; column < columns; column++) {
        distance[column] = cost[r * columns + column]! - priceColumn[column]!;
        fromReset[column] = r;
      }
      let target = -1;
      for (;;) {
        let next = -1;
        for (let column = 0; column < columns; column++)
          if (done[column] === 0 && (next < 0 || distance[column]! < distance[next]!))
            next = column;
        if (next < 0 || distance[next] === Infinity) break;
        done[next] = 1;
        if (room[next]! > 1e-6) {
          target = next;
          break;
        }
        for (const other of holders[next]!) {
          if (flow[other * columns + next]! <= 1e-6) continue;
          const back = distance[next]! + priceColumn[next]! - cost[other * columns + next]!;
          for (let column = 0; column < columns; column++) {
            if (done[column] === 1) continue;
            const through = back + cost[other * columns + column]! - priceColumn[column]!;
            if (through < distance[column]! - 1e-12) {
              distance[column] = through;
              fromReset[column] = other;
              fromColumn[column] = next;
            }
          }
        }
      }
      if (target < 0) return points;
      const reach = distance[target]!;
      for (let column = 0; column < columns; column++)
        if (done[column] === 1) priceColumn[column]! += distance[column]! - reach;
      priceReset[r] = reach;
      let amount = Math.min(need[r]!, room[target]!);
      for (let column = target; fromColumn[column]! >= 0; column = fromColumn[column]!)
        amount = Math.min(amount, flow[fromReset[column]! * columns + fromColumn[column]!]!);
      room[target]! -= amount;
      for (let column = target; column >= 0;) {
        const via = fromReset[column]!;
        flow[via * columns + column]! += amount;
        if (!holders[column]!.includes(via)) holders[column]!.push(via);
        const previous = fromColumn[column]!;
        if (previous >= 0) flow[via * columns + previous]! -= amount;
        column = previous;
      }
      need[r]! -= amount;
    }
  }
  for (let at = 0; at < flow.length; at++) if (flow[at]! > 1e-9) points += flow[at]! * cost[at]!;
  return Math.max(0, points - 1e-6);
};

/**
 * Least driving of any plan that places these resets: every yard is entered at least once from
 * somewhere else, and there are at least as many ways home as days the work fills.
 */
export const driveBound = (model: HorizonModel, placed: readonly number[]): number => {
  const { places, seconds, problem } = model;
  if (placed.length === 0 || problem.days.length === 0) return 0;
  const yards = new Set(placed.map((reset) => model.placeOf[reset]!));
  const origins = new Set([...yards, ...model.startOf]);
  let total = 0;
  let home = Infinity;
  for (const yard of yards) {
    let least = Infinity;
    for (const from of origins)
      if (from !== yard) least = Math.min(least, seconds[from * places + yard]!);
    if (model.startOf.includes(yard)) least = 0;
    total += least === Infinity ? 0 : least;
    for (const end of model.endOf) home = Math.min(home, seconds[yard * places + end]!);
  }
  const work = placed.reduce((sum, reset) => sum + model.serviceMs[reset]! / 1000, 0);
  const longest = Math.max(...problem.days.map((_, day) => workSeconds(model, day)));
  return total + home * Math.max(1, Math.ceil(work / Math.max(1, longest) - 1e-9));
};
