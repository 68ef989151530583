import { describe, expect, it } from "vitest";
import {
  acuteReviewWindow,
  dueAfterReturn,
  dueWindow,
  filmsBeforeReset,
  pauseOn,
  planCover,
  readOwnerAnswer,
  resetStandingOn,
  summariseContacts,
  whoseMove,
} from "./index.ts";

describe("pauses", () => {
  const hospital = { kind: "hospital", fromOn: "2026-03-20", untilOn: "2026-04-02" } as const;

  it("hold from the first day to the day before the return", () => {
    expect(pauseOn([hospital], "2026-03-19")).toBeUndefined();
    expect(pauseOn([hospital], "2026-03-20")).toBe(hospital);
    expect(pauseOn([hospital], "2026-04-01")).toBe(hospital);
    expect(pauseOn([hospital], "2026-04-02")).toBeUndefined();
  });

  it("hold an open-ended hospital stay until a return is recorded", () => {
    const away = { kind: "hospital", fromOn: "2026-03-20" } as const;
    expect(pauseOn([away], "2026-09-01")).toBe(away);
  });

  it("never end after sale or death", () => {
    const dead = { kind: "euthanasia", fromOn: "2026-03-09" } as const;
    expect(pauseOn([dead], "2030-01-01")).toBe(dead);
    const window = dueWindow({
      lastDoneOn: "2026-02-24",
      intervalDays: 7,
      phase: "acute",
      zone: "Europe/Dublin",
    });
    expect(resetStandingOn(window, "2026-03-20", { pauses: [dead], painUp: true }).state).toBe(
      "paused",
    );
  });

  it("do not move the due day: horn grew on, so feet past due are seen the day after the return", () => {
    expect(dueAfterReturn("2026-03-30", "2026-04-02")).toBe("2026-04-03");
    expect(dueAfterReturn("2026-04-10", "2026-04-02")).toBe("2026-04-10");
  });
});

describe("films before a reset", () => {
  it("asks for a film when the last is over 14 days old in treatment, not at 14", () => {
    const need = (lastFilmOn: string) =>
      filmsBeforeReset({ resetOn: "2026-06-20", lastFilmOn, inTreatment: true }).needed;
    expect(need("2026-06-06")).toBe(false);
    expect(need("2026-06-05")).toBe(true);
  });

  it("asks when the plan's film day falls on or before the reset and no film was taken since", () => {
    const need = (nextFilmOn: string, lastFilmOn: string) =>
      filmsBeforeReset({ resetOn: "2026-06-20", nextFilmOn, lastFilmOn, inTreatment: false })
        .needed;
    expect(need("2026-06-20", "2026-04-01")).toBe(true);
    expect(need("2026-06-21", "2026-04-01")).toBe(false);
    expect(need("2026-06-10", "2026-06-10")).toBe(false);
  });

  it("says how old the last film will be on the day", () => {
    expect(
      filmsBeforeReset({ resetOn: "2026-06-20", lastFilmOn: "2026-06-01", inTreatment: true }),
    ).toMatchObject({ ageAtResetDays: 19, reason: "the last film will be 19 days old" });
  });

  it("asks for the first film in treatment and gives the days to take it", () => {
    expect(filmsBeforeReset({ resetOn: "2028-03-10", inTreatment: true })).toEqual({
      needed: true,
      takeFrom: "2028-02-25",
      takeBy: "2028-03-10",
      reason: "no film yet",
    });
  });
});

