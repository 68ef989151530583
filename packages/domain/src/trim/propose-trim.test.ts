import { describe, expect, it } from "vitest";
import { checkTrimMeasures, proposeTrim, trimOutcome } from "./index.ts";
import type { TrimInput, TrimMeasures } from "./index.ts";

const mm = (value: number) => ({ value, standardUncertainty: 0.9 });
const degrees = (value: number) => ({ value, standardUncertainty: 0.7 });

// Invented demonstration record: a chronic case with 11 degrees of rotation, first film.
const founderedMeasures: TrimMeasures = {
  palmarAngleDegrees: degrees(14),
  dorsalWallAngleDegrees: degrees(50),
  dorsalP3AngleDegrees: degrees(61),
  soleDepthTipMm: mm(8),
  soleDepthWingMm: mm(21),
  hornLamellarProximalMm: mm(16.5),
  hornLamellarDistalMm: mm(23),
  breakoverDistanceMm: mm(46),
  bearingLengthMm: mm(134),
  p3SolarLengthMm: mm(53.7),
  frogTipToP3TipMm: mm(12),
  centreOfRotation: { xMm: -35, heightMm: 45 },
  heelHeightMm: mm(60),
};
const foundered: TrimInput = {
  foot: "LF",
  measures: founderedMeasures,
  phase: "chronic active",
  animal: "horse",
  weightKg: 420,
  emergency: false,
  targets: {
    palmarAngleDegrees: { low: 4, high: 6 },
    breakoverMm: { low: 4, high: 8 },
    soleMinMm: 10,
  },
  shoe: "glue-on",
  supportFill: "back-two-thirds",
  fixing: "glue",
  intervalDays: 28,
  ceilingDays: 35,
  growth: { startOn: "2025-10-20", growthMmPer30d: 7.2, limitMm: 12 },
};
const constraintOf = (input: TrimInput, id: string) =>
  proposeTrim(input).constraints.find((constraint) => constraint.id === id);

/** Foot, plan and signed limits of the invented demonstration cases, left fore (right fore in the last). */
type Case = [
  name: string,
  palmar: number,
  wall: number,
  bone: number,
  top: number,
  bottom: number,
  soleTip: number,
  soleWing: number,
  breakover: number,
  heelMax: number,
  low: number,
  high: number,
  near: number,
  far: number,
  soleMin: number,
  shoe: string,
];
const CASES: readonly Case[] = [
  // name, palmar, wall, bone, HLZ top, bottom, sole tip, wing, breakover, heel max, angles, breakover band, sole min, shoe
  ["pony, first trim", 6.5, 53, 55.5, 13.5, 14.5, 11.5, 16.5, 14.5, 3, 4, 6, 4, 8, 11, "bare"],
  ["old cob", 6, 49.5, 53.5, 16.5, 19, 12, 18, 10.5, 3, 4, 6, 4, 8, 11, "cast"],
  ["overdue mare", 8, 48.5, 55, 15.5, 19.5, 13, 20.5, 14.5, 3, 4, 6, 4, 8, 12, "glue-on"],
  ["sepsis mare", 8, 50, 55, 18.5, 22, 12.5, 21.5, 11, 4, 4, 8, 2, 6, 12, "wooden-clog"],
  ["support limb", 4, 49, 52, 17, 19, 14, 18, 12.5, 2, 3, 5, 4, 7, 10, "rolled-bar"],
  ["sinker, flat", 3, 49.5, 50, 18.5, 19, 17, 20.5, 10, 0, 2, 5, 2, 6, 10, "foam"],
];

