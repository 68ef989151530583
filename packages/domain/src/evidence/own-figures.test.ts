import { describe, expect, it } from "vitest";
import { valuesOf, withOwnFigures } from "./index.ts";
import type { Setting } from "./index.ts";

const setting = <T>(key: string, value: T): Setting<T> => ({
  key,
  value,
  unit: "mm",
  source: { id: "house/test", citation: "made for the test", status: "house rule" },
  since: "2025-10-15",
  change: "free",
});

describe("a practice's own figures", () => {
  it("take the place of numbers inside objects and lists, lists counted from 1, and leave the rest", () => {
    const sole = setting("trim.sole", { aim: 15, warn: 12, block: 10 });
    expect(withOwnFigures(sole, { "trim.sole.block": 11, "trim.other": 3 })).toEqual({
      aim: 15,
      warn: 12,
      block: 11,
    });
    const months = setting("growth.month-factors", [0.8, 0.9]);
    expect(withOwnFigures(months, { "growth.month-factors.2": 1.2 })).toEqual([0.8, 1.2]);
    expect(sole.value.block).toBe(10);
  });

  it("come by the name of the setting in a group", () => {
    const group = { bevel: setting("trim.bevel", 35), toe: setting("trim.toe", 26) };
    expect(valuesOf(group, { "trim.toe": 20 })).toEqual({ bevel: 35, toe: 20 });
  });
});