describe("whose move it is", () => {
  const people = { vet: "V1", farrier: "F2", manager: "M1" };
  const base = { state: "red", painUp: false, booked: false } as const;

  it("always names a person, also when nobody has called anybody", () => {
    expect(whoseMove(base, people)).toEqual({ role: "manager", person: "M1", action: "book" });
    expect(whoseMove({ ...base, lastOutcome: "cancelled" }, people).action).toBe("rebook");
    expect(whoseMove({ ...base, lastOutcome: "declined" }, people).person).toBe("V1");
    expect(whoseMove({ ...base, painUp: true }, people)).toMatchObject({
      role: "vet",
      action: "call the vet",
    });
    expect(whoseMove({ ...base, booked: true }, people).person).toBe("F2");
    expect(whoseMove({ ...base, booked: true, ownerConfirmed: false }, people).person).toBe("M1");
    expect(whoseMove({ ...base, state: "paused" }, people).action).toBe("none");
    expect(whoseMove({ ...base, state: "not due" }, people).action).toBe("none");
  });
});

describe("cover for an absent farrier", () => {
  const resets = [
    { resetId: "r1", farrierId: "F2", on: "2026-10-14", skillsNeeded: ["glue-on"], yardId: "Y4" },
    { resetId: "r2", farrierId: "F2", on: "2026-10-21", skillsNeeded: [], yardId: "Y3" },
    { resetId: "r3", farrierId: "F1", on: "2026-10-14", skillsNeeded: [], yardId: "Y4" },
    { resetId: "r4", farrierId: "F2", on: "2026-10-14", skillsNeeded: [], yardId: "Y9" },
  ];
  const farriers = [
    { farrierId: "F2", skills: ["glue-on"], yardIds: ["Y3", "Y4"] },
    { farrierId: "F3", skills: [], yardIds: ["Y1", "Y2", "Y3", "Y4"] },
  ];
  const away = { farrierId: "F2", fromOn: "2026-10-14", toOn: "2026-10-20" };

  it("moves only the days away to one who covers the yard and says which skill is lacking", () => {
    expect(planCover(resets, away, farriers)).toEqual([
      { resetId: "r1", toFarrierId: "F3", lacks: ["glue-on"] },
    ]);
    expect(planCover(resets, { ...away, toOn: "2026-10-21" }, farriers)).toHaveLength(2);
  });

  it("prefers the one who has every skill", () => {
    const [move] = planCover(resets, away, [
      ...farriers,
      { farrierId: "F4", skills: ["glue-on"], yardIds: ["Y4"] },
    ]);
    expect(move).toEqual({ resetId: "r1", toFarrierId: "F4", lacks: [] });
  });
});

describe("owners' answers and the contact log", () => {
  it("reads yes, no and call me, and leaves everything doubtful to a person", () => {
    expect(["Yes", "ok thanks", "yep see you then", "👍"].map(readOwnerAnswer)).toEqual([
      "yes",
      "yes",
      "yes",
      "yes",
    ]);
    expect(["No", "can’t do Friday", "yes but not Friday"].map(readOwnerAnswer)).toEqual([
      "no",
      "no",
      "no",
    ]);
    expect(["Call me", "yes please ring first"].map(readOwnerAnswer)).toEqual([
      "call me",
      "call me",
    ]);
    expect(["", "who is this", "maybe", "yesterday he was sore"].map(readOwnerAnswer)).toEqual([
      "unclear",
      "unclear",
      "unclear",
      "unclear",
    ]);
  });

  it("puts the two unanswered texts to the gelding's owner into one line", () => {
    const text = (on: string, more: object = {}) => ({
      on,
      atMs: Date.parse(`${on}T12:00:00Z`),
      by: "text" as const,
      ...more,
    });
    expect(
      summariseContacts([
        text("2026-10-08"),
        text("2026-09-01", { answer: "yes" }),
        text("2026-10-02"),
      ]),
    ).toMatchObject({
      lastAnswer: "yes",
      line: "2 unanswered tries: text 2 October 2026, text 8 October 2026",
    });
    expect(summariseContacts([text("2026-09-01", { answer: "no" })]).line).toBeUndefined();
    expect(summariseContacts([]).unanswered).toEqual([]);
  });
});

describe("acute review", () => {
  it("falls one to three days after the first visit, over a leap day too", () => {
    expect(acuteReviewWindow("2028-02-27")).toEqual({ fromOn: "2028-02-28", byOn: "2028-03-01" });
  });
});
