import { describe, expect, it } from "vitest";
import { growthAtGround } from "../growth/index.ts";
import {
  FILL_CATALOGUE,
  FIXING_CATALOGUE,
  jointChangeDegrees,
  leverArm,
  navicularForceChangePercent,
  SHOE_CATALOGUE,
  TENDON_EFFECTS,
} from "./index.ts";

describe("published effects beside the model's figure", () => {
  it("bends the joints as the elevation study measured", () => {
    // source: Crevier-Denoix 2001: over 30 degrees 29.5, 7.3 and 6.9; a 6 degree raise is a fifth of it
    const six = jointChangeDegrees(6);
    expect(six.coffinJoint).toBeCloseTo(5.9, 2);
    expect(six.pasternJoint).toBeCloseTo(1.46, 2);
    expect(six.fetlock).toBeCloseTo(1.38, 2);
  });

  it("agrees with the 24 % of the 6 degree wedge study by the 4 % rule: difference none", () => {
    // source: Willemen 1999 as reported, -24 % at 6 degrees; Weller as reported, 4 % a degree
    expect(navicularForceChangePercent(6).percent - -24).toBe(0);
  });

  it("shortens the lever as breakover comes back, and lengthens it by growth over eight weeks", () => {
    // source: Moleman 2006 EVJ: over 8 weeks the moment about the coffin joint rises (size not read).
    // Model: 10 mm of growth at 50 degrees on a lever of 60 mm raises it 10.7 %.
    const drift = growthAtGround(10, 50).dorsalMm;
    expect(leverArm(-35, 25, 25 + drift).changePercent).toBeCloseTo(10.7, 1);
    expect(leverArm(-35, 46, 6)).toMatchObject({ beforeMm: 81, afterMm: 41 });
    expect(leverArm(-35, 46, 6).changePercent).toBeCloseTo(-49.4, 1);
    expect(leverArm(10, 5, 2).relativeMoment).toBe(1);
  });

  it("shows both sides where sources disagree", () => {
    const ids = TENDON_EFFECTS.map((effect) => effect.id);
    for (const effect of TENDON_EFFECTS)
      for (const other of effect.conflictsWith) expect(ids).toContain(other);
    expect(TENDON_EFFECTS.find((effect) => effect.id === "BIO-16")?.conflictsWith).toContain(
      "BIO-17",
    );
  });
});

describe("the catalogue", () => {
  it("names each thing once, says what it does, when not to use it and where that comes from", () => {
    for (const list of [SHOE_CATALOGUE, FILL_CATALOGUE, FIXING_CATALOGUE]) {
      expect(new Set(list.map((entry) => entry.id)).size).toBe(list.length);
      for (const entry of list) {
        expect(entry.does.length).toBeGreaterThan(5);
        expect(entry.source.citation.length).toBeGreaterThan(5);
        if (!(entry.id === "none")) expect(entry.doNotUse.length).toBeGreaterThan(0);
      }
    }
  });

  it("warns of the two harms farriers report most: a digging frog plate, foam under light ponies", () => {
    const shoe = (id: string) => SHOE_CATALOGUE.find((entry) => entry.id === id);
    expect(shoe("heart-bar")?.doNotUse.join(" ")).toContain("digs in");
    expect(shoe("foam")?.doNotUse.join(" ")).toContain("light ponies");
  });

  it("marks every weight that no source gave", () => {
    for (const shoe of SHOE_CATALOGUE)
      if ("weightGrams" in shoe)
        expect(["house rule", "from memory"]).toContain(shoe.weightGrams.source.status);
  });
});
