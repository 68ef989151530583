import type { Refinement } from "./refine.ts";

/** A position in image pixels; whole numbers are pixel centres. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/** Placed landmarks by key. */
export type Points = Readonly<Record<string, Point>>;

interface Step {
  readonly points: Points;
  /** The landmark that was in hand, so that going back shows where it happened. */
  readonly active: string | undefined;
  /** Nudges of one landmark in a row are one step. */
  readonly nudgedKey?: string | undefined;
}

interface Grab {
  readonly key: string;
  readonly from: Point;
  readonly before: Points;
}

/** Everything about placing landmarks on one film; no screen in it. */
export interface Workbench {
  /** Keys in the order in which they are placed. */
  readonly order: readonly string[];
  readonly size: { readonly widthPx: number; readonly heightPx: number };
  readonly points: Points;
  /** The landmark in hand: placed next, or nudged when it is placed already. */
  readonly active: string | undefined;
  readonly grab: Grab | undefined;
  readonly past: readonly Step[];
  readonly future: readonly Step[];
  /** What the last edge search moved, shown until the next change. */
  readonly refinement: Refinement | undefined;
  readonly saved: Points;
}

export type WorkbenchEvent =
  | { readonly type: "choose"; readonly key: string | undefined }
  /** The scale was changed: marker ends are placed or not. */
  | { readonly type: "order"; readonly order: readonly string[] }
  | { readonly type: "step"; readonly by: 1 | -1 }
  | { readonly type: "place"; readonly at: Point }
  | { readonly type: "grab"; readonly key: string }
  /** Way from where the landmark was taken up, so that a finger need not hit its middle. */
  | { readonly type: "drag"; readonly by: Point }
  | { readonly type: "drop" }
  | { readonly type: "abandon" }
  | { readonly type: "nudge"; readonly by: Point }
  | { readonly type: "remove"; readonly key: string }
  | { readonly type: "load"; readonly points: Points }
  | { readonly type: "refine"; readonly refinement: Refinement }
  | { readonly type: "undo" }
  | { readonly type: "redo" }
  | { readonly type: "saved"; readonly points: Points };

const MOST_STEPS = 200;

const firstMissing = (order: readonly string[], points: Points): string | undefined =>
  order.find((key) => points[key] === undefined);

/** A workbench for a film, with the marks that are there already. */
export const startWorkbench = (
  order: readonly string[],
  size: Workbench["size"],
  points: Points = {},
): Workbench => ({
  order,
  size,
  points,
  active: firstMissing(order, points),
  grab: undefined,
  past: [],
  future: [],
  refinement: undefined,
  saved: points,
});

const clamp = (value: number, high: number): number => Math.min(high, Math.max(0, value));

/** Marks stay on the film, to a hundredth of a pixel. */
const onFilm = ({ size }: Workbench, point: Point): Point => ({
  x: Math.round(clamp(point.x, size.widthPx - 1) * 100) / 100,
  y: Math.round(clamp(point.y, size.heightPx - 1) * 100) / 100,
});

const nextAfter = (state: Workbench, points: Points, key: string): string => {
  const at = state.order.indexOf(key);
  const round = [...state.order.slice(at + 1), ...state.order.slice(0, at)];
  return round.find((one) => points[one] === undefined) ?? key;
};

/** The state with new points, the old ones kept for undo. */
const changed = (
  state: Workbench,
  points: Points,
  change: Partial<Pick<Workbench, "active" | "refinement">> = {},
  nudgedKey?: string,
): Workbench => {
  const last = state.past.at(-1);
  const goesOn =
    nudgedKey !== undefined && last?.nudgedKey === nudgedKey && state.future.length === 0;
  const step: Step = { points: state.points, active: state.active, nudgedKey };
  return {
    ...state,
    points,
    active: "active" in change ? change.active : state.active,
    refinement: change.refinement,
    grab: undefined,
    past: goesOn ? state.past : [...state.past, step].slice(-MOST_STEPS),
    future: [],
  };
};

