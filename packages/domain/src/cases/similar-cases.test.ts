import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { caseDistance, causeGroupOf, similarCases, type CaseShape } from "./similar-cases.ts";

/** Steps, groups and the least number are house rules; there is no published distance between cases. */
const shape: fc.Arbitrary<CaseShape> = fc.record({
  caseId: fc.uuid(),
  practiceId: fc.constantFrom("ours", "theirs"),
  horseId: fc.uuid(),
  cause: fc.constantFrom("insulin trouble or PPID", "illness elsewhere", "other"),
  rotationDegrees: fc.double({ min: -5, max: 30, noNaN: true }),
  founderDistanceMm: fc.double({ min: -5, max: 40, noNaN: true }),
  outcome: fc.constantFrom("recovered", "welfare decision", "still in treatment"),
});

const OURS: CaseShape = {
  caseId: "a",
  practiceId: "ours",
  horseId: "h",
  cause: "insulin trouble or PPID",
  rotationDegrees: 8,
  founderDistanceMm: 10,
  outcome: "still in treatment",
};
const others = (count: number, change: Partial<CaseShape> = {}): readonly CaseShape[] =>
  Array.from({ length: count }, (_, index) => ({
    ...OURS,
    caseId: `c${String(index)}`,
    horseId: `h${String(index)}`,
    outcome: index === 0 ? "welfare decision" : "recovered",
    ...change,
  }));

describe("the distance between two cases", () => {
  it("is nothing to itself, the same both ways, and never shorter by a detour", () => {
    fc.assert(
      fc.property(shape, shape, shape, (a, b, c) => {
        expect(caseDistance(a, a)).toBe(0);
        expect(caseDistance(a, b)).toBe(caseDistance(b, a));
        expect(caseDistance(a, c)).toBeLessThanOrEqual(
          caseDistance(a, b) + caseDistance(b, c) + 1e-9,
        );
      }),
    );
  });

  it("is one step for 5 degrees of rotation, for 4 mm of founder distance, and for another cause", () => {
    expect(caseDistance(OURS, { ...OURS, rotationDegrees: 13 })).toBe(1);
    expect(caseDistance(OURS, { ...OURS, founderDistanceMm: 6 })).toBe(1);
    expect(caseDistance(OURS, { ...OURS, cause: "other" })).toBe(1);
  });
});

describe("similar cases", () => {
  it("counts how five or more ended, with the number, and is silent about four", () => {
    expect(similarCases(OURS, others(5))).toMatchObject({
      count: 5,
      outcomes: [
        { outcome: "recovered", count: 4 },
        { outcome: "welfare decision", count: 1 },
      ],
    });
    expect(similarCases(OURS, others(4))).toEqual({
      count: undefined,
      outcomes: [],
      nearest: [],
    });
  });

  it("never crosses into another practice, nor counts the horse itself, nor one horse twice", () => {
    fc.assert(
      fc.property(shape, fc.array(shape, { maxLength: 60 }), (subject, records) => {
        const near = (one: CaseShape) => ({
          ...one,
          cause: subject.cause,
          rotationDegrees: subject.rotationDegrees,
          founderDistanceMm: subject.founderDistanceMm,
        });
        const all = [subject, ...records.map(near), ...records.map(near)];
        const eligible = new Set(
          records.filter((one) => one.practiceId === subject.practiceId).map((one) => one.horseId),
        );
        const found = similarCases(subject, all);
        expect(found.count).toBe(eligible.size < 5 ? undefined : eligible.size);
        const horses = found.nearest.map(
          ({ caseId }) => all.find((one) => one.caseId === caseId)?.horseId,
        );
        expect(new Set(horses).size).toBe(horses.length);
        expect(found.outcomes.reduce((sum, one) => sum + one.count, 0)).toBe(found.count ?? 0);
      }),
    );
  });

  it("leaves out what lies further than one step", () => {
    expect(similarCases(OURS, others(9, { rotationDegrees: 13.1 })).count).toBeUndefined();
    expect(similarCases(OURS, others(9, { rotationDegrees: 13 })).count).toBe(9);
  });
});

describe("the group of a cause", () => {
  it("is read from the vet's own words, and is unknown while nothing is written", () => {
    expect(causeGroupOf("Insulin dysregulation, lush pasture")).toBe("insulin trouble or PPID");
    expect(causeGroupOf("retained afterbirth")).toBe("illness elsewhere");
    expect(causeGroupOf("something rare")).toBe("other");
    expect(causeGroupOf(" ")).toBeUndefined();
    expect(causeGroupOf(null)).toBeUndefined();
  });
});
