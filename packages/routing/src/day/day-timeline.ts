import type { TourView } from "../tour/tour-view.ts";

/** Times along one order, in the view's unit. */
export interface Timeline {
  readonly start: readonly number[];
  /** Latest start of work at each stop that still lets the rest work. */
  readonly latest: readonly number[];
  readonly end: number;
  /** Arc (0 = from the source) on which the pause is taken, when it begins, and at which end. */
  readonly pause:
    | { readonly arc: number; readonly begins: number; readonly arriving: boolean }
    | undefined;
}

/** Earliest times along an order; undefined when the order breaks a window. */
export const timelineOf = (view: TourView, order: ArrayLike<number>): Timeline | undefined => {
  const { width, source, sink, time, open, close, pause } = view;
  const nodes = [source, ...Array.from(order), sink];
  const arcs = nodes.length - 1;
  const run = (pauseArc: number, arriving: boolean): Timeline | undefined => {
    const start: number[] = [];
    let at = view.sourceTime;
    let begins = 0;
    const offsetOf = (arc: number): number =>
      (arriving ? view.pauseAtArriving : view.pauseAtLeaving)[
        nodes[arc]! * width + nodes[arc + 1]!
      ]!;
    for (let arc = 0; arc < arcs; arc++) {
      const drive = time[nodes[arc]! * width + nodes[arc + 1]!]!;
      if (arc === pauseArc && pause !== undefined) {
        begins = Math.max(at + offsetOf(arc), pause.from);
        if (begins > pause.until) return undefined;
        at = begins + pause.length + drive - offsetOf(arc);
      } else at += drive;
      at = Math.max(at, open[nodes[arc + 1]!]!);
      if (at > close[nodes[arc + 1]!]!) return undefined;
      start.push(at);
    }
    if (pause !== undefined && pauseArc < 0 && at > view.sinkUnpausedUntil) return undefined;
    const latest = Array.from({ length: arcs }, () => 0);
    let bound = close[sink]!;
    if (pause !== undefined && pauseArc < 0) bound = Math.min(bound, view.sinkUnpausedUntil);
    for (let arc = arcs - 1; arc >= 0; arc--) {
      latest[arc] = Math.min(bound, close[nodes[arc + 1]!]!);
      bound = latest[arc]! - time[nodes[arc]! * width + nodes[arc + 1]!]!;
      if (arc === pauseArc && pause !== undefined)
        bound = Math.min(bound - pause.length, pause.until - offsetOf(arc));
    }
    return {
      start: start.slice(0, -1),
      latest: latest.slice(0, -1),
      end: at,
      pause: pauseArc < 0 ? undefined : { arc: pauseArc, begins, arriving },
    };
  };
  if (pause === undefined) return run(-1, false);
  let best: Timeline | undefined = run(-1, false);
  for (let arc = 0; arc < arcs; arc++)
    for (const arriving of [true, false]) {
      const timeline = run(arc, arriving);
      if (timeline !== undefined && (best === undefined || timeline.end < best.end))
        best = timeline;
    }
  return best;
};
