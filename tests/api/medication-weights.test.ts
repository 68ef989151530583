import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  addAnimal,
  atTime,
  BUTE_PASTE,
  courseOf,
  signedCourse,
  weighedBefore,
  type Team,
} from "../support/medicine.ts";
import { startTestService, type TestService } from "../support/service.ts";

let service: TestService;
let team: Team;
beforeAll(async () => {
  service = await startTestService();
});
afterAll(async () => {
  await service.close();
});

describe("a new weight", () => {
  it("428 kg by tape, then 385 on the scale: bute at 900 mg is held in one message, and only a new course goes on", async () => {
    const horse = await addAnimal(service, { name: "Lighter", heightCm: 150 });
    await weighedBefore(service, horse, 428, "2026-10-12T08:00:00+01:00");
    team = { vet: service.vet, carer: service.carer, manager: service.manager };
    const bute = await signedCourse(
      team.vet,
      horse,
      courseOf(...BUTE_PASTE, "2026-10-14", [{ toDay: 20, doseMg: 900, timesLocal: ["20:00"] }], {
        continuesFromDay: 6,
      }),
    );
    const pergolide = await signedCourse(
      team.vet,
      horse,
      courseOf("pergolide", "pergolide-tablet-1mg", "2026-10-14", [
        { toDay: 30, doseMg: 0.5, timesLocal: ["08:00"] },
      ]),
    );
    const weighed = await team.carer.send("post", `/horses/${horse}/weighings`, {
      method: "scale",
      weightKg: 385,
      weighedAt: "2026-10-14T07:10:00+01:00",
    });
    expect(weighed.status).toBe(201);
    expect(weighed.body.heldCourseIds).toEqual([bute.id]);
    expect(weighed.body.messages).toHaveLength(1);
    // 900 / 385 = 2.34 mg/kg against the data sheet's 2.2 from day 6; 10.0 % lost.
    expect(weighed.body.messages[0]).toContain("−10.0 %");
    expect(weighed.body.messages[0]).toContain("2.34 mg/kg is over 2.20 mg/kg");
    const held = await team.vet.get(`/courses/${bute.id}`);
    expect(held.body).toMatchObject({ status: "held" });
    expect((await team.vet.get(`/courses/${pergolide.id}`)).body.status).toBe("signed");
    const released = await team.vet.send(
      "post",
      `/courses/${bute.id}/release`,
      { reason: "looks well" },
      held.body.version,
    );
    expect(released.status).toBe(422);
    expect(released.body.findings.map((one: { rule: string }) => one.rule)).toContain(
      "medication/rolling-limit@1",
    );
    const body = courseOf(
      ...BUTE_PASTE,
      "2026-10-14",
      [{ toDay: 8, doseMg: 800, timesLocal: ["20:00"] }],
      { continuesFromDay: 6, replacesCourseId: bute.id },
    );
    const again = await signedCourse(team.vet, horse, body);
    expect(again).toMatchObject({ status: "signed", weightKg: 385 });
    expect((await team.vet.get(`/courses/${bute.id}`)).body.status).toBe("stopped");
  });

  it("an older weighing written down late, or a guess by eye, holds nothing", async () => {
    const horse = await addAnimal(service, { name: "Guessed", heightCm: 160 });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    const course = await signedCourse(
      team.vet,
      horse,
      courseOf(...BUTE_PASTE, "2026-10-14", [{ toDay: 3, doseMg: 1100, timesLocal: ["20:00"] }]),
    );
    const weigh = (method: string, weighedAt: string) =>
      team.carer.send("post", `/horses/${horse}/weighings`, { method, weightKg: 350, weighedAt });
    expect((await weigh("scale", "2026-10-01T08:00:00+01:00")).body).toMatchObject({
      heldCourseIds: [],
      messages: [],
    });
    const guess = await weigh("estimate", "2026-10-14T07:10:00+01:00");
    expect(guess.body.heldCourseIds).toEqual([]);
    expect(guess.body.messages[0]).toContain("cannot carry a dose");
    expect((await team.vet.get(`/courses/${course.id}`)).body.status).toBe("signed");
  });
});

describe("the nights when clocks change (Europe/Dublin, 25 October 2026 and 28 March 2027)", () => {
  it("a dose in the repeated hour is due once, and one in the hour that is skipped is not lost", async () => {
    const horse = await addAnimal(service, { name: "Night", heightCm: 160 });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    const course = await signedCourse(
      team.vet,
      horse,
      courseOf("pergolide", "pergolide-tablet-1mg", "2026-10-14", [
        { toDay: 200, doseMg: 1, timesLocal: ["01:30"] },
      ]),
    );
    const slots = async (date: string) =>
      (await team.carer.get(`/care-days/${date}`)).body.doses
        .filter((one: { courseId: string }) => one.courseId === course.id)
        .map((one: { scheduledAt: string }) => one.scheduledAt);
    expect(await slots("2026-10-24")).toEqual(["2026-10-24T00:30:00.000Z"]);
    expect(await slots("2026-10-25")).toEqual(["2026-10-25T00:30:00.000Z"]);
    expect(await slots("2026-10-26")).toEqual(["2026-10-26T01:30:00.000Z"]);
    expect(await slots("2027-03-28")).toEqual(["2027-03-28T01:30:00.000Z"]);
    expect(await slots("2027-03-29")).toEqual(["2027-03-29T00:30:00.000Z"]);
    const give = (scheduledAt: string, givenAt: string) =>
      team.carer.send("post", `/courses/${course.id}/doses`, {
        scheduledAt,
        givenAt,
        outcome: "given",
      });
    team = await atTime(service, "2026-10-25T01:30:00+01:00");
    expect((await give("2026-10-25T01:30:00+01:00", "2026-10-25T01:30:00+01:00")).status).toBe(201);
    team = await atTime(service, "2026-10-25T01:30:00+00:00");
    // The clock shows 01:30 again an hour later: it is not another dose.
    const second = await give("2026-10-25T01:30:00+00:00", "2026-10-25T01:30:00+00:00");
    expect(second.status).toBe(400);
    const twin = await give("2026-10-25T01:30:00+01:00", "2026-10-25T01:30:00+00:00");
    expect(twin.status).toBe(409);
    expect(
      await service.query("SELECT count(*)::int AS n FROM dose_records WHERE course_id = $1", [
        course.id,
      ]),
    ).toEqual([{ n: 1 }]);
  });
});

