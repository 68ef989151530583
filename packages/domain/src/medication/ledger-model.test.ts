import { describe, expect, it } from "vitest";
import { runHistory } from "../../bench/random-histories.ts";

describe("the ledger against a plain minute-by-minute reading of the same labels", () => {
  it("never allows what the plain reading forbids and never forbids what it allows, over 2,000 histories in four time zones around clock changes", () => {
    let decisions = 0;
    let allowed = 0;
    for (let seed = 1_000_001; seed <= 1_002_000; seed += 1) {
      const result = runHistory(seed, 9);
      expect(result.disagreement).toBeUndefined();
      decisions += result.decisions;
      allowed += result.allowed;
    }
    // A run in which nearly everything falls on one side would test one side only.
    expect(decisions).toBeGreaterThan(15_000);
    expect(allowed / decisions).toBeGreaterThan(0.3);
    expect(allowed / decisions).toBeLessThan(0.7);
  }, 120_000);
});
