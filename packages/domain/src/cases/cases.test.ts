import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { isAllowed } from "../evidence/index.ts";
import { MS_PER_DAY, MS_PER_HOUR } from "../time/index.ts";
import {
  CASE_ACTIONS,
  NEXT_PHASES,
  PHASES,
  PHASE_SETTINGS,
  closeCase,
  closedCaseIsReadOnly,
  judgeLadderStart,
  judgePhaseChange,
  judgeRelease,
  judgeSteroid,
  ladderNext,
  phaseRank,
  suggestPhase,
  supportLimbChecksDue,
  supportLimbWatch,
  turnoutClock,
  visibleToOwner,
  type PhaseChange,
} from "./index.ts";

const onset = Date.parse("2026-07-06T17:40:00Z");
const hours = (count: number) => onset + count * MS_PER_HOUR;

/** Phases: Hunt & Wharton 2010 (72 h; chronic with displacement at any hour); Floyd 2011 for the other reading. */
describe("suggested phase", () => {
  const phase = (facts: Partial<Parameters<typeof suggestPhase>[0]>, atMs: number) =>
    suggestPhase({ onsetAtMs: onset, ...facts }, atMs).phase;

  it("is subacute 73 h after onset without displacement, acute just before 72 h", () => {
    expect(phase({}, hours(73))).toBe("subacute");
    expect(phase({}, hours(72))).toBe("subacute");
    expect(phase({}, hours(72) - 1)).toBe("acute");
  });

  it("is chronic 30 h after onset once the bone has moved, not acute", () => {
    expect(phase({ displacedAtMs: hours(30) }, hours(30))).toBe("chronic active");
    expect(phase({ displacedAtMs: hours(30) }, hours(29))).toBe("acute");
  });

  it("never turns chronic on hours alone", () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 5000 }), (count) => {
        expect(phase({}, hours(count))).not.toBe("chronic active");
      }),
    );
  });

  it("stays acute to six weeks where the practice reads it so", () => {
    const other = {
      ...PHASE_SETTINGS,
      acuteHours: { ...PHASE_SETTINGS.acuteHours, value: 6 * 7 * 24 },
    };
    expect(suggestPhase({ onsetAtMs: onset }, hours(73), other).phase).toBe("acute");
    expect(suggestPhase({ onsetAtMs: onset }, hours(1008), other).phase).toBe("subacute");
  });

  it("suggests maintenance after 30 sound days without painkillers, with still films if the bone had moved", () => {
    const comfortableSinceMs = hours(500);
    const later = (days: number) => comfortableSinceMs + days * MS_PER_DAY;
    expect(phase({ comfortableSinceMs }, later(30))).toBe("maintenance");
    expect(phase({ comfortableSinceMs }, later(30) - 1)).toBe("subacute");
    const displacedAtMs = hours(40);
    expect(phase({ comfortableSinceMs, displacedAtMs }, later(30))).toBe("chronic active");
    expect(phase({ comfortableSinceMs, displacedAtMs, filmsStable: true }, later(30))).toBe(
      "maintenance",
    );
  });
});

const change: PhaseChange = {
  from: "acute",
  to: "chronic active",
  byRole: "vet",
  handoffNoteId: "n1",
};
const rules = (one: PhaseChange) => judgePhaseChange(one).map((finding) => finding.rule);

