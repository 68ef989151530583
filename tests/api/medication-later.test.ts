import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  addAnimal,
  atTime,
  BUTE_SACHETS,
  courseOf,
  signedCourse,
  weighedBefore,
  type Team,
} from "../support/medicine.ts";
import { startTestService, type TestService } from "../support/service.ts";

/**
 * A dose given minutes late and the following doses signed to come later. The limit is the UK
 * label's 4.4 mg/kg in any 24 h on days 2-5, with 1.5 % for unit sizes: 1 g twice a day is exactly
 * full at 455 kg, so a third dose within 24 h breaks it.
 */
let service: TestService;
let team: Team;
let horse: string;
let course: { id: string; version: number };
beforeAll(async () => {
  service = await startTestService();
  team = await atTime(service, "2026-10-14T07:30:00+01:00");
  horse = await addAnimal(service, { name: "Late" });
  await weighedBefore(service, horse, 460, "2026-10-13T08:00:00+01:00");
  course = await signedCourse(
    team.vet,
    horse,
    courseOf(...BUTE_SACHETS, "2026-10-14", [
      { fromDay: 1, toDay: 1, doseMg: 2000, timesLocal: ["08:00", "20:00"] },
      { fromDay: 2, toDay: 5, doseMg: 1000, timesLocal: ["08:00", "20:00"] },
    ]),
  );
});
afterAll(async () => {
  await service.close();
});

const give = async (planned: string, given: string) => {
  team = await atTime(service, given);
  return team.carer.send("post", `/courses/${course.id}/doses`, {
    scheduledAt: planned,
    givenAt: given,
    outcome: "given",
  });
};
const read = async () => (await team.vet.get(`/courses/${course.id}`)).body;
const shift = async (byMinutes: number, person = team.vet) =>
  person.send(
    "post",
    `/courses/${course.id}/shift`,
    { byMinutes, reason: "the morning dose was late" },
    (await read()).version,
  );

describe("after a dose given late", () => {
  it("the vet is offered as many minutes as it was late, and sees the doses before and after", async () => {
    for (const [planned, given] of [
      ["2026-10-14T08:00:00+01:00", "2026-10-14T08:00:00+01:00"],
      ["2026-10-14T20:00:00+01:00", "2026-10-14T20:00:00+01:00"],
      ["2026-10-15T08:00:00+01:00", "2026-10-15T08:00:00+01:00"],
      ["2026-10-15T20:00:00+01:00", "2026-10-15T20:00:00+01:00"],
      ["2026-10-16T08:00:00+01:00", "2026-10-16T08:22:00+01:00"],
    ] as const)
      // One after the other, as the days go.
      // oxlint-disable-next-line no-await-in-loop
      expect((await give(planned, given)).status).toBe(201);
    team = await atTime(service, "2026-10-16T09:00:00+01:00");
    const checked = await team.vet.send("post", `/courses/${course.id}/shift-checks`, {});
    expect(checked.status).toBe(200);
    expect(checked.body).toMatchObject({ offeredMinutes: 25, byMinutes: 25, allowed: true });
    expect(checked.body.before[0]).toBe("2026-10-16T19:00:00.000Z");
    expect(checked.body.after[0]).toBe("2026-10-16T19:25:00.000Z");
    expect(checked.body.after[1]).toBe("2026-10-17T07:25:00.000Z");
  });

  it("a review is refused while three doses would fall into 24 hours, and goes through once they come later", async () => {
    const review = async () =>
      team.vet.send(
        "post",
        `/courses/${course.id}/review`,
        { reviewOn: "2026-10-18", reason: "walks better" },
        (await read()).version,
      );
    const refused = await review();
    expect(refused.status).toBe(422);
    expect(refused.body.findings.some((one: { outcome: string }) => one.outcome === "block")).toBe(
      true,
    );
    const signed = await shift(25);
    expect(signed.status, signed.text).toBe(200);
    expect(signed.body.shifts).toMatchObject([
      { byMinutes: 25, fromAt: "2026-10-16T19:00:00.000Z", reason: "the morning dose was late" },
    ]);
    // What was signed first stays as it was.
    expect(signed.body.steps[1].timesLocal).toEqual(["08:00", "20:00"]);
    expect((await review()).status).toBe(200);
  });

  it("the yard's list shows the later time, the seal is kept beside the course, and the yard has a note", async () => {
    const day = await team.carer.get("/care-days/2026-10-16");
    const mine = day.body.doses.filter((one: { courseId: string }) => one.courseId === course.id);
    expect(mine.map((one: { scheduledAt: string }) => one.scheduledAt)).toEqual([
      "2026-10-16T07:00:00.000Z",
      "2026-10-16T19:25:00.000Z",
    ]);
    const [stored] = await service.query("SELECT shifts FROM medication_courses WHERE id = $1", [
      course.id,
    ]);
    const [kept] = (stored?.["shifts"] ?? []) as { signedText: string; signature: string }[];
    expect(JSON.parse(kept?.signedText ?? "{}")).toMatchObject({
      courseId: course.id,
      byMinutes: 25,
    });
    expect(kept?.signature.length).toBeGreaterThan(40);
    const notes = await service.query(
      "SELECT must_do FROM handoff_notes WHERE horse_id = $1 AND situation LIKE '%given later%'",
      [horse],
    );
    expect(notes).toEqual([{ must_do: expect.stringContaining("16 October 2026 at 20:25") }]);
  });

  it("a phone that was offline and still names the old time records the same dose, once", async () => {
    const answer = await give("2026-10-16T20:00:00+01:00", "2026-10-16T20:30:00+01:00");
    expect(answer.status, answer.text).toBe(201);
    expect(answer.body.scheduledAt).toBe("2026-10-16T19:25:00.000Z");
    const again = await team.carer.send("post", `/courses/${course.id}/doses`, {
      scheduledAt: "2026-10-16T20:25:00+01:00",
      givenAt: "2026-10-16T20:30:00+01:00",
      outcome: "given",
    });
    expect(again.status).toBe(409);
  });

  it("the limits stay: at the old time the next dose is refused, at the new time it is taken", async () => {
    const early = await give("2026-10-17T08:25:00+01:00", "2026-10-17T08:05:00+01:00");
    expect(early.status).toBe(422);
    const onTime = await give("2026-10-17T08:25:00+01:00", "2026-10-17T08:25:00+01:00");
    expect(onTime.status, onTime.text).toBe(201);
  });

  it("refuses what is no shift, with the reason, and keeps that it was asked", async () => {
    const tooFar = await shift(400);
    expect(tooFar.status).toBe(422);
    expect(tooFar.body.detail).toContain("half the time to the next dose");
    expect((await team.vet.get(`/horses/${horse}/refused-requests`)).body.items[0]).toMatchObject({
      kind: "course shift",
    });
    expect((await shift(10, team.carer)).status).toBe(403);
    const stale = await team.vet.send(
      "post",
      `/courses/${course.id}/shift`,
      { byMinutes: 10, reason: "late" },
      1,
    );
    expect(stale.status).toBe(412);
  });
});
