import { describe, expect, it } from "vitest";
import { isAllowed } from "../evidence/index.ts";
import { founderMovesFromMm, isFounderMoving, judgePrescription, judgeWedge } from "./index.ts";
import type { FootPlan, PrescriptionContext, PrescriptionFilm, TrimMeasures } from "./index.ts";

const mm = (value: number) => ({ value, standardUncertainty: 0.9 });
const degrees = (value: number) => ({ value, standardUncertainty: 0.7 });

// Invented demonstration record: a sinking foot on its second film.
const sinking: TrimMeasures = {
  palmarAngleDegrees: degrees(3),
  dorsalWallAngleDegrees: degrees(49.5),
  dorsalP3AngleDegrees: degrees(50),
  soleDepthTipMm: mm(15),
  soleDepthWingMm: mm(18.5),
  hornLamellarProximalMm: mm(20.5),
  hornLamellarDistalMm: mm(21),
  breakoverDistanceMm: mm(4.5),
  bearingLengthMm: mm(100),
  p3SolarLengthMm: mm(67),
  founderDistanceMm: { value: 13, standardUncertainty: 1 },
  founderChangeMm: 3,
};
const plan: FootPlan = {
  foot: "LF",
  toeBackMm: 0.5,
  breakoverFromP3TipMm: 4,
  breakoverFromFrogTipMm: 16,
  heelRemoveMm: 0,
  palmarAngleTargetDegrees: { low: 2, high: 5 },
  soleMinMm: 10,
  wedgeDegrees: 0,
  shoe: "foam",
  supportFill: "back-two-thirds",
  fixing: "tape",
  doNots: [],
};
const film: PrescriptionFilm = { foot: "LF", ageDays: 0, hasScale: true, sideConfirmed: true };
const context: PrescriptionContext = {
  phase: "acute",
  animal: "horse",
  emergency: false,
  films: [film],
  ceilingDays: 14,
};
const still = { ...sinking, founderChangeMm: 0.5 };

const judge = (
  change: Partial<FootPlan>,
  options: {
    measures?: TrimMeasures;
    context?: Partial<PrescriptionContext>;
    intervalDays?: number;
    trialDays?: number;
  } = {},
) =>
  judgePrescription(
    {
      feet: [{ ...plan, ...change }],
      intervalDays: options.intervalDays ?? 7,
      ...(options.trialDays === undefined ? {} : { wedgeTrialDays: options.trialDays }),
    },
    { LF: options.measures ?? still },
    { ...context, ...options.context },
  );
const outcomeOf = (findings: ReturnType<typeof judge>, rule: string) =>
  findings.find((finding) => finding.rule === rule)?.outcome;

describe("a heel raise", () => {
  it("moves from 2.77 mm, because less is reading error", () => {
    // source: 1.96 × √2 × 1.0 mm
    expect(founderMovesFromMm()).toBeCloseTo(2.77, 2);
    expect(isFounderMoving(3)).toBe(true);
    expect(isFounderMoving(0.5)).toBe(false);
    expect(isFounderMoving(undefined)).toBe(false);
  });

  it("cannot be signed on a sinking bone without a reason, and the warning stays with one", () => {
    const silent = judge({ wedgeDegrees: 6 }, { measures: sinking, trialDays: 3 });
    expect(isAllowed(silent)).toBe(false);
    expect(outcomeOf(silent, "trim/wedge-founder-moving@1")).toBe("block");
    const reasoned = judge(
      { wedgeDegrees: 6, wedgeReason: "reduce tendon pull, rotation feared" },
      { measures: sinking, trialDays: 3 },
    );
    expect(isAllowed(reasoned)).toBe(true);
    expect(outcomeOf(reasoned, "trim/wedge-founder-moving@1")).toBe("warn");
    expect(
      reasoned.find((finding) => finding.rule === "trim/wedge-founder-moving@1")?.detail,
    ).toContain("reduce tendon pull");
  });

  it("is refused in first aid, over the studied size and with an empty reason", () => {
    const asked = { wedgeDegrees: 4, reason: "tendon pull", emergency: false, trialDays: 14 };
    expect(isAllowed(judgeWedge(asked))).toBe(true);
    expect(isAllowed(judgeWedge({ ...asked, emergency: true }))).toBe(false);
    expect(isAllowed(judgeWedge({ ...asked, wedgeDegrees: 7 }))).toBe(false);
    expect(isAllowed(judgeWedge({ ...asked, reason: "  " }))).toBe(false);
    expect(judgeWedge({ ...asked, wedgeDegrees: 0, emergency: true })).toEqual([]);
  });

  it("asks for an end date within three weeks and shows that sources disagree", () => {
    const asked = { wedgeDegrees: 4, reason: "tendon pull", emergency: false };
    const outcome = (trialDays?: number) =>
      judgeWedge(trialDays === undefined ? asked : { ...asked, trialDays }).find(
        (finding) => finding.rule === "trim/wedge-trial@1",
      )?.outcome;
    expect(outcome()).toBe("warn");
    expect(outcome(22)).toBe("warn");
    expect(outcome(21)).toBeUndefined();
    expect(judgeWedge(asked).some((finding) => finding.rule === "trim/wedge-sides@1")).toBe(true);
  });
});

