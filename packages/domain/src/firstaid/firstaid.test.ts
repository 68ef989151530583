import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { ANIMAL_TYPES } from "../horse/index.ts";
import {
  BEDDINGS,
  FIRST_AID_SETTINGS,
  FLOORS,
  WATER_POSITIONS,
  beddingVolumeM3,
  chooseSupport,
  feetToSupport,
  writeFirstAidSheet,
  type FirstAidFacts,
  type FirstAidSheet,
} from "./index.ts";

const pony: FirstAidFacts = {
  animalType: "pony",
  weightKg: 262,
  obelGrade: 2,
  canLiftFeet: "easily",
  foamAvailable: true,
  padsAvailable: true,
  feetAffected: ["LF", "RF"],
  box: {
    widthM: 3.6,
    lengthM: 3.6,
    bedding: "shavings",
    floor: "concrete",
    water: "inside on the wall",
  },
  outside: false,
  iceOrderedByVet: false,
  ringNumber: "555 0100",
  atMs: Date.parse("2026-07-06T17:40:00Z"),
};
const horse: FirstAidFacts = { ...pony, animalType: "horse", weightKg: 560 };

const sheetOf = (facts: FirstAidFacts): FirstAidSheet => {
  const judged = writeFirstAidSheet(facts);
  if (!judged.ok) throw new Error(judged.findings[0]?.detail ?? "refused");
  return judged.value;
};
const step = (facts: FirstAidFacts, id: string): string =>
  sheetOf(facts).steps.find((one) => one.id === id)?.text ?? "";

const anyFacts: fc.Arbitrary<FirstAidFacts> = fc
  .record({
    animalType: fc.constantFrom(...ANIMAL_TYPES),
    canLiftFeet: fc.constantFrom("easily", "with difficulty", "no", "not tried"),
    foamAvailable: fc.boolean(),
    padsAvailable: fc.boolean(),
    feetAffected: fc.subarray(["LF", "RF", "LH", "RH"] as const),
    box: fc.record({
      widthM: fc.double({ min: 1, max: 30, noNaN: true }),
      lengthM: fc.double({ min: 1, max: 30, noNaN: true }),
      bedding: fc.constantFrom(...BEDDINGS),
      floor: fc.constantFrom(...FLOORS),
      water: fc.constantFrom(...WATER_POSITIONS),
    }),
    outside: fc.boolean(),
    iceOrderedByVet: fc.boolean(),
    weight: fc.option(fc.integer({ min: 60, max: 1100 })),
    obel: fc.option(fc.integer({ min: 0, max: 4 })),
  })
  .map(({ weight, obel, ...facts }) => ({
    ...facts,
    ...(weight === null ? {} : { weightKg: weight }),
    ...(obel === null ? {} : { obelGrade: obel }),
    ringNumber: "555 0100",
    atMs: 0,
  }));

describe("first-aid sheet", () => {
  it("starts with ringing and standing still, whatever the facts", () => {
    fc.assert(
      fc.property(anyFacts, (facts) => {
        expect(
          sheetOf(facts)
            .steps.slice(0, 2)
            .map((one) => one.id),
        ).toEqual(["ring", "stop"]);
      }),
    );
  });

  it("always asks for the whole box, to the door and round the water, and never for walking or home medicine", () => {
    fc.assert(
      fc.property(anyFacts, (facts) => {
        expect(step(facts, "bed")).toMatch(/whole box.*door.*round the water/);
        expect(step(facts, "stop")).toContain("Do not walk");
        expect(step(facts, "no-medicine")).toContain("Give no medicine");
        expect(step(facts, "shoes")).toContain("Do not pull off shoes");
        expect(new Set(sheetOf(facts).steps.map((one) => one.id)).size).toBe(
          sheetOf(facts).steps.length,
        );
      }),
    );
  });

  it("asks for the 18 inches of the emergency page (457.2 mm) and says 40 to 46 cm", () => {
    expect(FIRST_AID_SETTINGS.bedDepthMm.value).toBe(Math.round(18 * 25.4));
    expect(step(pony, "bed")).toContain("40 to 46 cm");
  });

  it("adds up the bedding: 3.6 m × 3.6 m × 0.457 m is 5.92 cubic metres", () => {
    expect(beddingVolumeM3({ widthM: 3.6, lengthM: 3.6 })).toBeCloseTo(5.92, 2);
    expect(step(pony, "bed")).toContain("5.9 cubic metres");
    expect(beddingVolumeM3({ widthM: 3, lengthM: 4 }, 400)).toBeCloseTo(4.8, 10);
  });

  it("tells how bedding, floor and water change the work", () => {
    const box = pony.box;
    if (box === undefined) throw new Error("no box");
    expect(step({ ...pony, box: { ...box, bedding: "straw" } }, "bed")).toContain("Straw parts");
    expect(step({ ...pony, box: { ...box, bedding: "rubber mats" } }, "bed")).toContain(
      "not enough",
    );
    expect(step(pony, "bed")).toContain("concrete");
    expect(step({ ...pony, box: { ...box, floor: "earth" } }, "bed")).not.toContain("concrete");
    expect(step({ ...pony, box: { ...box, water: "outside the door" } }, "water-forage")).toContain(
      "inside",
    );
  });

  it("refuses box sides that are not metres, naming the field", () => {
    const box = pony.box;
    if (box === undefined) throw new Error("no box");
    for (const wrong of [0, 0.99, 30.1, 360, Number.NaN]) {
      const judged = writeFirstAidSheet({ ...pony, box: { ...box, lengthM: wrong } });
      expect(judged.ok).toBe(false);
      expect(judged.findings[0]?.field).toBe("/box/lengthM");
    }
  });

  it("leaves ice to the vet; when ordered: to above the fetlock and under 10 °C (review of cooling, Vet J 2023)", () => {
    expect(step(pony, "ice")).toBe("Use ice only if the vet tells you to.");
    expect(step({ ...pony, iceOrderedByVet: true }, "ice")).toMatch(/above the fetlock.*10 °C/);
  });

  it("speaks of a trailer only when the horse stands outside", () => {
    expect(step(pony, "trailer")).toBe("");
    expect(step({ ...pony, outside: true }, "trailer")).toContain("trailer");
  });

  it("gives every step a source, a reason, and the bed a photo", () => {
    for (const one of sheetOf(pony).steps) {
      expect(one.why.length).toBeGreaterThan(10);
      expect(one.source.citation.length).toBeGreaterThan(10);
    }
    expect(sheetOf(pony).steps.find((one) => one.id === "bed")?.photo).toBe(true);
  });
});

