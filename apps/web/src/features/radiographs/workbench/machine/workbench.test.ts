import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  hasUnsaved,
  startWorkbench,
  work,
  type Workbench,
  type WorkbenchEvent,
} from "./workbench.ts";

const ORDER = ["groundToe", "groundHeel", "p3Tip", "p3Wing"];
const SIZE = { widthPx: 1200, heightPx: 1000 };
const fresh = () => startWorkbench(ORDER, SIZE);
const after = (state: Workbench, ...events: readonly WorkbenchEvent[]) =>
  events.reduce(work, state);

const placedAll = after(
  fresh(),
  { type: "place", at: { x: 10, y: 900 } },
  { type: "place", at: { x: 1100, y: 905 } },
  { type: "place", at: { x: 300, y: 800 } },
  { type: "place", at: { x: 700, y: 780 } },
);

describe("placing one point after the other", () => {
  it("hands over the next point that is missing, and stays on the last when all are placed", () => {
    expect(fresh().active).toBe("groundToe");
    const one = after(fresh(), { type: "place", at: { x: 10, y: 900 } });
    expect(one.active).toBe("groundHeel");
    expect(placedAll.active).toBe("p3Wing");
    expect(Object.keys(placedAll.points)).toEqual(ORDER);
  });

  it("fills a gap that was left before it goes on", () => {
    const gap = after(placedAll, { type: "remove", key: "groundHeel" });
    expect(gap.active).toBe("groundHeel");
    const round = after(
      gap,
      { type: "choose", key: "p3Tip" },
      { type: "place", at: { x: 1, y: 1 } },
    );
    expect(round.active).toBe("groundHeel");
  });

  it("keeps every mark on the film, because a mark outside it cannot be seen again", () => {
    const state = after(fresh(), { type: "place", at: { x: -40, y: 5000 } });
    expect(state.points["groundToe"]).toEqual({ x: 0, y: 999 });
  });

  it("does not take a key that this view does not have", () => {
    const state = after(fresh(), { type: "choose", key: "jointMedialUpper" });
    expect(state.active).toBe("groundToe");
  });
});

describe("moving a point", () => {
  it("moves it by the way of the finger, however far from its middle it was taken", () => {
    const state = after(
      placedAll,
      { type: "grab", key: "p3Tip" },
      { type: "drag", by: { x: 3.5, y: -2.25 } },
    );
    expect(state.points["p3Tip"]).toEqual({ x: 303.5, y: 797.75 });
    expect(state.past).toHaveLength(placedAll.past.length);
  });

  it("makes one step of a whole drag, and none of a tap", () => {
    const dragged = after(
      placedAll,
      { type: "grab", key: "p3Tip" },
      { type: "drag", by: { x: 1, y: 0 } },
      { type: "drag", by: { x: 9, y: 0 } },
      { type: "drop" },
    );
    expect(after(dragged, { type: "undo" }).points["p3Tip"]).toEqual({ x: 300, y: 800 });
    const tapped = after(placedAll, { type: "grab", key: "p3Tip" }, { type: "drop" });
    expect(tapped.past).toHaveLength(placedAll.past.length);
  });

  it("puts it back when the drag is given up", () => {
    const state = after(
      placedAll,
      { type: "grab", key: "p3Tip" },
      { type: "drag", by: { x: 50, y: 50 } },
      { type: "abandon" },
    );
    expect(state.points).toEqual(placedAll.points);
  });

  it("nudges by quarters of a pixel and undoes a row of nudges at once", () => {
    const nudged = after(
      placedAll,
      { type: "choose", key: "p3Tip" },
      { type: "nudge", by: { x: 0.25, y: 0 } },
      { type: "nudge", by: { x: 0.25, y: 0 } },
      { type: "nudge", by: { x: 0, y: -2 } },
    );
    expect(nudged.points["p3Tip"]).toEqual({ x: 300.5, y: 798 });
    expect(after(nudged, { type: "undo" }).points).toEqual(placedAll.points);
  });
});

