import { describe, expect, it } from "vitest";
import { toScreen } from "../workbench/machine/viewport.ts";
import { linkedView, screenMatrix } from "./linked-view.ts";
import { apply, registerOnBone } from "./registration.ts";

const first = { p3Tip: { x: 300, y: 800 }, p3Wing: { x: 700, y: 780 } };
const second = { p3Tip: { x: 410, y: 1010 }, p3Wing: { x: 930, y: 1060 } };
const m = registerOnBone(first, second);
const stage = { width: 800, height: 600 };
const view = { zoom: 0.4, offset: { x: 30, y: -12 } };

describe("two films on one screen", () => {
  it("drawn over each other, tip and wing of the bone fall on the same screen pixel", () => {
    if (m === undefined) throw new Error("no registration");
    const own = linkedView(view, m, { width: 1200, height: 1000 }, stage);
    const turn = screenMatrix(own, m, view);
    for (const key of ["p3Tip", "p3Wing"] as const) {
      const laid = apply(turn, toScreen(own, first[key]));
      const under = toScreen(view, second[key]);
      expect(laid.x).toBeCloseTo(under.x, 6);
      expect(laid.y).toBeCloseTo(under.y, 6);
    }
  });

  it("side by side, the bone has the same size on both", () => {
    if (m === undefined) throw new Error("no registration");
    const own = linkedView(view, m, { width: 1200, height: 1000 }, stage);
    const span = (a: { x: number; y: number }, b: { x: number; y: number }) =>
      Math.hypot(a.x - b.x, a.y - b.y);
    expect(span(toScreen(own, first.p3Tip), toScreen(own, first.p3Wing))).toBeCloseTo(
      span(toScreen(view, second.p3Tip), toScreen(view, second.p3Wing)),
      6,
    );
  });
});
