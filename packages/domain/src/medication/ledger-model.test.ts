import { describe, expect, it } from "vitest";
import { runCourse, runHistory } from "../../bench/random-histories.ts";

const BATCHES = Array.from({ length: 20 }, (_, index) => index);
const PER_BATCH = 100;
const TIMEOUT_MS = 120_000;

describe("the ledger against a plain minute-by-minute reading of the same labels", () => {
  it.each(BATCHES)(
    "never allows what the plain reading forbids and never forbids what it allows: doses, batch %i",
    (batch) => {
      let decisions = 0;
      let allowed = 0;
      for (let index = 0; index < PER_BATCH; index += 1) {
        const result = runHistory(1_000_000 + batch * PER_BATCH + index, 9);
        expect(result.disagreement).toBeUndefined();
        decisions += result.decisions;
        allowed += result.allowed;
      }
      // A run in which nearly everything falls on one side would test one side only.
      expect(decisions).toBeGreaterThan(500);
      expect(allowed / decisions).toBeGreaterThan(0.3);
      expect(allowed / decisions).toBeLessThan(0.8);
    },
    TIMEOUT_MS,
  );

  it(
    "says the same of whole courses of several steps before they are signed",
    () => {
      let allowed = 0;
      for (let seed = 1; seed <= 400; seed += 1) {
        const result = runCourse(seed);
        expect(result.disagreement).toBeUndefined();
        allowed += result.allowed;
      }
      expect(allowed).toBeGreaterThan(40);
      expect(allowed).toBeLessThan(360);
    },
    TIMEOUT_MS,
  );
});
