import type { FootPlanView } from "@heelward/contracts";
import { FILL_CATALOGUE, FIXING_CATALOGUE, SHOE_CATALOGUE } from "@heelward/domain/trim";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { inOurWords, planInPlainWords } from "./plan-words.ts";

const foot = (change: Partial<FootPlanView> = {}): FootPlanView => ({
  foot: "LF",
  toeBackMm: 12,
  breakoverFromP3TipMm: 6,
  breakoverFromFrogTipMm: null,
  heelRemoveMm: 3,
  palmarAngleTargetDegrees: { low: 3, high: 5 },
  soleMinMm: 12,
  wedgeDegrees: 0,
  wedgeReason: null,
  shoe: "glue-on",
  supportFill: "back-two-thirds",
  fixing: "glue",
  limitMm: null,
  notes: null,
  ...change,
});
const plan = (feet: FootPlanView[], doNot: string[] = []) => ({
  feet,
  doNot,
  conditions: { emergency: false, vetPresent: false, nerveBlock: false, handler: false },
  intervalDays: 28,
});

describe("a plan in plain words", () => {
  it("says every figure of the foot once, with the bone by its plain name", () => {
    expect(planInPlainWords(plan([foot()]))).toEqual([
      "Left front: The back of the foot will be lowered by 3 mm. The toe will be brought back by 12 mm. The foot will tip over 6 mm in front of the tip of the pedal bone. At least 12 mm of sole stays under the pedal bone. A shoe is glued on. A soft filling supports the back two thirds of the foot; the toe stays free.",
      "The next visit for the feet comes within 28 days.",
    ]);
  });

  it("says feet that get the same in one line, and others apart", () => {
    const both = planInPlainWords(plan([foot(), foot({ foot: "RF" })]));
    expect(both[0]).toMatch(/^Both front feet: /);
    expect(both).toHaveLength(2);
    const apart = planInPlainWords(plan([foot(), foot({ foot: "RF", heelRemoveMm: 0 })]));
    expect(apart[0]).toMatch(/^Left front: .*lowered by 3 mm/);
    expect(apart[1]).toMatch(/^Right front: The back of the foot keeps its height/);
  });

  it("tells in front from behind, and says a heel raise is for a limited time and why", () => {
    expect(planInPlainWords(plan([foot({ breakoverFromP3TipMm: -4 })]))[0]).toContain(
      "4 mm behind the tip of the pedal bone",
    );
    expect(planInPlainWords(plan([foot({ breakoverFromP3TipMm: 0 })]))[0]).toContain(
      "right under the tip",
    );
    expect(
      planInPlainWords(plan([foot({ wedgeDegrees: 4, wedgeReason: "to ease the DDFT" })]))[0],
    ).toContain("raised by 4 degrees for a limited time: To ease the deep tendon.");
  });

  it("has words for every shoe, filling and fixing the plan may name", () => {
    for (const { id } of SHOE_CATALOGUE)
      expect(planInPlainWords(plan([foot({ shoe: id })]))[0], `${id}`).not.toContain("It wears:");
    for (const { id } of FILL_CATALOGUE.filter((one) => one.id !== "none"))
      expect(planInPlainWords(plan([foot({ supportFill: id })]))[0], `${id}`).not.toBe(
        planInPlainWords(plan([foot({ supportFill: "none" })]))[0],
      );
    for (const { id } of FIXING_CATALOGUE.filter((one) => one.id !== "none"))
      expect(planInPlainWords(plan([foot({ shoe: "plain", fixing: id })]))[0], `${id}`).not.toBe(
        planInPlainWords(plan([foot({ shoe: "plain", fixing: "none" })]))[0],
      );
  });

  it("never says coffin bone, P3 or a figure that is not in the plan", () => {
    const mm = fc.integer({ min: 0, max: 400 }).map((tenths) => tenths / 10);
    fc.assert(
      fc.property(
        mm,
        mm,
        mm,
        fc.integer({ min: -200, max: 400 }).map((tenths) => tenths / 10),
        fc.constantFrom("coffin bone", "P3", "distal phalanx"),
        (toeBackMm, heelRemoveMm, soleMinMm, breakoverFromP3TipMm, bone) => {
          const words = planInPlainWords(
            plan(
              [foot({ toeBackMm, heelRemoveMm, soleMinMm, breakoverFromP3TipMm })],
              [`Do not take sole in front of ${bone}`],
            ),
          ).join("\n");
          expect(words).not.toMatch(/coffin|\bP3\b|phalanx/i);
          const said = [...words.matchAll(/(\d+(?:\.\d)?) mm/g)].map((match) => Number(match[1]));
          const planned = [toeBackMm, heelRemoveMm, soleMinMm, Math.abs(breakoverFromP3TipMm)];
          for (const figure of said) expect(planned).toContain(figure);
        },
      ),
    );
  });

  it("puts our words in place of the trade's", () => {
    expect(inOurWords("load the back half, unload the tip of P3")).toBe(
      "Load the back half, unload the tip of the pedal bone",
    );
    expect(inOurWords("The reset is overdue")).toBe("The reset is due");
  });
});
