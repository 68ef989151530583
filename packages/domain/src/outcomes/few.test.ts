import fc from "fast-check";
import { max, median, min } from "simple-statistics";
import { describe, expect, it } from "vitest";
import { FEWEST_FOR_RATE, rateOf, summaryOf } from "./index.ts";

describe("figures over cases", () => {
  it("give the count and no share below five cases, for one horse would turn it over", () => {
    expect(rateOf(3, 4)).toEqual({ count: 3, n: 4, share: null });
    expect(rateOf(3, 5)).toEqual({ count: 3, n: 5, share: 0.6 });
    expect(summaryOf([2, 4, 9, 1])).toEqual({ n: 4, median: null, lowest: null, highest: null });
  });

  it("refuse a part that is larger than its whole", () => {
    expect(() => rateOf(6, 5)).toThrow(RangeError);
    expect(() => rateOf(-1, 5)).toThrow(RangeError);
  });

  // source: simple-statistics 7 for median, least and most of a sample
  it("have the same middle and ends as a statistics library, whatever the order", () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ noNaN: true, min: -1e6, max: 1e6 }), {
          minLength: FEWEST_FOR_RATE,
          maxLength: 40,
        }),
        (values) => {
          const found = summaryOf(values);
          expect(found.median).toBeCloseTo(median(values), 9);
          expect([found.lowest, found.highest]).toEqual([min(values), max(values)]);
        },
      ),
    );
  });
});
