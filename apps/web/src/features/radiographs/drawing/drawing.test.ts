import { describe, expect, it } from "vitest";
import { draw, type Drawing, type DrawingEvent } from "./drawing.ts";
import { MOST_POINTS } from "./kinds.ts";

const after = (...events: DrawingEvent[]): Drawing => {
  const drawing = events.reduce<Drawing | undefined>(draw, undefined);
  if (drawing === undefined) throw new Error("nothing is in hand");
  return drawing;
};
const begin = { type: "begin", kind: "trim line" } as const;
const add = (x: number, y: number) => ({ type: "add", at: { x, y } }) as const;

describe("drawing on a film", () => {
  it("puts each point after the one in hand, so that a corner can be slipped in between", () => {
    const drawing = after(begin, add(0, 0), add(10, 0), { type: "choose", index: 0 }, add(5, 3));
    expect(drawing.points).toEqual([
      { x: 0, y: 0 },
      { x: 5, y: 3 },
      { x: 10, y: 0 },
    ]);
    expect(drawing.chosen).toBe(1);
  });

  it("moves the point that is taken up and no other, and undo puts it back in one step", () => {
    const moved = after(
      begin,
      add(0, 0),
      add(10, 0),
      { type: "grab", index: 0 },
      { type: "drag", by: { x: 1, y: 1 } },
      { type: "drag", by: { x: 2, y: 5 } },
      { type: "drop" },
    );
    expect(moved.points).toEqual([
      { x: 2, y: 5 },
      { x: 10, y: 0 },
    ]);
    expect(draw(moved, { type: "undo" })?.points[0]).toEqual({ x: 0, y: 0 });
  });

  it("nudges and removes only what is in hand", () => {
    const nudged = after(begin, add(4, 4), { type: "nudge", by: { x: 0.25, y: 0 } });
    expect(nudged.points).toEqual([{ x: 4.25, y: 4 }]);
    const none = after(begin, add(4, 4), { type: "remove" }, { type: "remove" });
    expect(none).toMatchObject({ points: [], chosen: undefined });
  });

  it("takes no more points than the service keeps", () => {
    const many = after(begin, ...Array.from({ length: MOST_POINTS + 5 }, (_, i) => add(i, i)));
    expect(many.points).toHaveLength(MOST_POINTS);
  });

  it("begins from a drawing on record when that is drawn anew, and ends with nothing in hand", () => {
    const drawing = after({
      type: "begin",
      kind: "lucent line",
      points: [{ x: 1, y: 1 }],
      replacesId: "old",
    });
    expect(drawing).toMatchObject({ replacesId: "old", points: [{ x: 1, y: 1 }] });
    expect(draw(drawing, { type: "end" })).toBeUndefined();
    expect(draw(undefined, add(1, 1))).toBeUndefined();
  });
});
