import type { TourPause, TourView } from "./tour-view.ts";

/** Input of {@link prepareTour}; matrices are `(size + 2)²`, stops first, then source, then sink. */
export interface TourInput {
  readonly size: number;
  readonly cost: Float64Array;
  readonly travel: Float64Array;
  /** Work at each stop, same unit as `travel`. */
  readonly service: Float64Array;
  readonly open: Float64Array;
  readonly close: Float64Array;
  readonly pause: TourPause | undefined;
  /** Pairs `[first, later]` of stops. */
  readonly precedence: readonly (readonly [number, number])[];
  readonly group: Int32Array;
}

/** Either a view ready to solve, or the one or two stops that can never be met. */
export type PreparedTour =
  | { readonly ok: true; readonly view: TourView }
  | { readonly ok: false; readonly stops: readonly number[] };

/** Shortest times with any number of stops in between (Floyd–Warshall; only stops as way points). */
const shortestTimes = (time: Float64Array, size: number, width: number): Float64Array => {
  const shortest = Float64Array.from(time);
  for (let via = 0; via < size; via++)
    for (let from = 0; from < width; from++) {
      const head = shortest[from * width + via]!;
      if (head === Infinity) continue;
      for (let to = 0; to < width; to++) {
        const through = head + shortest[via * width + to]!;
        if (through < shortest[from * width + to]!) shortest[from * width + to] = through;
      }
    }
  return shortest;
};

const closeUnderTransitivity = (before: Uint8Array, size: number): void => {
  for (let via = 0; via < size; via++)
    for (let first = 0; first < size; first++) {
      if (before[first * size + via] === 0) continue;
      for (let later = 0; later < size; later++)
        if (before[via * size + later] === 1) before[first * size + later] = 1;
    }
};

/** Arcs that no feasible tour can use. */
const findAllowedArcs = (
  input: TourInput,
  before: Uint8Array,
  time: Float64Array,
  open: Float64Array,
  close: Float64Array,
): Uint8Array => {
  const { size, group } = input;
  const width = size + 2;
  const [source, sink] = [size, size + 1];
  const allowed = new Uint8Array(width * width);
  const hasBefore = new Uint8Array(size);
  const hasAfter = new Uint8Array(size);
  for (let a = 0; a < size; a++)
    for (let b = 0; b < size; b++)
      if (before[a * size + b] === 1) {
        hasAfter[a] = 1;
        hasBefore[b] = 1;
      }
  const isBetween = (from: number, to: number): boolean => {
    for (let via = 0; via < size; via++)
      if (before[from * size + via] === 1 && before[via * size + to] === 1) return true;
    return false;
  };
  for (let from = 0; from < size; from++)
    for (let to = 0; to < size; to++) {
      if (from === to || before[to * size + from] === 1) continue;
      if (open[from]! + time[from * width + to]! > close[to]!) continue;
      if (before[from * size + to] === 1 && isBetween(from, to)) continue;
      // A group is left only when it is finished, so nothing of the group may still have to follow.
      if (group[from]! >= 0 && group[from] !== group[to]) {
        let follows = false;
        for (let other = 0; other < size; other++)
          follows ||= group[other] === group[from] && before[from * size + other] === 1;
        if (follows) continue;
      }
      allowed[from * width + to] = 1;
    }
  for (let stop = 0; stop < size; stop++) {
    if (hasBefore[stop] === 0 && open[source]! + time[source * width + stop]! <= close[stop]!)
      allowed[source * width + stop] = 1;
    if (hasAfter[stop] === 0 && open[stop]! + time[stop * width + sink]! <= close[sink]!)
      allowed[stop * width + sink] = 1;
  }
  return allowed;
};

