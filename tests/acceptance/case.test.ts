import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { renderedFilm } from "../support/films.ts";
import { startTestService, type TestPerson, type TestService } from "../support/service.ts";
import { uploadFilm } from "../support/uploads.ts";

/**
 * A signed plan between vet and farrier. The hours are house rules of this project
 * (24 hours, 2 when urgent), to be confirmed by a practice; no published source.
 */
const HOUR = 3_600_000;
let service: TestService;
let caseId: string;
let filmId: string;

beforeAll(async () => {
  service = await startTestService();
  await service.vet.send("post", `/horses/${service.horseId}/weighings`, {
    method: "scale",
    weightKg: 480,
    weighedAt: "2026-10-13T08:00:00+01:00",
  });
  caseId = (
    await service.vet.send("post", "/cases", { horseId: service.horseId, phase: "chronic active" })
  ).body.id;
  const { points, dicom } = renderedFilm();
  filmId = (
    await uploadFilm(service, caseId, dicom, { foot: "LF", beamCentring: "hoof-ground interface" })
  ).body.id;
  await service.vet.send(
    "patch",
    `/radiographs/${filmId}`,
    { scale: { kind: "marker", lengthMm: 100 } },
    1,
  );
  await service.vet.send("post", `/radiographs/${filmId}/landmark-sets`, { points });
  const { body } = await service.farrier.get(`/radiographs/${filmId}`);
  await service.farrier.send(
    "post",
    `/radiographs/${filmId}/side-confirmation`,
    { foot: "LF" },
    body.version,
  );
});
afterAll(async () => {
  await service.close();
});

interface Plan {
  readonly id: string;
  readonly version: number;
}

const signedPlan = async (isUrgent: boolean, vet: TestPerson): Promise<Plan> => {
  const proposed = await vet.send("post", `/radiographs/${filmId}/trim-proposal`, {
    shoe: "rolled-bar",
    supportFill: "back-two-thirds",
    fixing: "glue",
  });
  const draft = await vet.send("post", `/cases/${caseId}/prescriptions`, {
    aim: "Load the back half, unload the toe",
    feet: [proposed.body.plan],
    doNot: ["no sole off the toe"],
    conditions: {},
    urgent: isUrgent,
    intervalDays: 28,
    radiographIds: [filmId],
  });
  expect(draft.status, draft.text).toBe(201);
  await vet.send("post", "/session/confirmation", {
    password: "a long pass phrase for tests",
  });
  const signed = await vet.send(
    "post",
    `/prescriptions/${draft.body.id}/signature`,
    {
      readBack: { filmOpened: true, targetsConfirmed: true },
      overrides: draft.body.findings
        .filter((one: { outcome: string }) => one.outcome === "warn")
        .map((one: { rule: string }) => ({ rule: one.rule, reason: "seen and accepted" })),
    },
    draft.body.version,
  );
  expect(signed.status, signed.text).toBe(200);
  return signed.body;
};

const stepsOf = async (person: TestPerson): Promise<readonly string[]> =>
  (await person.get("/queue")).body.items.map(
    (item: { nextAction: { key: string } }) => item.nextAction.key,
  );

describe("a plan the farrier declines", () => {
  it("is an answer with its reason: the vet has a note and a joint visit to plan within the minute", async () => {
    const plan = await signedPlan(false, service.vet);
    expect(
      (
        await service.farrier.send(
          "post",
          `/prescriptions/${plan.id}/reply`,
          { reply: "declined" },
          plan.version,
        )
      ).status,
    ).toBe(400);
    const declined = await service.farrier.send(
      "post",
      `/prescriptions/${plan.id}/reply`,
      { reply: "declined", text: "Pain: needs a block and a handler" },
      plan.version,
    );
    expect(declined.body).toMatchObject({
      status: "declined",
      repliedBy: { name: "Fintan Farrier" },
    });
    const notes = (await service.vet.get("/handoff-notes?state=open")).body.items;
    expect(JSON.stringify(notes)).toContain("Pain: needs a block and a handler");
    expect(JSON.stringify(notes)).toContain("joint visit");
    expect(await stepsOf(service.vet)).toContain("plan a joint visit");
  });
});

describe("who sees what", () => {
  it("tells the farrier the names of medicines and no dose, and the carer nothing of another yard", async () => {
    const far = await service.query(
      "INSERT INTO yards (practice_id, id, name, lat, lon, time_zone) VALUES ($1, gen_random_uuid(), 'Far Yard', 53.3, -9.1, 'Europe/Dublin') RETURNING id",
      [service.practiceId],
    );
    const elsewhere = await service.manager.send("post", "/horses", {
      name: "Elsewhere",
      type: "pony",
      sex: "gelding",
      bornOn: "2012-05-01",
      heightCm: 120,
      yardId: far[0]?.["id"],
    });
    expect(elsewhere.status, elsewhere.text).toBe(201);
    expect((await service.farrier.get(`/horses/${service.horseId}/courses`)).status).toBe(403);
    const file = await service.farrier.get(`/cases/${caseId}/file`);
    expect(file.body.courses).toEqual([]);
    expect((await service.carer.get(`/horses/${elsewhere.body.id}`)).status).toBe(404);
    const { body } = await service.carer.get("/horses");
    expect(body.items.map((one: { name: string }) => one.name)).toEqual(["Test Horse"]);
  });
});

describe("a plan the farrier does not answer", () => {
  /** Steps of a manager who signs in now: earlier sessions end while the clock runs. */
  const managersSteps = async (name: string) => stepsOf(await service.personWith("manager", name));

  it("waits two hours when it is urgent, then reaches the manager", async () => {
    await signedPlan(true, service.vet);
    expect(await stepsOf(service.farrier)).toContain("answer the plan");
    service.advance(HOUR);
    expect(await managersSteps("Mona One")).not.toContain("chase the reply");
    service.advance(HOUR + 60_000);
    expect(await managersSteps("Mona Two")).toContain("chase the reply");
  });

  it("waits 24 hours otherwise", async () => {
    await signedPlan(false, await service.personWith("vet", "Viola Vet"));
    service.advance(23 * HOUR);
    expect(await managersSteps("Mona Three")).not.toContain("chase the reply");
    service.advance(HOUR + 60_000);
    expect(await managersSteps("Mona Four")).toContain("chase the reply");
  });
});