describe("change of phase", () => {
  it("goes through with a vet and a handoff note, and not without either", () => {
    expect(judgePhaseChange(change)).toEqual([]);
    expect(rules({ ...change, byRole: "farrier" })).toEqual(["cases/phase-by-vet@1"]);
    expect(rules({ ...change, handoffNoteId: " " })).toEqual(["cases/phase-handoff@1"]);
  });

  it("follows the allowed steps exactly", () => {
    for (const from of PHASES)
      for (const to of PHASES) {
        if (to === "closed") continue;
        expect(isAllowed(judgePhaseChange({ ...change, from, to }))).toBe(
          NEXT_PHASES[from].includes(to),
        );
      }
  });

  it("lets a relapse return to acute from every open phase, and nothing leave closed", () => {
    for (const from of ["subacute", "chronic active", "maintenance"] as const)
      expect(NEXT_PHASES[from]).toContain("acute");
    expect(NEXT_PHASES.closed).toEqual([]);
  });

  it("asks why when the facts suggest another phase", () => {
    expect(rules({ ...change, suggested: "subacute" })).toEqual([
      "cases/phase-against-suggestion@1",
    ]);
    expect(rules({ ...change, suggested: "subacute", reason: "second film" })).toEqual([]);
    expect(rules({ ...change, suggested: "chronic active" })).toEqual([]);
  });

  it("closes only with its record: welfare talk, recovery, or where the horse went", () => {
    const closing = { ...change, to: "closed" } as const;
    expect(rules(closing)).toEqual(["cases/closing-record@1"]);
    expect(rules({ ...closing, closing: { reason: "recovered" } })).toEqual([
      "cases/closing-recovery@1",
    ]);
    expect(rules({ ...closing, closing: { reason: "recovered", recoveryRecordId: "r" } })).toEqual(
      [],
    );
    expect(rules({ ...closing, closing: { reason: "welfare decision" } })).toEqual([
      "cases/closing-welfare-talk@1",
      "cases/closing-tell-farrier@1",
      "cases/closing-tell-carer@1",
    ]);
    expect(rules({ ...closing, closing: { reason: "died" } })).toHaveLength(2);
    expect(rules({ ...closing, closing: { reason: "moved away" } })).toHaveLength(1);
  });

  it("stops every message on closing and names who is told by a person", () => {
    expect(closeCase({ reason: "welfare decision" })).toEqual({
      readOnly: true,
      messagesAllowed: false,
      remindersAllowed: false,
      tellInPerson: ["farrier", "carer"],
    });
    expect(closeCase({ reason: "recovered" }).tellInPerson).toEqual([]);
  });

  it("leaves a closed case readable and exportable and bars the rest", () => {
    expect(
      CASE_ACTIONS.filter((action) => isAllowed(closedCaseIsReadOnly("closed", action))),
    ).toEqual(["read", "export"]);
    for (const action of CASE_ACTIONS)
      expect(closedCaseIsReadOnly("maintenance", action)).toEqual([]);
  });

  it("ranks acute as most pressing", () => {
    expect(PHASES.toSorted((left, right) => phaseRank(left) - phaseRank(right))[0]).toBe("acute");
  });
});

describe("support-limb watch (house rule: cast, or lameness of grade 4 and more)", () => {
  const facts = { injuredFoot: "LF", inCast: false, since: "2026-03-20" } as const;

  it("opens on a cast and from grade 4, for the other foot of the pair, twice a day", () => {
    expect(supportLimbWatch({ ...facts, inCast: true })).toMatchObject({
      watchFoot: "RF",
      checksPerDay: 2,
      from: "2026-03-20",
    });
    expect(supportLimbWatch({ ...facts, lamenessGrade: 3 })).toBeUndefined();
    expect(supportLimbWatch({ ...facts, injuredFoot: "RH", lamenessGrade: 4 })?.watchFoot).toBe(
      "LH",
    );
    expect(supportLimbWatch(facts)).toBeUndefined();
  });

  it("counts the checks open today and those left out yesterday", () => {
    const watch = supportLimbWatch({ ...facts, inCast: true });
    if (watch === undefined) throw new Error("no watch");
    expect(supportLimbChecksDue(watch, ["2026-03-21", "2026-03-22"], "2026-03-22")).toEqual({
      due: 1,
      missedYesterday: 1,
    });
    expect(supportLimbChecksDue(watch, [], "2026-03-20")).toEqual({ due: 2, missedYesterday: 0 });
    expect(supportLimbChecksDue(watch, [], "2026-03-21")).toEqual({ due: 2, missedYesterday: 2 });
    expect(supportLimbChecksDue(watch, [], "2026-03-19")).toEqual({ due: 0, missedYesterday: 0 });
  });
});