/** Narrows windows to what some allowed arc can reach. Returns false when nothing changed. */
const narrowWindows = (
  size: number,
  allowed: Uint8Array,
  time: Float64Array,
  open: Float64Array,
  close: Float64Array,
): boolean => {
  const width = size + 2;
  let changed = false;
  for (let stop = 0; stop < size; stop++) {
    let earliest = Infinity;
    let latest = -Infinity;
    for (let other = 0; other < width; other++) {
      if (allowed[other * width + stop] === 1)
        earliest = Math.min(earliest, open[other]! + time[other * width + stop]!);
      if (allowed[stop * width + other] === 1)
        latest = Math.max(latest, close[other]! - time[stop * width + other]!);
    }
    if (earliest > open[stop]!) {
      open[stop] = earliest;
      changed = true;
    }
    if (latest < close[stop]!) {
      close[stop] = latest;
      changed = true;
    }
  }
  return changed;
};

/**
 * Narrows the windows, derives which stop must precede which, and drops arcs that no feasible tour
 * can use, until nothing changes.
 *
 * source: the reductions of Dumas, Desrosiers, Gélinas & Solomon 1995, Operations Research 43(2).
 */
export const prepareTour = (input: TourInput): PreparedTour => {
  const { size, travel, service, pause } = input;
  const width = size + 2;
  const [source, sink] = [size, size + 1];
  const time = new Float64Array(width * width);
  for (let from = 0; from < width; from++)
    for (let to = 0; to < width; to++)
      time[from * width + to] = (service[from] ?? 0) + travel[from * width + to]!;
  const open = Float64Array.from(input.open);
  const close = Float64Array.from(input.close);
  const shortest = shortestTimes(time, size, width);
  for (let stop = 0; stop < size; stop++) {
    open[stop] = Math.max(open[stop]!, open[source]! + shortest[source * width + stop]!);
    close[stop] = Math.min(close[stop]!, close[sink]! - shortest[stop * width + sink]!);
    if (open[stop]! > close[stop]!) return { ok: false, stops: [stop] };
  }
  if (size === 0 && open[source]! + time[source * width + sink]! > close[sink]!)
    return { ok: false, stops: [] };
  const before = new Uint8Array(size * size);
  for (const [first, later] of input.precedence) before[first * size + later] = 1;
  let allowed: Uint8Array = new Uint8Array(width * width);
  for (let changed = true; changed;) {
    for (let a = 0; a < size; a++)
      for (let b = 0; b < size; b++)
        if (a !== b && open[b]! + shortest[b * width + a]! > close[a]!) before[a * size + b] = 1;
    closeUnderTransitivity(before, size);
    for (let a = 0; a < size; a++)
      for (let b = a; b < size; b++)
        if (before[a * size + b] === 1 && before[b * size + a] === 1)
          return { ok: false, stops: a === b ? [a] : [a, b] };
    allowed = findAllowedArcs(input, before, time, open, close);
    changed = narrowWindows(size, allowed, time, open, close);
    for (let stop = 0; stop < size; stop++)
      if (open[stop]! > close[stop]!) return { ok: false, stops: [stop] };
  }
  const firstPosition = new Int32Array(size).fill(1);
  const lastPosition = new Int32Array(size).fill(size);
  for (let a = 0; a < size; a++)
    for (let b = 0; b < size; b++)
      if (before[a * size + b] === 1) {
        firstPosition[b] = firstPosition[b]! + 1;
        lastPosition[a] = lastPosition[a]! - 1;
      }
  const pauseAtLeaving = new Float64Array(width * width);
  for (let from = 0; from < width; from++)
    pauseAtLeaving.fill(service[from] ?? 0, from * width, (from + 1) * width);
  return {
    ok: true,
    view: {
      size,
      width,
      source,
      sink,
      cost: input.cost,
      time,
      pauseAtLeaving,
      pauseAtArriving: time,
      open,
      close,
      pause,
      sourceTime: open[source]!,
      sourcePausedTime: Infinity,
      sinkUnpausedUntil: pause === undefined ? -Infinity : pause.until,
      allowed,
      before,
      firstPosition,
      lastPosition,
      group: input.group,
    },
  };
};
