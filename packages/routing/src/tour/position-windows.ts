import type { RelaxedPass } from "./relaxed-pass.ts";
import type { TourView } from "./tour-view.ts";

/**
 * When a stop can start as visit number p in any order worth finding, at `(p − 1) × size + stop`.
 * `open > close` means: never at that position.
 */
export interface PositionWindows {
  readonly open: Float64Array;
  readonly close: Float64Array;
}

/** The plain windows at every position the precedences leave. */
export const positionWindows = (view: TourView): PositionWindows => {
  const { size } = view;
  const open = new Float64Array(size * size).fill(Infinity);
  const close = new Float64Array(size * size).fill(-Infinity);
  for (let stop = 0; stop < size; stop++)
    for (
      let position = view.firstPosition[stop]!;
      position <= view.lastPosition[stop]!;
      position++
    ) {
      open[(position - 1) * size + stop] = view.open[stop]!;
      close[(position - 1) * size + stop] = view.close[stop]!;
    }
  return { open, close };
};

/** The same windows for the reversed tour. */
export const reversePositionWindows = (windows: PositionWindows, size: number): PositionWindows => {
  const open = new Float64Array(size * size);
  const close = new Float64Array(size * size);
  for (let position = 0; position < size; position++)
    for (let stop = 0; stop < size; stop++) {
      open[position * size + stop] = -windows.close[(size - 1 - position) * size + stop]!;
      close[position * size + stop] = -windows.open[(size - 1 - position) * size + stop]!;
    }
  return { open, close };
};

/**
 * Narrows the windows to the labels that survived two bounded passes. Every order below the ceiling
 * of those passes still fits: its own times cannot be before the earliest surviving forward label
 * nor after the latest surviving backward one.
 */
export const narrowPositionWindows = (
  windows: PositionWindows,
  size: number,
  forward: RelaxedPass,
  backward: RelaxedPass,
): PositionWindows => {
  const open = Float64Array.from(windows.open);
  const close = Float64Array.from(windows.close);
  const earliest = (pass: RelaxedPass, position: number, stop: number): number => {
    const bucket = (position * size + stop) * pass.states;
    let least = Infinity;
    for (let label = pass.first[bucket]!; label < pass.first[bucket + pass.states]!; label++)
      least = Math.min(least, pass.time[label]!);
    return least;
  };
  for (let position = 0; position < size; position++)
    for (let stop = 0; stop < size; stop++) {
      const at = position * size + stop;
      open[at] = Math.max(open[at]!, earliest(forward, position, stop));
      close[at] = Math.min(close[at]!, -earliest(backward, size - 1 - position, stop));
    }
  return { open, close };
};