describe("edge search", () => {
  it("applies its moves as one step that undo takes back", () => {
    const moves = [
      { key: "p3Tip", from: { x: 300, y: 800 }, to: { x: 301.4, y: 799.1 } },
      { key: "p3Wing", from: { x: 700, y: 780 }, to: { x: 700, y: 782 } },
    ];
    const refined = after(placedAll, {
      type: "refine",
      refinement: { moves, samples: [], unmoved: [] },
    });
    expect(refined.points["p3Tip"]).toEqual({ x: 301.4, y: 799.1 });
    expect(refined.refinement?.moves).toEqual(moves);
    const back = after(refined, { type: "undo" });
    expect(back.points).toEqual(placedAll.points);
    expect(back.refinement).toBeUndefined();
  });

  it("says why nothing moved without making a step", () => {
    const state = after(placedAll, {
      type: "refine",
      refinement: { moves: [], samples: [], unmoved: [{ id: "wall", reason: "no-edge" }] },
    });
    expect(state.past).toHaveLength(placedAll.past.length);
    expect(state.refinement?.unmoved).toHaveLength(1);
  });
});

describe("saving", () => {
  it("knows what is not kept yet, also after undo", () => {
    expect(hasUnsaved(fresh())).toBe(false);
    expect(hasUnsaved(placedAll)).toBe(true);
    const saved = after(placedAll, { type: "saved", points: placedAll.points });
    expect(hasUnsaved(saved)).toBe(false);
    const moved = after(saved, { type: "nudge", by: { x: 0.25, y: 0 } });
    expect(hasUnsaved(moved)).toBe(true);
    expect(hasUnsaved(after(moved, { type: "undo" }))).toBe(false);
  });
});

const coordinate = fc.double({ min: -50, max: 1300, noNaN: true });
const at = fc.record({ x: coordinate, y: coordinate });
const key = fc.constantFrom(...ORDER);
const event: fc.Arbitrary<WorkbenchEvent> = fc.oneof(
  fc.record({ type: fc.constant("choose" as const), key }),
  fc.record({ type: fc.constant("place" as const), at }),
  fc.record({ type: fc.constant("grab" as const), key }),
  fc.record({ type: fc.constant("drag" as const), by: at }),
  fc.record({ type: fc.constant("drop" as const) }),
  fc.record({ type: fc.constant("abandon" as const) }),
  fc.record({ type: fc.constant("nudge" as const), by: at }),
  fc.record({ type: fc.constant("remove" as const), key }),
  fc.record({ type: fc.constant("undo" as const) }),
  fc.record({ type: fc.constant("redo" as const) }),
);

describe("whatever a hand does", () => {
  it("undo after undo leads back to the beginning, and redo to the end again", () => {
    fc.assert(
      fc.property(fc.array(event, { maxLength: 60 }), (events) => {
        const end = after(events.reduce(work, fresh()), { type: "abandon" });
        const undone = Array.from({ length: end.past.length }).reduce<Workbench>(
          (state) => work(state, { type: "undo" }),
          end,
        );
        expect(undone.points).toEqual({});
        const again = Array.from({ length: undone.future.length }).reduce<Workbench>(
          (state) => work(state, { type: "redo" }),
          undone,
        );
        if (end.future.length === 0) expect(again.points).toEqual(end.points);
      }),
    );
  });

  it("every mark lies on the film and belongs to the view", () => {
    fc.assert(
      fc.property(fc.array(event, { maxLength: 60 }), (events) => {
        const { points } = events.reduce(work, fresh());
        for (const [placed, point] of Object.entries(points)) {
          expect(ORDER).toContain(placed);
          expect(point.x).toBeGreaterThanOrEqual(0);
          expect(point.x).toBeLessThanOrEqual(SIZE.widthPx - 1);
          expect(point.y).toBeGreaterThanOrEqual(0);
          expect(point.y).toBeLessThanOrEqual(SIZE.heightPx - 1);
        }
      }),
    );
  });
});