describe("what goes under the feet", () => {
  it("gives a heavy horse foam and a pony soft pads, because a light animal does not crush foam (common practice, no source)", () => {
    expect(chooseSupport(horse).support).toBe("foam block");
    expect(chooseSupport(pony).support).toBe("soft pad");
    expect(chooseSupport(pony).source.status).toBe("common practice");
    expect(step(pony, "support")).toContain("no hard or thick block");
  });

  it("decides by the setting of 400 kg, on both sides of it", () => {
    expect(chooseSupport({ ...horse, weightKg: 400 }).support).toBe("foam block");
    expect(chooseSupport({ ...horse, weightKg: 399 }).support).toBe("soft pad");
  });

  it("takes a horse of unknown weight as light", () => {
    const { weightKg: _, ...unknown } = horse;
    expect(chooseSupport(unknown).support).toBe("soft pad");
    expect(chooseSupport(unknown).because).toContain("weight is not known");
    expect(chooseSupport(pony).because).toContain("light horse does not press");
  });

  it("ties nothing on when lifting hurts or was not tried, or from Obel 3", () => {
    for (const canLiftFeet of ["with difficulty", "no", "not tried"] as const)
      expect(chooseSupport({ ...horse, canLiftFeet }).support).toBe("bed only");
    expect(chooseSupport({ ...horse, obelGrade: 2 }).support).toBe("foam block");
    expect(chooseSupport({ ...horse, obelGrade: 3 }).support).toBe("bed only");
    expect(step({ ...horse, canLiftFeet: "no" }, "support")).toContain("Do not lift");
  });

  it("falls back to the bed when a light animal has no pads", () => {
    expect(chooseSupport({ ...pony, padsAvailable: false }).support).toBe("bed only");
    expect(chooseSupport({ ...horse, foamAvailable: false }).support).toBe("soft pad");
  });

  it("supports the other foot of the pair as well, and both front feet when none was named", () => {
    expect(feetToSupport(["RF"])).toEqual(["LF", "RF"]);
    expect(feetToSupport(["RH", "LF"])).toEqual(["LF", "RF", "LH", "RH"]);
    expect(feetToSupport([])).toEqual(["LF", "RF"]);
  });

  it("names the feet in plain words", () => {
    expect(step(pony, "support")).toContain("left front and right front feet");
    expect(step({ ...pony, feetAffected: ["LF", "LH"] }, "support")).toContain(
      "left front, right front, left hind and right hind feet",
    );
  });

  it("shows both published views on the bed under foam and which it follows", () => {
    const [view] = sheetOf(horse).disagreements;
    expect(view?.sides.map((side) => side.source.id)).toEqual(["emergency-bedding", "foam-block"]);
    expect(sheetOf({ ...horse, canLiftFeet: "no" }).disagreements).toEqual([]);
  });
});

/**
 * Automated readability index, Smith & Senter 1967:
 * 4.71 × characters/words + 0.5 × words/sentences − 21.43 (US school grade; grade + 5 ≈ age).
 */
const readabilityGrade = (text: string): number => {
  const words = text.match(/[\p{L}\p{N}]+/gu) ?? [];
  const sentences = text.match(/[.!?](\s|$)/g)?.length ?? 1;
  return (4.71 * words.join("").length) / words.length + (0.5 * words.length) / sentences - 21.43;
};

describe("plain words", () => {
  it("can be read at eleven or younger, by the automated readability index of 1967", () => {
    fc.assert(
      fc.property(anyFacts, (facts) => {
        const sheet = sheetOf(facts);
        const text = sheet.steps.map((one) => `${one.text} ${one.why}`).join(" ");
        expect(readabilityGrade(text)).toBeLessThan(6);
      }),
    );
  });

  it("says box and yard, promises nothing, and uses no shorthand", () => {
    const text = JSON.stringify([sheetOf(pony), sheetOf({ ...horse, outside: true })]);
    expect(text).not.toMatch(
      /\b(stall|barn|cured|normal|safe dose|coffin bone|founder|DDFT|P3)\b/i,
    );
  });
});
