import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  addAnimal,
  atTime,
  BUTE_PASTE,
  BUTE_SACHETS,
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
  team = await atTime(service, "2026-10-14T09:50:00+01:00");
});
afterAll(async () => {
  await service.close();
});

const tally = (answers: readonly { readonly status: number }[]): Record<number, number> => {
  const counted: Record<number, number> = {};
  for (const { status } of answers) counted[status] = (counted[status] ?? 0) + 1;
  return counted;
};

describe("many people at once", () => {
  it("forty taps on one dose give one record, and thirty-nine are told who gave it", async () => {
    const horse = await addAnimal(service, { name: "Forty" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    const course = await signedCourse(
      team.vet,
      horse,
      courseOf(...BUTE_SACHETS, "2026-10-14", [{ doseMg: 2000, timesLocal: ["10:00", "22:00"] }]),
    );
    const answers = await Promise.all(
      Array.from({ length: 40 }, (_, index) =>
        (index % 2 === 0 ? team.carer : team.vet).send("post", `/courses/${course.id}/doses`, {
          scheduledAt: "2026-10-14T10:00:00+01:00",
          givenAt: "2026-10-14T09:50:00+01:00",
          outcome: "given",
        }),
      ),
    );
    expect(tally(answers)).toEqual({ 201: 1, 409: 39 });
    const winner = answers.find((answer) => answer.status === 201);
    for (const refused of answers.filter((answer) => answer.status === 409)) {
      expect(refused.body.detail).toContain(winner?.body.givenBy.name);
      expect(refused.body.recordId).toBe(winner?.body.id);
    }
    expect(
      await service.query(
        "SELECT count(*)::int AS n, sum(dose_mg)::int AS mg FROM dose_records WHERE horse_id = $1",
        [horse],
      ),
    ).toEqual([{ n: 1, mg: 2000 }]);
  });

  it("twenty signatures under twenty drafts, each allowed by itself, never pass the limit together", async () => {
    const horse = await addAnimal(service, { name: "Twenty" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    // 1,000 mg each: two make the 4.4 mg/kg of days 2 to 5 (2,200 mg), three are over.
    const drafts = await Promise.all(
      Array.from({ length: 20 }, (_, index) =>
        team.vet.send(
          "post",
          `/horses/${horse}/courses`,
          courseOf(...BUTE_PASTE, "2026-10-14", [
            {
              toDay: 5,
              doseMg: 1000,
              timesLocal: [`${10 + (index % 10)}:${index < 10 ? "05" : "35"}`],
            },
          ]),
        ),
      ),
    );
    expect(tally(drafts)).toEqual({ 201: 20 });
    const answers = await Promise.all(
      drafts.map((draft) =>
        team.vet.send("post", `/courses/${draft.body.id}/signature`, {}, draft.body.version),
      ),
    );
    expect(tally(answers)).toEqual({ 200: 1, 422: 19 });
    const [sum] = await service.query(
      "SELECT sum((steps->0->>'doseMg')::float)::int AS mg FROM medication_courses WHERE horse_id = $1 AND status = 'signed'",
      [horse],
    );
    expect(Number(sum?.["mg"]) / 500).toBeLessThanOrEqual(4.4);
  });

  it("twenty signatures under one draft make one signature", async () => {
    const horse = await addAnimal(service, { name: "One" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    const draft = await team.vet.send(
      "post",
      `/horses/${horse}/courses`,
      courseOf(...BUTE_PASTE, "2026-10-14", [{ doseMg: 1000, timesLocal: ["20:00"] }]),
    );
    const answers = await Promise.all(
      Array.from({ length: 20 }, () =>
        team.vet.send("post", `/courses/${draft.body.id}/signature`, {}, 1),
      ),
    );
    expect(tally(answers)).toEqual({ 200: 1, 412: 19 });
    expect(
      await service.query(
        "SELECT count(*)::int AS n FROM audit_entries WHERE event = 'course.signed' AND subject_id = $1",
        [draft.body.id],
      ),
    ).toEqual([{ n: 1 }]);
  });

  it("weighings and red flags at the same moment neither deadlock nor hold twice for one cause", async () => {
    const horse = await addAnimal(service, { name: "Both" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    const course = await signedCourse(
      team.vet,
      horse,
      courseOf(...BUTE_PASTE, "2026-10-14", [{ toDay: 3, doseMg: 2000, timesLocal: ["20:00"] }]),
    );
    const answers = await Promise.all(
      Array.from({ length: 16 }, (_, index) =>
        index % 2 === 0
          ? team.carer.send("post", `/horses/${horse}/weighings`, {
              method: "scale",
              weightKg: 430,
              weighedAt: "2026-10-14T09:50:00+01:00",
            })
          : team.carer.send("post", `/horses/${horse}/care-checks`, {
              examinedAt: "2026-10-14T09:50:00+01:00",
              signs: ["colic"],
            }),
      ),
    );
    expect(tally(answers)).toEqual({ 201: 16 });
    expect(
      await service.query(
        "SELECT why, count(*)::int AS n FROM holds WHERE course_id = $1 GROUP BY why ORDER BY why",
        [course.id],
      ),
    ).toEqual([
      { why: "red flag", n: 1 },
      { why: "weight", n: 1 },
    ]);
  });
});
