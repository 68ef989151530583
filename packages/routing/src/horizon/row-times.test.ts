import { describe, expect, it } from "vitest";
import { inventedHorizon } from "../../testdata/invented-horizon.ts";
import { rowFits } from "./horizon-draft.ts";
import { horizonModel } from "./horizon-model.ts";
import { greedyHorizon } from "./improve-horizon.ts";
import { fitsAt, rowTimes } from "./row-times.ts";

describe("the kept times of a day", () => {
  it("judge one more stop as driving the whole day again does, with the break before, between and after", () => {
    const answers = { yes: 0, no: 0 };
    for (const seed of [1, 2, 3]) {
      const invented = inventedHorizon({ resets: 40, farriers: 2, days: 8, yards: 7 }, seed);
      // Whole seconds, so that sums in any order are the same number.
      const whole = invented.drive.seconds.map((row) => row.map(Math.round));
      const model = horizonModel({ ...invented, drive: { ...invented.drive, seconds: whole } });
      const draft = greedyHorizon(model);
      draft.rows.forEach((row, day) => {
        const times = rowTimes(model, day, row);
        model.problem.resets.forEach((_, reset) => {
          if (row.includes(reset)) return;
          for (let at = 0; at <= row.length; at++) {
            const driven = rowFits(model, day, row, reset, at);
            expect(fitsAt(model, day, row, times, reset, at)).toBe(driven);
            answers[driven ? "yes" : "no"]++;
          }
        });
      });
    }
    expect(Math.min(answers.yes, answers.no)).toBeGreaterThan(100);
  });
});
