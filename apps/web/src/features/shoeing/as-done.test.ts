import { describe, expect, it } from "vitest";
import {
  bodyOf,
  departuresOf,
  fillAsPlanned,
  frogBehindMm,
  lacking,
  type Plan,
  startDraft,
  toggleFoot,
  withFoot,
} from "./as-done.ts";

const foot = {
  foot: "LF" as const,
  toeBackMm: 12,
  breakoverFromP3TipMm: 16,
  breakoverFromFrogTipMm: 28,
  heelRemoveMm: 4,
  palmarAngleTargetDegrees: { low: 3, high: 5 },
  soleMinMm: 10,
  wedgeDegrees: 0,
  wedgeReason: null,
  shoe: "rolled-bar",
  supportFill: "full",
  fixing: "glue",
  limitMm: null,
  notes: null,
};
const plan = { id: "plan", feet: [foot, { ...foot, foot: "RF" as const }] } as unknown as Plan;
const NOON = "2026-10-14T12:00:00+01:00";
const withDate = (draft: ReturnType<typeof startDraft>) => ({
  ...draft,
  next: "date" as const,
  bookedFor: "2026-11-11T09:00:00+00:00",
});

describe("as planned, in one tap", () => {
  const done = fillAsPlanned(startDraft(plan), plan);

  it("fills two figures a foot and the device, and leaves only the next date to ask for", () => {
    expect(lacking(done, plan)).toEqual(["next"]);
    expect(lacking(withDate(done), plan)).toEqual([]);
    expect(departuresOf(done, plan)).toEqual([]);
  });

  it("shows breakover from the frog tip, which a farrier can find, and records it from the tip of P3", () => {
    expect(frogBehindMm(foot)).toBe(12);
    expect(done.feet[0]?.breakoverMm).toBe(28);
    const body = bodyOf(withDate(done), plan, NOON);
    expect(body.feet[0]?.breakoverAfterMm).toBe(16);
    expect(body.asPlanned).toBe(true);
  });
});

describe("departures", () => {
  const [left] = fillAsPlanned(startDraft(plan), plan).feet;
  const changed = withFoot(fillAsPlanned(startDraft(plan), plan), {
    ...left!,
    heelRemovedMm: 1,
    shoe: "heart-bar",
  });

  it("are named, and need a reason before the work can be recorded", () => {
    expect(departuresOf(changed, plan).join(" ")).toContain("heel removed");
    expect(departuresOf(changed, plan).join(" ")).toContain("heart-bar");
    expect(lacking(withDate(changed), plan)).toEqual(["departures"]);
    const said = { ...withDate(changed), departures: "Heels too weak today" };
    expect(lacking(said, plan)).toEqual([]);
    expect(bodyOf(said, plan, NOON)).toMatchObject({
      asPlanned: false,
      departures: "Heels too weak today",
    });
  });

  it("within tolerance ask for nothing", () => {
    const near = withFoot(fillAsPlanned(startDraft(plan), plan), { ...left!, breakoverMm: 29.5 });
    expect(departuresOf(near, plan)).toEqual([]);
  });
});

describe("without a date", () => {
  it("needs the reason and the person who finds one", () => {
    const done = { ...fillAsPlanned(startDraft(plan), plan), next: "none" as const };
    expect(lacking(done, plan)).toEqual(["noDateReason", "personToBook"]);
    const body = bodyOf(
      { ...done, noDateReason: "Owner away", personToBook: "someone" },
      plan,
      NOON,
    );
    expect(body.nextReset).toEqual({ noDateReason: "Owner away", personToBook: "someone" });
  });
});

describe("without a plan", () => {
  it("asks for both fronts, compares nothing and counts breakover from the tip of P3", () => {
    const start = startDraft(undefined);
    expect(start.feet.map((one) => one.foot)).toEqual(["LF", "RF"]);
    expect(lacking(start, undefined)).toEqual(["figures", "next"]);
    const one = toggleFoot(start, "RF");
    const done = withFoot(one, { ...one.feet[0]!, breakoverMm: 20, heelRemovedMm: 0 });
    const body = bodyOf(withDate(done), undefined, NOON);
    expect(body.feet).toHaveLength(1);
    expect(body.feet[0]?.breakoverAfterMm).toBe(20);
    expect("prescriptionId" in body).toBe(false);
  });
});