describe("six demonstration cases", () => {
  it.each(CASES)(
    "brings breakover of the %s into its band without more heel than was signed",
    (name, pa, wall, bone, top, bottom, tip, wing, bd, heel, low, high, near, far, sole, shoe) => {
      const { growth: _, ...rest } = foundered;
      const proposal = proposeTrim({
        ...rest,
        animal: name.startsWith("pony") ? "pony" : "horse",
        shoe,
        targets: {
          palmarAngleDegrees: { low, high },
          breakoverMm: { low: near, high: far },
          soleMinMm: sole,
          heelRemoveMaxMm: heel,
        },
        measures: {
          palmarAngleDegrees: degrees(pa),
          dorsalWallAngleDegrees: degrees(wall),
          dorsalP3AngleDegrees: degrees(bone),
          hornLamellarProximalMm: mm(top),
          hornLamellarDistalMm: mm(bottom),
          soleDepthTipMm: mm(tip),
          soleDepthWingMm: mm(wing),
          breakoverDistanceMm: mm(bd),
          bearingLengthMm: mm(88 + bd),
          p3SolarLengthMm: mm((wing - tip) / Math.sin((pa * Math.PI) / 180)),
        },
      });
      expect(proposal.after.breakoverFromP3TipMm).toBeLessThanOrEqual(far);
      expect(proposal.after.breakoverFromP3TipMm).toBeGreaterThanOrEqual(near);
      expect(proposal.trim.heelRemoveMm).toBeLessThanOrEqual(heel);
      if (name === "overdue mare") {
        // 88 × (tan 8° − tan 5°) = 4.7 mm: 3 now, the rest at the next visit
        expect(proposal.trim.heelTotalMm).toBeCloseTo(4.67, 2);
        expect(proposal.stages.map((stage) => Number(stage.heelRemoveMm.toFixed(1)))).toEqual([
          3, 1.7,
        ]);
      }
    },
  );
});

