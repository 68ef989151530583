import fc from "fast-check";
import { mean, sampleVariance } from "simple-statistics";
import { describe, expect, it } from "vitest";
import { repeatReadingStudy, type RepeatReading } from "./index.ts";

const only = (readings: readonly RepeatReading[]) => {
  const [result] = repeatReadingStudy(readings);
  if (result === undefined) throw new Error("no result");
  return result;
};

/**
 * Six targets by four judges. Printed mean squares: within targets 6.26, between judges 32.49,
 * residual 1.02. source: Shrout PE, Fleiss JL (1979) Psychol Bull 86:420–428, tables 2 and 3.
 */
const JUDGED = [
  [9, 2, 5, 8],
  [6, 1, 3, 2],
  [8, 4, 6, 8],
  [7, 1, 2, 6],
  [10, 5, 6, 9],
  [6, 2, 4, 7],
];

/**
 * Two peak-flow readings of 17 people. Printed SD of differences 21.6, repeatability of one reading
 * 15.3 l/min. source: Bland JM, Altman DG (1986) Lancet i:307–310; the data are from memory, and
 * agree with both printed figures.
 */
const PEAK_FLOW = [
  [494, 490],
  [395, 397],
  [516, 512],
  [434, 401],
  [476, 470],
  [557, 611],
  [413, 415],
  [442, 431],
  [650, 638],
  [433, 429],
  [417, 420],
  [656, 633],
  [267, 275],
  [478, 492],
  [178, 165],
  [423, 372],
  [427, 421],
];

describe("repeatReadingStudy", () => {
  it("gives the variance of readers and of reading that a published table gives", () => {
    const result = only(
      JUDGED.flatMap((row, film) =>
        row.map((value, reader) => ({
          measure: "soleDepthTip" as const,
          filmId: `film ${film}`,
          readerId: `reader ${reader}`,
          value,
        })),
      ),
    );
    expect(result.method).toBe("two-way");
    // Between judges: (32.49 − 1.02) ÷ 6; in all the within-target mean square.
    expect((result.semBetweenReaders ?? 0) ** 2).toBeCloseTo((32.49 - 1.02) / 6, 2);
    expect(result.sem ** 2).toBeCloseTo(6.26, 1);
    expect(result.semSameReader).toBeNull();
    expect(result.enough).toBe(false);
    expect(result.missing).toContain("has 6 films, 4 people, 1 each");
  });

  it("gives the within-subject standard deviation of a published repeatability study", () => {
    const result = only(
      PEAK_FLOW.flatMap((row, film) =>
        row.map((value) => ({
          measure: "founderDistance" as const,
          filmId: `${film}`,
          readerId: "one",
          value,
        })),
      ),
    );
    expect(result.method).toBe("within films");
    expect(result.sem).toBeCloseTo(15.3, 1);
    expect(result.semSameReader).toBeCloseTo(result.sem, 12);
    expect(result.smallestRealChange).toBeCloseTo(1.96 * 21.6, 0);
  });

  it("agrees with a general statistics library on two people marking ten films twice", () => {
    const values = fc.array(fc.double({ min: -3, max: 3, noNaN: true }), {
      minLength: 40,
      maxLength: 40,
    });
    fc.assert(
      fc.property(values, (errors) => {
        const readings = errors.map((error, i): RepeatReading => ({
          measure: "capsularRotation",
          filmId: `film ${i % 10}`,
          readerId: i < 20 ? "a" : "b",
          value: 5 + (i % 10) + error,
        }));
        const result = only(readings);
        expect(result.enough).toBe(true);
        const of = (film: number, reader: string): number[] =>
          readings
            .filter((r) => r.filmId === `film ${film}` && r.readerId === reader)
            .map((r) => r.value);
        const cells = Array.from({ length: 10 }, (_, film) => [of(film, "a"), of(film, "b")]);
        const pure = mean(cells.flat().map((cell) => sampleVariance(cell)));
        expect((result.semSameReader ?? 0) ** 2).toBeCloseTo(pure, 9);
        // Two readers: interaction and reader mean squares from the paired differences of cell means.
        const gaps = cells.map(([a, b]) => mean(a ?? []) - mean(b ?? []));
        const interactionMs = sampleVariance(gaps);
        const readerMs = 10 * mean(gaps) ** 2;
        const interaction = Math.max(0, (interactionMs - pure) / 2);
        const reader = Math.max(0, (readerMs - interactionMs) / 20);
        expect(result.sem ** 2).toBeCloseTo(pure + interaction + reader, 9);
        expect(result.smallestRealChange).toBeCloseTo(1.96 * Math.SQRT2 * result.sem, 12);
      }),
    );
  });

  it("falls back to the pooled spread within films where somebody skipped a film", () => {
    const rows: readonly (readonly [string, string, number])[] = [
      ["a", "one", 10],
      ["a", "one", 12],
      ["a", "two", 11],
      ["b", "one", 20],
      ["b", "one", 21],
    ];
    const result = only(
      rows.map(([filmId, readerId, value]) => ({
        measure: "soleDepthTip",
        filmId,
        readerId,
        value,
      })),
    );
    expect(result.method).toBe("within films");
    const pooled = (2 * sampleVariance([10, 12, 11]) + sampleVariance([20, 21])) / 3;
    expect(result.sem ** 2).toBeCloseTo(pooled, 12);
    expect(result.semBetweenReaders).toBeNull();
  });

  it("keeps measures apart, leaves out what was read once, and is zero for identical readings", () => {
    const base = { filmId: "f", readerId: "r" } as const;
    const results = repeatReadingStudy([
      { ...base, measure: "soleDepthTip", value: 12 },
      { ...base, measure: "soleDepthTip", value: 12 },
      { ...base, measure: "boneAngle", value: 47 },
      { ...base, measure: "boneAngle", value: Number.NaN },
    ]);
    expect(results.map((r) => [r.measure, r.sem])).toEqual([["soleDepthTip", 0]]);
  });
});