const travel = (
  state: Workbench,
  from: readonly Step[],
):
  | { readonly rest: readonly Step[]; readonly state: Workbench; readonly left: Step }
  | undefined => {
  const step = from.at(-1);
  if (step === undefined) return undefined;
  return {
    rest: from.slice(0, -1),
    left: { points: state.points, active: state.active },
    state: {
      ...state,
      points: step.points,
      active: step.active,
      grab: undefined,
      refinement: undefined,
    },
  };
};

/** What a person's move makes of the workbench. Moves that mean nothing leave it as it is. */
export const work = (state: Workbench, event: WorkbenchEvent): Workbench => {
  switch (event.type) {
    case "choose":
      return event.key === undefined || state.order.includes(event.key)
        ? { ...state, active: event.key, grab: undefined }
        : state;
    case "order":
      return {
        ...state,
        order: event.order,
        // A placed one stays in hand; otherwise the first that is missing now, marker ends included.
        active:
          state.active !== undefined &&
          event.order.includes(state.active) &&
          state.points[state.active] !== undefined
            ? state.active
            : firstMissing(event.order, state.points),
      };
    case "step": {
      const at = state.active === undefined ? -1 : state.order.indexOf(state.active);
      const count = state.order.length;
      return { ...state, active: state.order[(at + event.by + count) % count], grab: undefined };
    }
    case "place": {
      const { active } = state;
      if (active === undefined || state.grab !== undefined) return state;
      const points = { ...state.points, [active]: onFilm(state, event.at) };
      return changed(state, points, { active: nextAfter(state, points, active) });
    }
    case "grab": {
      const from = state.points[event.key];
      if (from === undefined) return state;
      return {
        ...state,
        active: event.key,
        grab: { key: event.key, from, before: state.points },
      };
    }
    case "drag": {
      const { grab } = state;
      if (grab === undefined) return state;
      const to = { x: grab.from.x + event.by.x, y: grab.from.y + event.by.y };
      return { ...state, points: { ...state.points, [grab.key]: onFilm(state, to) } };
    }
    case "drop": {
      const { grab } = state;
      if (grab === undefined) return state;
      const to = state.points[grab.key];
      const stayed = to?.x === grab.from.x && to.y === grab.from.y;
      if (stayed) return { ...state, points: grab.before, grab: undefined };
      return changed({ ...state, points: grab.before }, state.points);
    }
    case "abandon":
      return state.grab === undefined
        ? state
        : { ...state, points: state.grab.before, grab: undefined };
    case "nudge": {
      const key = state.active;
      const from = key === undefined ? undefined : state.points[key];
      if (key === undefined || from === undefined) return state;
      const to = onFilm(state, { x: from.x + event.by.x, y: from.y + event.by.y });
      return changed(state, { ...state.points, [key]: to }, {}, key);
    }
    case "remove": {
      if (state.points[event.key] === undefined) return state;
      const { [event.key]: _, ...points } = state.points;
      return changed(state, points, { active: event.key });
    }
    case "load":
      return changed(state, event.points, { active: firstMissing(state.order, event.points) });
    case "refine": {
      const { refinement } = event;
      if (refinement.moves.length === 0) return { ...state, refinement };
      const moved = Object.fromEntries(
        refinement.moves.map((move) => [move.key, onFilm(state, move.to)]),
      );
      return changed(state, { ...state.points, ...moved }, { refinement });
    }
    case "undo": {
      const gone = travel(state, state.past);
      if (gone === undefined) return state;
      return { ...gone.state, past: gone.rest, future: [...state.future, gone.left] };
    }
    case "redo": {
      const gone = travel(state, state.future);
      if (gone === undefined) return state;
      return { ...gone.state, future: gone.rest, past: [...state.past, gone.left] };
    }
    case "saved":
      return { ...state, saved: event.points };
  }
};

/** True when there is something that saving would keep. */
export const hasUnsaved = ({ points, saved }: Workbench): boolean => {
  const keys = new Set([...Object.keys(points), ...Object.keys(saved)]);
  return [...keys].some((key) => {
    const [now, before] = [points[key], saved[key]];
    return now?.x !== before?.x || now?.y !== before?.y;
  });
};
