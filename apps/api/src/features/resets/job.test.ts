import { describe, expect, it } from "vitest";
import { estimateMinutes, isComplexFirstFit, skillsNeeded, type JobFacts } from "./job.ts";

const bare: JobFacts = { animalType: "horse", job: null, feet: "bare", plan: null };
const planned = (shoe: string, fixing: string): JobFacts => ({
  ...bare,
  plan: { feet: [{ shoe, fixing }], vetPresent: false, handler: false },
});

// All minutes are starting values; common practice, no source.
describe("how long a reset takes", () => {
  it("follows what is on the foot when there is no new plan", () => {
    expect(estimateMinutes(bare)).toBe(30);
    expect(estimateMinutes({ ...bare, feet: "heart-bar, nailed" })).toBe(60);
    expect(estimateMinutes({ ...bare, feet: "glue-on, bevelled" })).toBe(90);
    expect(estimateMinutes({ ...bare, feet: null })).toBe(30);
  });

  it("follows the plan before the old shoe, and takes longer the first time it is fitted", () => {
    expect(estimateMinutes({ ...planned("heart-bar", "nailed"), feet: "bare" })).toBe(90);
    expect(estimateMinutes(planned("clog", "glued"))).toBe(120);
    expect(estimateMinutes({ ...planned("bare", "none"), feet: "heart-bar, nailed" })).toBe(30);
  });

  it("is shorter for small feet, never under twenty minutes", () => {
    expect(estimateMinutes({ ...bare, animalType: "pony" })).toBe(20);
    expect(estimateMinutes({ ...bare, animalType: "donkey", feet: "glue-on" })).toBe(80);
  });
});

describe("what a reset asks of a farrier", () => {
  it("is nothing special for a trim", () => {
    expect(skillsNeeded(bare)).toEqual([]);
    expect(isComplexFirstFit(planned("bare", "none"))).toBe(false);
  });

  it("is glue for glued work, and more for a plan that is fitted for the first time", () => {
    expect(skillsNeeded({ ...bare, feet: "bevelled glue-on" })).toEqual(["glue-on"]);
    expect(skillsNeeded(planned("heart-bar", "nailed"))).toEqual(["complex first fit"]);
    expect(skillsNeeded(planned("clog", "glued"))).toEqual(["glue-on", "complex first fit"]);
  });
});
