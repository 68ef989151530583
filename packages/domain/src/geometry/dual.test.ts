import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  add,
  arcTangent2,
  between,
  constant,
  cosine,
  cross,
  derivative,
  divide,
  dot,
  gradientSpace,
  hypotenuse,
  multiply,
  scaleBy,
  shiftBy,
  sine,
  standardUncertaintyOf,
  subtract,
  unit,
  variable,
  type Dual,
  type GradientSpace,
} from "./dual.ts";

const away = fc.double({ min: 0.3, max: 4, noNaN: true });

/** Every operation in one formula of four inputs. */
const formula = (a: Dual, b: Dual, c: Dual, d: Dual, space: GradientSpace): Dual => {
  const p = { x: a, y: b };
  const q = { x: c, y: d };
  const direction = unit(between(p, { x: shiftBy(c, 9), y: d }));
  const mixed = add(multiply(a, sine(b)), divide(cosine(c), hypotenuse(b, d)));
  return add(
    add(mixed, arcTangent2(cross(p, q), dot(p, q))),
    subtract(dot(direction, q), scaleBy(multiply(constant(2, space), d), 0.25)),
  );
};
const at = (values: readonly number[]): Dual => {
  const space = gradientSpace(4);
  const [a, b, c, d] = values.map((value, i) => variable(value, i, space));
  if (!a || !b || !c || !d) throw new Error("four inputs");
  return formula(a, b, c, d, space);
};

describe("dual numbers", () => {
  it("give the derivatives that central differences give", () => {
    fc.assert(
      fc.property(fc.tuple(away, away, away, away), (values) => {
        const exact = at(values);
        values.forEach((value, i) => {
          const step = 1e-5;
          const shifted = (by: number): number =>
            at(values.map((v, j) => (j === i ? value + by : v))).value;
          const numeric = (shifted(step) - shifted(-step)) / (2 * step);
          expect(derivative(exact, i)).toBeCloseTo(numeric, 5);
        });
      }),
    );
  });

  it("propagate the handbook cases: a sum adds in squares, a product adds relative squares (JCGM 100, 5.1)", () => {
    const space = gradientSpace(2);
    const a = variable(20, 0, space);
    const b = variable(5, 1, space);
    const u = Float64Array.of(0.3, 0.4);
    expect(standardUncertaintyOf(add(a, b), u)).toBeCloseTo(0.5, 12);
    expect(standardUncertaintyOf(multiply(a, b), u) / 100).toBeCloseTo(
      Math.hypot(0.3 / 20, 0.4 / 5),
      12,
    );
  });

  it("never write over an earlier gradient, however long the calculation", () => {
    const space = gradientSpace(3);
    const first = variable(1, 1, space);
    let sum = first;
    for (let i = 0; i < 2000; i++) sum = add(sum, first);
    expect(derivative(first, 1)).toBe(1);
    expect(derivative(sum, 1)).toBe(2001);
  });
});
