import { describe, expect, it } from "vitest";
import {
  filmAge,
  GEOMETRY_SETTINGS,
  hornLamellarRatioZ,
  literatureStatements,
  missingPositionItems,
  POSITION_CARD_ITEMS,
  positionFindings,
  type Reading,
} from "./index.ts";

describe("filmAge", () => {
  it("shows a 20-day film amber while the foot is being treated, and fresh in maintenance", () => {
    const age = filmAge("2026-09-24", "2026-10-14", "treatment");
    expect(age).toMatchObject({ days: 20, state: "amber" });
    expect(age.text).toContain("20 days old");
    expect(filmAge("2026-09-24", "2026-10-14", "maintenance").state).toBe("fresh");
  });

  it("turns red after eight weeks of treatment and half a year of maintenance", () => {
    expect(filmAge("2026-08-19", "2026-10-14", "treatment").state).toBe("amber");
    expect(filmAge("2026-08-18", "2026-10-14", "treatment").state).toBe("red");
    expect(filmAge("2026-04-13", "2026-10-14", "maintenance").state).toBe("red");
    expect(filmAge("2026-10-14", "2026-10-14", "treatment").text).toBe("film of today");
  });
});

describe("position card", () => {
  it("has eight items, and lists each one that is not ticked", () => {
    expect(POSITION_CARD_ITEMS).toHaveLength(8);
    const all = POSITION_CARD_ITEMS.map((item) => item.key);
    expect(missingPositionItems(all)).toEqual([]);
    expect(positionFindings(all)).toEqual([]);
    for (const item of POSITION_CARD_ITEMS) {
      const ticked = all.filter((key) => key !== item.key);
      expect(missingPositionItems(ticked)).toEqual([item]);
      expect(positionFindings(ticked)[0]?.detail).toContain(item.label);
    }
  });
});

describe("literature", () => {
  const reading = (key: Reading["key"], value: number | null): Reading => ({
    key,
    value,
    standardUncertainty: null,
  });

  it.each([
    [16 / 64, 0],
    [0.28, 1],
    [0.3, 1.67],
    [0.31, 2],
  ])("places the wall ratio %f at z = %f of 415 feet (mean 0.25, SD 0.03)", (ratio, z) => {
    expect(hornLamellarRatioZ(ratio)).toBeCloseTo(z, 2);
  });

  it("gives every statement a citation and a caution, and both sides on rotation", () => {
    const all = literatureStatements(
      [
        reading("founderDistance", 18),
        reading("capsularRotation", 9),
        reading("soleDepthTip", 9),
        reading("hornLamellarProximal", 22),
        reading("hornLamellarRatio", 0.31),
        reading("palmarAngleFoot", 7),
      ],
      "horse",
    );
    for (const s of all) {
      expect(s.source.citation.length).toBeGreaterThan(20);
      expect(s.caution.length).toBeGreaterThan(20);
      // No survival share for a single animal.
      expect(s.statement).not.toMatch(/surviv|\d+ ?% of (cases|horses)/);
    }
    const rotation = all.filter((s) => s.measure === "capsularRotation").map((s) => s.source.id);
    expect(rotation).toContain("stick-1982");
    expect(rotation).toContain("hunt-1993");
  });

  it("quotes donkeys to donkeys only, and horses to horses and ponies only", () => {
    const rotation = [reading("capsularRotation", 12), reading("founderDistance", 9)];
    const donkey = literatureStatements(rotation, "donkey").map((s) => s.source.id);
    expect(donkey).toEqual(["collins-2011"]);
    expect(literatureStatements(rotation, "pony").map((s) => s.source.id)).not.toContain(
      "collins-2011",
    );
  });

  it("marks recalled cut-offs as recalled", () => {
    const recalled = literatureStatements([reading("capsularRotation", 12)], "pony").filter(
      (s) => s.source.status === "from memory",
    );
    expect(recalled).toHaveLength(1);
    expect(recalled[0]?.statement).toContain("not checked");
    expect(recalled[0]?.caution).toContain("Unverified");
  });

  it("says nothing about measures that were not given", () => {
    expect(literatureStatements([reading("founderDistance", null)], "horse")).toEqual([]);
  });
});

describe("settings", () => {
  it("have unique keys, a date and a source each", () => {
    const keys = GEOMETRY_SETTINGS.map((s) => s.key);
    expect(new Set(keys).size).toBe(keys.length);
    for (const s of GEOMETRY_SETTINGS) {
      expect(s.since).toMatch(/^\d{4}-\d{2}-\d{2}$/);
      expect(s.source.citation.length).toBeGreaterThan(10);
    }
  });
});
