import { describe, expect, it } from "vitest";
import { compareMeasurements, semOf } from "./compare.ts";
import { filmFiguresOf, MEASURE_KEYS, semFigureKey } from "./film-figures.ts";
import { definitionOf, type MeasuredFilm } from "./film.ts";
import { measureLateromedial } from "./lateromedial.ts";
import { GEOMETRY_SETTINGS } from "./settings.ts";

const numbers = new Map<string, number>(
  GEOMETRY_SETTINGS.flatMap(({ key, value }) =>
    typeof value === "number"
      ? [[key, value] as const]
      : Object.entries(value as Record<string, number>).map(
          ([name, one]) => [`${key}.${name}`, one] as const,
        ),
  ),
);
const look =
  (changes: Readonly<Record<string, number>> = {}) =>
  (key: string): number => {
    const value =
      changes[key] ?? numbers.get(key) ?? (key.startsWith("radiograph.sem.") ? 0 : undefined);
    if (value === undefined) throw new Error(`asked for ${key}`);
    return value;
  };

describe("the figures films are measured by", () => {
  it("are the standard ones where a practice has set none", () => {
    const { sem } = filmFiguresOf(look());
    for (const key of MEASURE_KEYS) expect(sem[key] ?? 0, definitionOf(key).label).toBe(semOf(key));
  });

  it("take a practice's own error of a measure before its own error of that kind of measure", () => {
    const own = filmFiguresOf(
      look({ "radiograph.sem-distance": 0.8, [semFigureKey("soleDepthTip")]: 0.5 }),
    );
    expect(own.sem.soleDepthTip).toBe(0.5);
    expect(own.sem.soleDepthWing).toBe(0.8);
    expect(own.sem.palmarAngleGround).toBe(0.7);
  });

  it("decide what a comparison calls real: 2 mm of sole is, by an error of 0.5 mm (1.96·√2·0.5 = 1.39)", () => {
    const film = (takenOn: string, value: number): MeasuredFilm => ({
      film: {
        foot: "LF",
        view: "lateromedial",
        takenOn,
        wedgeDegrees: 0,
        centring: "hoof-ground interface",
      },
      measurements: [{ key: "soleDepthTip", value, standardUncertainty: null }],
    });
    const [a, b] = [film("2026-08-01", 12), film("2026-09-01", 14)];
    const verdictBy = (changes: Record<string, number>) =>
      compareMeasurements("soleDepthTip", a, b, filmFiguresOf(look(changes)).sem).verdict;
    expect(verdictBy({})).toBe("within error");
    expect(verdictBy({ [semFigureKey("soleDepthTip")]: 0.5 })).toBe("real");
  });

  it("carry the scatter of a hand into every uncertainty: twice the scatter, twice the ±", () => {
    const of = (mm: number) =>
      measureLateromedial({
        landmarks: {
          p3Tip: { x: 100, y: 400 },
          p3Wing: { x: 500, y: 380 },
          groundToe: { x: 90, y: 500 },
          groundHeel: { x: 600, y: 500 },
        },
        scale: { kind: "spacing", mmPerPx: 0.15, magnification: 1, relativeStandardUncertainty: 0 },
        landmarkSpread: { mm, px: 3 },
      }).find((one) => one.key === "palmarAngleGround")?.standardUncertainty ?? Number.NaN;
    expect(of(0.8) / of(0.4)).toBeCloseTo(2, 9);
  });
});
