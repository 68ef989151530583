import { describe, expect, it } from "vitest";
import { standingOf } from "./result-standing.tsx";

const result = (
  value: number,
  rangeLow: number | null,
  rangeHigh: number | null,
  cutoff: number | null = null,
) => ({ value, rangeLow, rangeHigh, cutoff });

// Laboratories print reference limits as inclusive (source: CLSI EP28: the limits belong to the interval).
describe("how a result lies to its laboratory's range", () => {
  it("counts the limits themselves as inside, because the laboratory prints them as part of the range", () => {
    expect(standingOf(result(25, 25, 40))).toBe("inside");
    expect(standingOf(result(40, 25, 40))).toBe("inside");
    expect(standingOf(result(40.1, 25, 40))).toBe("above");
    expect(standingOf(result(24.9, 25, 40))).toBe("below");
  });

  it("takes one-sided ranges and says so when none was sent", () => {
    expect(standingOf(result(1, null, 20))).toBe("inside");
    expect(standingOf(result(21, null, 20))).toBe("above");
    expect(standingOf(result(1, 2, null))).toBe("below");
    expect(standingOf(result(1, null, null))).toBe("noRange");
  });

  it("goes by the week's cut-off where there is one, because ACTH moves with the season", () => {
    expect(standingOf(result(45, 10, 30, 50))).toBe("underCutoff");
    expect(standingOf(result(50.1, 10, 90, 50))).toBe("aboveCutoff");
  });
});