describe("a case that is closed", () => {
  it("keeps its courses readable and takes no draft, signature, dose or hold any more", async () => {
    const horse = await addAnimal(service, { name: "Closed", heightCm: 160 });
    team = await atTime(service, "2026-10-26T08:00:00+00:00");
    await weighedBefore(service, horse, 500, "2026-10-25T08:00:00+00:00");
    const opened = await team.vet.send("post", "/cases", { horseId: horse, phase: "acute" });
    expect(opened.status).toBe(201);
    const bute = (doseMg: number, time: string) =>
      courseOf(...BUTE_PASTE, "2026-10-26", [{ toDay: 5, doseMg, timesLocal: [time] }]);
    const course = await signedCourse(team.vet, horse, bute(1000, "09:00"));
    expect(course.caseId).toBe(opened.body.id);
    const draft = await team.vet.send("post", `/horses/${horse}/courses`, {
      ...courseOf("omeprazole", "omeprazole-granules-400mg", "2026-10-27", [
        { doseMg: 1200, timesLocal: ["07:00"] },
      ]),
    });
    const overrides = (draft.body.findings as { rule: string; outcome: string }[])
      .filter((one) => one.outcome === "warn")
      .map((one) => ({ rule: one.rule, reason: "ulcers seen" }));
    const closed = await team.vet.send(
      "post",
      `/cases/${opened.body.id}/closure`,
      {
        reason: "died",
        note: "Colic in the night.",
        farrierToldById: service.vet.id,
        carerToldById: service.vet.id,
      },
      opened.body.version,
    );
    expect(closed.status).toBe(200);
    const { body } = await team.carer.get(`/courses/${course.id}`);
    expect(body).toMatchObject({ status: "stopped", stopReason: "case closed: died" });
    const answers = [
      await team.vet.send("post", `/courses/${draft.body.id}/signature`, { overrides }, 1),
      await team.vet.send("patch", `/courses/${draft.body.id}`, { instructions: "x" }, 1),
      await team.vet.send("post", `/courses/${course.id}/release`, { reason: "x" }, body.version),
      await team.carer.send("post", `/courses/${course.id}/hold`, { reason: "x" }, body.version),
      await team.carer.send("post", `/courses/${course.id}/doses`, {
        scheduledAt: "2026-10-26T09:00:00+00:00",
        givenAt: "2026-10-26T08:00:00+00:00",
        outcome: "given",
      }),
      await team.vet.send("post", `/horses/${horse}/courses`, bute(500, "20:00")),
      await team.vet.send("post", `/horses/${horse}/doses`, {
        drugKey: "phenylbutazone",
        route: "intravenous",
        doseMg: 500,
        givenAt: "2026-10-26T08:00:00+00:00",
      }),
      await team.carer.send("post", `/horses/${horse}/dose-requests`, {
        drugKey: "phenylbutazone",
        doseMg: 500,
        timesPerDay: 1,
        askedBy: "the owner",
      }),
    ];
    expect(answers.map((answer) => answer.status)).toEqual(Array(8).fill(409));
    expect(answers.every((answer) => answer.body.type.endsWith("/record-sealed"))).toBe(true);
    expect((await team.vet.get(`/horses/${horse}/doses`)).body.items).toEqual([]);
  });
});

describe("by the vein", () => {
  it("a course into the vein is shown to the yard as the vet's and cannot be ticked by a carer", async () => {
    const horse = await addAnimal(service, { name: "Vein Course", heightCm: 160 });
    await weighedBefore(service, horse, 500, "2026-10-25T08:00:00+00:00");
    const course = await signedCourse(
      team.vet,
      horse,
      courseOf(
        "flunixin",
        "flunixin-injection-50mg-ml",
        "2026-10-26",
        [{ toDay: 2, doseMg: 540, timesLocal: ["08:30"] }],
        { route: "intravenous" },
      ),
    );
    const day = await team.carer.get("/care-days/2026-10-26");
    expect(day.body.doses).toContainEqual(
      expect.objectContaining({ courseId: course.id, state: "needs vet" }),
    );
    const dose = {
      scheduledAt: "2026-10-26T08:30:00+00:00",
      givenAt: "2026-10-26T08:00:00+00:00",
      outcome: "given",
    };
    const carer = await team.carer.send("post", `/courses/${course.id}/doses`, dose);
    expect(carer.status).toBe(422);
    expect(carer.body.findings).toContainEqual(
      expect.objectContaining({ rule: "medication/vein-by-vet@1", outcome: "block" }),
    );
    expect((await team.vet.send("post", `/courses/${course.id}/doses`, dose)).status).toBe(201);
  });
});