/** 30 days sound without painkillers: clinic page. Three days of lasting effect: product particulars. */
describe("return to movement", () => {
  it("counts from the later of soundness and three days after the last painkiller", () => {
    const clock = turnoutClock(
      { soundSinceOn: "2026-07-31", lastPainkillerOn: "2026-07-20", onPainkiller: false },
      "2026-08-30",
    );
    expect(clock).toMatchObject({
      startsOn: "2026-07-31",
      soundDays: 30,
      earliestOn: "2026-08-30",
      reached: true,
    });
    expect(
      turnoutClock(
        { soundSinceOn: "2026-07-15", lastPainkillerOn: "2026-07-20", onPainkiller: false },
        "2026-08-21",
      ),
    ).toMatchObject({ startsOn: "2026-07-23", reached: false, soundDays: 29 });
  });

  it("does not run while medicated or sore", () => {
    expect(
      turnoutClock({ soundSinceOn: "2026-01-01", onPainkiller: true }, "2026-06-01"),
    ).toMatchObject({ soundDays: 0, reached: false });
    expect(turnoutClock({ onPainkiller: false }, "2026-06-01").reached).toBe(false);
  });

  it("lets one ladder live at a time", () => {
    const ladders = [
      { id: "a", state: "live" },
      { id: "b", state: "draft" },
    ] as const;
    expect(isAllowed(judgeLadderStart(ladders, "b"))).toBe(false);
    expect(isAllowed(judgeLadderStart(ladders, "a"))).toBe(true);
    expect(isAllowed(judgeLadderStart([{ id: "a", state: "ended" }], "b"))).toBe(true);
  });

  it("moves up after the unmedicated days, over a leap day, and stops on any sign", () => {
    const step = { stepIndex: 0, startedOn: "2028-02-26", daysNeeded: 4 };
    expect(ladderNext(step, [], [], "2028-02-29")).toEqual({ move: "stay", daysCounted: 3 });
    expect(ladderNext(step, [], [], "2028-03-01")).toEqual({ move: "up", daysCounted: 4 });
    expect(ladderNext(step, [], ["2028-02-28", "2028-02-28"], "2028-03-01")).toEqual({
      move: "stay",
      daysCounted: 3,
    });
    expect(ladderNext(step, [], ["2028-02-25", "2028-02-26", "2028-03-01"], "2028-03-01")).toEqual({
      move: "stay",
      daysCounted: 3,
    });
    expect(ladderNext(step, ["pulse up"], [], "2028-03-10").move).toBe("stop and ring the vet");
  });
});

describe("steroid in a horse with insulin trouble", () => {
  it("asks for a reason and opens a 14-day watch, which stands with or without the reason", () => {
    const given = { givenOn: "2028-02-20", insulinRisk: true };
    expect(judgeSteroid(given)).toMatchObject({
      watch: { fromOn: "2028-02-20", toOn: "2028-03-05" },
      findings: [{ outcome: "warn" }],
    });
    expect(judgeSteroid({ ...given, reason: "eye" }).findings[0]?.outcome).toBe("note");
    expect(judgeSteroid({ ...given, reason: "eye" }).watch).toBeDefined();
    expect(judgeSteroid({ ...given, insulinRisk: false })).toEqual({ findings: [] });
  });
});

describe("what an owner sees", () => {
  const at = hours(0);

  it("is nothing until a vet releases it, and nothing again once withdrawn", () => {
    const shown = (item: object) => visibleToOwner([{ id: "insulin", ...item }], at).length;
    expect(shown({})).toBe(0);
    expect(shown({ releasedAtMs: at })).toBe(1);
    expect(shown({ releasedAtMs: at + 1 })).toBe(0);
    expect(shown({ releasedAtMs: at - 2, withdrawnAtMs: at })).toBe(0);
    expect(shown({ releasedAtMs: at - 2, withdrawnAtMs: at + 1 })).toBe(1);
  });

  it("is released by a vet who has read it, and by nobody else", () => {
    expect(judgeRelease("vet", at)).toEqual([]);
    expect(isAllowed(judgeRelease("vet", undefined))).toBe(false);
    for (const role of ["farrier", "manager", "carer", "owner"] as const)
      expect(isAllowed(judgeRelease(role, at))).toBe(false);
  });
});
