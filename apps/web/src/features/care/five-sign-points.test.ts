import { FIVE_SIGN_TOTAL, FIVE_SIGNS, RED_FLAG_SIGNS } from "@heelward/domain/examination";
import { describe, expect, it } from "vitest";
import { care } from "../../language/en/care.ts";
import { MOST_POINTS, SIGN_GROUPS, totalOf } from "./five-sign-points.ts";

describe("the yard check", () => {
  // Source: Meier et al. 2019, PeerJ 7:e7084: five signs, total 0-12.
  it("reaches the published total of 12 and has a picture and words for every point", () => {
    expect(Object.values(MOST_POINTS).reduce((sum, one) => sum + one, 0)).toBe(
      FIVE_SIGN_TOTAL.most,
    );
    for (const sign of FIVE_SIGNS) expect(care.levels[sign]).toHaveLength(MOST_POINTS[sign] + 1);
  });

  it("gives no total while a sign was not looked at, because a part reads as a better horse", () => {
    const all = { ...MOST_POINTS };
    expect(totalOf(all)).toBe(12);
    for (const sign of FIVE_SIGNS) {
      const { [sign]: _left, ...rest } = all;
      expect(totalOf(rest)).toBeNull();
    }
    expect(totalOf(Object.fromEntries(FIVE_SIGNS.map((sign) => [sign, 0])))).toBe(0);
  });

  it("asks for every sign the red-flag rules know, each once", () => {
    const asked = Object.values(SIGN_GROUPS).flat();
    expect(new Set(asked)).toEqual(new Set(RED_FLAG_SIGNS));
    expect(asked).toHaveLength(RED_FLAG_SIGNS.length);
    expect(Object.keys(care.signWords).toSorted()).toEqual([...RED_FLAG_SIGNS].toSorted());
  });
});
