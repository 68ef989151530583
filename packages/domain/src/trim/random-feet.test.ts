import { describe, expect, it } from "vitest";
import { randomTrimInput, seeded } from "../../bench/random-foot.ts";
import { proposalFaults, responseFaults } from "../../bench/trim-invariants.ts";
import type { TrimInput } from "./index.ts";

/** Faults on so many feet from a seed, each with the foot it was found on, so that a failure can be repeated. */
const faultsOn = (
  feet: number,
  seed: number,
  faultsOf: (input: TrimInput) => readonly string[],
): readonly string[] => {
  const random = seeded(seed);
  const faults: string[] = [];
  for (let foot = 0; foot < feet; foot += 1)
    faults.push(
      ...faultsOf(randomTrimInput(random)).map((one) => `seed ${seed}, foot ${foot}: ${one}`),
    );
  return faults;
};

describe("the planner on 120,000 random feet", () => {
  it("leaves sole and wall above their floors, never moves breakover forward, never lengthens the cycle, and agrees with the foot redrawn as points and turned", () => {
    expect(faultsOn(105_000, 4, proposalFaults)).toEqual([]);
  }, 60_000);

  it("takes less where floors rise or less heel is allowed, wants more where the bone stands steeper, and never jumps", () => {
    expect(faultsOn(15_000, 5, responseFaults)).toEqual([]);
  }, 60_000);
});