describe("proposing a trim", () => {
  it("stages the heels of a foundered foot over three visits and says what stopped the first", () => {
    const proposal = proposeTrim(foundered);
    expect(proposal.trim.heelTotalMm).toBeCloseTo(14.24, 2);
    expect(proposal.trim.heelRemoveMm).toBe(6);
    expect(proposal.stages.map((stage) => Number(stage.heelRemoveMm.toFixed(1)))).toEqual([
      6, 6, 2.2,
    ]);
    expect(proposal.stages.at(-1)?.palmarAngleDegrees).toBeCloseTo(5, 9);
    expect(proposal.targetsMet).toBe(false);
    expect(constraintOf(foundered, "heel-per-visit")).toMatchObject({ met: true, binding: true });
    expect(constraintOf(foundered, "palmar-angle-target")?.detail).toContain("3 visits");
    expect(proposal.after.heelHeightMm).toBe(54);
  });

  it("brings a breakover of 46 mm to 20 in the first visit and gives it from bone and frog tip", () => {
    const proposal = proposeTrim(foundered);
    expect(proposal.after.breakoverFromP3TipMm).toBe(20);
    expect(proposal.after.breakoverFromFrogTipMm).toBe(32);
    expect(proposal.stages[1]?.breakoverFromP3TipMm).toBe(6);
    expect(constraintOf(foundered, "toe-per-visit")?.binding).toBe(true);
    // 35 mm behind the tip: lever 81 before, 55 after
    expect(proposal.lever).toMatchObject({ beforeMm: 81, afterMm: 55 });
    expect(proposal.lever?.relativeMoment).toBeCloseTo(55 / 81, 12);
  });

  it("leaves the thin sole alone and keeps the wall at the upper wall-to-bone distance", () => {
    const { after, findings, plan } = proposeTrim(foundered);
    expect(after.soleTipMm.valueMm).toBe(8);
    expect(after.wallDistalMm.low95Mm).toBeCloseTo(16.5, 9);
    expect(findings.find((finding) => finding.rule === "trim/sole-tip@1")?.outcome).toBe("warn");
    expect(plan.doNots.join(" ")).toContain("No sole off");
    expect(constraintOf(foundered, "sole-tip-floor")?.met).toBe(false);
  });

  it("never plans more than the reset, the limit date and the ceiling allow", () => {
    const proposal = proposeTrim({ ...foundered, intervalDays: 90 });
    expect(proposal.reset.days).toBeLessThanOrEqual(35);
    const slow = proposeTrim({
      ...foundered,
      intervalDays: 90,
      growth: { ...foundered.growth, startOn: "2025-10-20", growthMmPer30d: 0.1, limitMm: 90 },
    });
    expect(slow.reset).toMatchObject({ days: 35, bound: "ceiling" });
  });

  it("keeps the signed interval while a long toe is still past its limit, and says so", () => {
    const { reset } = proposeTrim(foundered);
    expect(reset.days).toBe(28);
    expect(reset.detail).toContain("in stages");
  });

  it("takes a wedge out before planning, so that a wedged film is not read as a steep foot", () => {
    // Invented demonstration record: film on a 6 degree wedge reads 9, the foot is 3.
    const wedged: TrimInput = {
      ...foundered,
      measures: {
        ...founderedMeasures,
        palmarAngleDegrees: degrees(9),
        dorsalP3AngleDegrees: degrees(56),
        dorsalWallAngleDegrees: degrees(55),
        wedgeInPlaceDegrees: 6,
      },
    };
    const proposal = proposeTrim(wedged);
    expect(proposal.after.palmarAngleDegrees).toBeCloseTo(3, 9);
    expect(proposal.trim.heelRemoveMm).toBe(0);
    expect(
      proposal.findings.find((finding) => finding.rule === "trim/wedge-in-place@1")?.detail,
    ).toContain("9.0° = 3.0° of foot + 6° of wedge");
    expect(constraintOf(wedged, "palmar-angle-target")?.detail).toContain("cannot raise it");
  });

  it("cuts no heel in first aid or while the bone is going down, and never proposes a wedge", () => {
    const firstAid = proposeTrim({ ...foundered, emergency: true, phase: "acute" });
    expect(firstAid.trim.heelRemoveMm).toBe(0);
    expect(firstAid.wedge.degrees).toBe(0);
    expect(firstAid.plan.doNots).toContain("No hammering.");
    const sinking: TrimInput = {
      ...foundered,
      measures: { ...founderedMeasures, founderChangeMm: 3 },
    };
    expect(proposeTrim(sinking).trim.heelRemoveMm).toBe(0);
    expect(constraintOf(sinking, "founder-moving")?.binding).toBe(true);
    const still: TrimInput = {
      ...foundered,
      measures: { ...founderedMeasures, founderChangeMm: 0.5 },
    };
    expect(proposeTrim(still).trim.heelRemoveMm).toBe(6);
  });

  it("stops the heels at the wing's sole, tested at its lower bound, and says so", () => {
    const thin: TrimInput = {
      ...foundered,
      measures: { ...founderedMeasures, soleDepthWingMm: mm(13) },
    };
    const proposal = proposeTrim(thin);
    expect(proposal.after.soleWingMm.low95Mm).toBeCloseTo(10, 9);
    expect(constraintOf(thin, "sole-wing-floor")?.binding).toBe(true);
    expect(constraintOf(thin, "palmar-angle-target")?.detail).toContain("horn must grow first");
    const surer = proposeTrim({
      ...thin,
      measures: { ...thin.measures, soleDepthWingMm: { value: 13, standardUncertainty: 0.3 } },
    });
    expect(surer.trim.heelRemoveMm).toBeGreaterThan(proposal.trim.heelRemoveMm);
  });

  it("places a frog plate 10 mm behind the frog tip, and not on a donkey or without the mark", () => {
    const heart: TrimInput = { ...foundered, shoe: "heart-bar", supportFill: "full" };
    expect(proposeTrim(heart).placement.frogPlateTipFromP3TipMm).toBe(-22);
    expect(proposeTrim(heart).placement.fillFrontFromP3TipMm).toBe(-10);
    const donkey = proposeTrim({ ...heart, animal: "donkey" });
    expect(donkey.placement.frogPlateTipFromP3TipMm).toBeUndefined();
    const { frogTipToP3TipMm: _, ...unmarked } = founderedMeasures;
    const blind = proposeTrim({ ...heart, measures: unmarked });
    expect(blind.placement.frogPlateTipFromP3TipMm).toBeUndefined();
    expect(blind.placement.notes.join(" ")).toContain("Mark the tip of the frog");
    expect(blind.plan.breakoverFromFrogTipMm).toBeUndefined();
  });

  it("lets a vet or practice make limits stricter, never looser", () => {
    const loose = proposeTrim({
      ...foundered,
      targets: { ...foundered.targets, soleMinMm: 4, heelRemoveMaxMm: 30 },
      limits: { soleBlockMm: 2, wallFloorMm: 1, heelPerVisitMm: 40 },
    });
    expect(loose.after.soleWingMm.floorMm).toBe(10);
    expect(loose.after.wallDistalMm.floorMm).toBe(16.5);
    expect(loose.trim.heelRemoveMm).toBe(10);
    const strict = proposeTrim({ ...foundered, targets: { soleMinMm: 19 } });
    expect(strict.trim.heelRemoveMm).toBeLessThan(6);
  });

  it("uses the published donkey angle for a donkey", () => {
    // source: Collins 2011, sound European donkeys about 8 degrees
    const { targets: _, ...plain } = foundered;
    expect(proposeTrim({ ...plain, animal: "donkey" }).plan.palmarAngleTargetDegrees).toEqual({
      low: 6,
      high: 10,
    });
  });

  it("stops before the turned foot stands under the band, where formula and rotation part", () => {
    const narrow: TrimInput = {
      ...foundered,
      targets: { palmarAngleDegrees: { low: 5, high: 5.2 } },
      measures: { ...founderedMeasures, palmarAngleDegrees: degrees(12), baseLengthMm: mm(40) },
    };
    const proposal = proposeTrim(narrow);
    // source: trigonometry: the turned foot stands at 5 degrees after 40 × tan 7° = 4.91 mm
    expect(proposal.trim.heelRemoveMm).toBeCloseTo(4.911, 3);
    expect(proposal.trim.heelTotalMm).toBeGreaterThan(4.92);
    expect(constraintOf(narrow, "angle-not-under")?.binding).toBe(true);
  });

  it("gives the same figures for the same amounts set by hand, and honest ones past the limits", () => {
    const proposal = proposeTrim(foundered);
    const byHand = trimOutcome(foundered, proposal.plan);
    expect(byHand.after.palmarAngleDegrees).toBeCloseTo(proposal.after.palmarAngleDegrees, 9);
    expect(byHand.after.breakoverFromP3TipMm).toBe(proposal.plan.breakoverFromP3TipMm);
    expect(byHand.trim.bevelBackMm).toBeCloseTo(proposal.trim.bevelBackMm, 9);
    expect(byHand.bearing.areaCm2).toBeCloseTo(proposal.bearing.areaCm2, 9);
    const more = trimOutcome(foundered, { heelRemoveMm: 9, toeBackMm: 40 });
    expect(more.after.palmarAngleDegrees).toBeLessThan(byHand.after.palmarAngleDegrees);
    expect(more.lever?.relativeMoment).toBeLessThan(byHand.lever?.relativeMoment ?? 0);
    expect(() => trimOutcome(foundered, { heelRemoveMm: -1, toeBackMm: 0 })).toThrow(RangeError);
  });

  it("refuses measures that cannot belong to a foot, and can say which", () => {
    const impossible = { ...founderedMeasures, bearingLengthMm: mm(50) };
    expect(checkTrimMeasures(impossible)[0]?.field).toBe("/measures/bearingLengthMm");
    expect(() => proposeTrim({ ...foundered, measures: impossible })).toThrow(RangeError);
    const broken = { ...founderedMeasures, soleDepthTipMm: mm(Number.NaN) };
    expect(checkTrimMeasures(broken)[0]?.field).toBe("/measures/soleDepthTipMm");
    expect(checkTrimMeasures(founderedMeasures)).toEqual([]);
  });
});