describe("before a prescription is signed", () => {
  it("passes a plan with a fresh, scaled, confirmed film", () => {
    expect(isAllowed(judge({}))).toBe(true);
    expect(outcomeOf(judge({}), "prescription/film-age@1")).toBe("pass");
  });

  it("shows a 20-day film amber in treatment and not in maintenance", () => {
    const old = { films: [{ ...film, ageDays: 20 }] };
    const treated = judge({}, { context: old });
    expect(outcomeOf(treated, "prescription/film-age@1")).toBe("warn");
    expect(treated.find((finding) => finding.rule === "prescription/film-age@1")?.detail).toContain(
      "20 days",
    );
    expect(
      outcomeOf(
        judge({}, { context: { ...old, phase: "maintenance" } }),
        "prescription/film-age@1",
      ),
    ).toBe("pass");
    const edge = { films: [{ ...film, ageDays: 14 }] };
    expect(outcomeOf(judge({}, { context: edge }), "prescription/film-age@1")).toBe("pass");
  });

  it("blocks a film without scale, without a confirmed side, or none at all", () => {
    const blocked = (films: readonly PrescriptionFilm[]) =>
      !isAllowed(judge({}, { context: { films } }));
    expect(blocked([{ ...film, hasScale: false }])).toBe(true);
    expect(blocked([{ ...film, sideConfirmed: false }])).toBe(true);
    expect(blocked([])).toBe(true);
    expect(blocked([{ ...film, foot: "RF" }])).toBe(true);
    const firstAid = judge({}, { context: { films: [], emergency: true } });
    expect(outcomeOf(firstAid, "prescription/film@1")).toBe("warn");
    const quality = judge({}, { context: { films: [{ ...film, missingQuality: ["block"] }] } });
    expect(outcomeOf(quality, "prescription/film-quality@1")).toBe("note");
  });

  it("refuses over 10 mm of heel, warns over the house 6 and allows 6", () => {
    const steep = { ...still, palmarAngleDegrees: degrees(14), soleDepthWingMm: mm(30) };
    expect(
      outcomeOf(judge({ heelRemoveMm: 10.5 }, { measures: steep }), "prescription/heel-hard@1"),
    ).toBe("block");
    expect(
      outcomeOf(judge({ heelRemoveMm: 8 }, { measures: steep }), "prescription/heel-house@1"),
    ).toBe("warn");
    expect(isAllowed(judge({ heelRemoveMm: 8 }, { measures: steep }))).toBe(true);
    expect(
      judge({ heelRemoveMm: 6 }, { measures: steep }).some((finding) =>
        finding.rule.startsWith("prescription/heel"),
      ),
    ).toBe(false);
    const firstAid = judge({ heelRemoveMm: 2 }, { measures: steep, context: { emergency: true } });
    expect(isAllowed(firstAid)).toBe(false);
  });

  it("tests the sole that remains at its lower 95 % bound", () => {
    const thin = { ...still, palmarAngleDegrees: degrees(9), soleDepthWingMm: mm(14) };
    expect(isAllowed(judge({ heelRemoveMm: 6 }, { measures: thin }))).toBe(false);
    expect(isAllowed(judge({ heelRemoveMm: 1 }, { measures: thin }))).toBe(true);
    expect(
      outcomeOf(
        judge({}, { measures: { ...still, soleDepthTipMm: mm(8) } }),
        "prescription/sole-tip@1",
      ),
    ).toBe("warn");
    expect(outcomeOf(judge({ soleMinMm: 9 }), "prescription/sole-min@1")).toBe("block");
  });

  it("blocks breakover moved forward, and questions sums and angles that do not add up", () => {
    expect(outcomeOf(judge({ breakoverFromP3TipMm: 6 }), "prescription/breakover-forward@1")).toBe(
      "block",
    );
    expect(outcomeOf(judge({ breakoverFromP3TipMm: 2 }), "prescription/breakover-sum@1")).toBe(
      "warn",
    );
    expect(outcomeOf(judge({ heelRemoveMm: 5 }), "prescription/angle-under@1")).toBe("warn");
    expect(
      outcomeOf(
        judge({ palmarAngleTargetDegrees: { low: 6, high: 4 } }),
        "prescription/angle-band@1",
      ),
    ).toBe("block");
    expect(
      outcomeOf(
        judge({ heelRemoveMm: 1 }, { measures: sinking }),
        "prescription/heel-founder-moving@1",
      ),
    ).toBe("warn");
  });

  it("warns of more toe than wall, bevel and shoe allow, and of more than one stage", () => {
    const long = { ...still, breakoverDistanceMm: mm(46), bearingLengthMm: mm(140) };
    const far = judge({ toeBackMm: 40, breakoverFromP3TipMm: 6, shoe: "bare" }, { measures: long });
    expect(outcomeOf(far, "prescription/toe-house@1")).toBe("warn");
    expect(outcomeOf(far, "prescription/toe-reach@1")).toBe("warn");
    const staged = judge(
      { toeBackMm: 20, breakoverFromP3TipMm: 26, shoe: "bare" },
      { measures: long },
    );
    expect(outcomeOf(staged, "prescription/toe-reach@1")).toBeUndefined();
  });

  it("blocks a plan on measures that cannot belong to a foot instead of failing", () => {
    const findings = judge({}, { measures: { ...still, bearingLengthMm: mm(5) } });
    expect(findings.find((finding) => finding.rule === "trim/measures@1")).toMatchObject({
      outcome: "block",
      field: "/measures/LF",
    });
  });

  it("blocks a cycle over the ceiling without the vet's reason", () => {
    expect(outcomeOf(judge({}, { intervalDays: 15 }), "prescription/interval@1")).toBe("block");
    expect(
      outcomeOf(
        judge({}, { intervalDays: 15, context: { longerReason: "owner away, seen weekly" } }),
        "prescription/interval@1",
      ),
    ).toBe("warn");
    expect(outcomeOf(judge({}, { intervalDays: 0 }), "prescription/interval@1")).toBe("block");
    expect(outcomeOf(judge({}, { intervalDays: 14 }), "prescription/interval@1")).toBeUndefined();
  });

  it("wants each foot once, and a mark the farrier can find", () => {
    const none = judgePrescription({ feet: [], intervalDays: 7 }, {}, context);
    expect(isAllowed(none)).toBe(false);
    const twice = judgePrescription({ feet: [plan, plan], intervalDays: 7 }, {}, context);
    expect(twice[0]?.detail).toContain("LF");
    const { breakoverFromFrogTipMm: _, ...unmarked } = plan;
    const findings = judgePrescription({ feet: [unmarked], intervalDays: 7 }, {}, context);
    expect(outcomeOf(findings, "prescription/frog-tip@1")).toBe("note");
  });
});
