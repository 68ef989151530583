import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { apply, registerOnBone } from "./registration.ts";

const bone = {
  p3Tip: { x: 300, y: 800 },
  p3Wing: { x: 700, y: 780 },
  extensorProcess: { x: 520, y: 420 },
};
type Point = { readonly x: number; readonly y: number };

const turned = (degrees: number, factor: number, shift: Point, isMirrored: boolean) => {
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  return ({ x, y }: Point): Point => {
    const sx = isMirrored ? -x : x;
    return {
      x: factor * (cos * sx - sin * y) + shift.x,
      y: factor * (sin * sx + cos * y) + shift.y,
    };
  };
};

describe("laying one film on another by the bone", () => {
  it("finds any turn, scale, shift and mirror image exactly", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -180, max: 180, noNaN: true }),
        fc.double({ min: 0.3, max: 3, noNaN: true }),
        fc.record({
          x: fc.double({ min: -500, max: 500, noNaN: true }),
          y: fc.double({ min: -500, max: 500, noNaN: true }),
        }),
        fc.boolean(),
        (degrees, factor, shift, isMirrored) => {
          const move = turned(degrees, factor, shift, isMirrored);
          const other = {
            p3Tip: move(bone.p3Tip),
            p3Wing: move(bone.p3Wing),
            extensorProcess: move(bone.extensorProcess),
          };
          const found = registerOnBone(bone, other);
          expect(found).toBeDefined();
          if (found === undefined) return;
          for (const point of [bone.p3Tip, bone.p3Wing, bone.extensorProcess, { x: 11, y: 930 }]) {
            const [a, b] = [apply(found, point), move(point)];
            expect(Math.hypot(a.x - b.x, a.y - b.y)).toBeLessThan(1e-6);
          }
        },
      ),
    );
  });

  it("gives nothing when a film lacks tip or wing", () => {
    expect(registerOnBone({ p3Tip: { x: 1, y: 1 } }, bone)).toBeUndefined();
  });
});
