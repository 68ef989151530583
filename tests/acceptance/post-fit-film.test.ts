import { afterAll, beforeAll, expect, it } from "vitest";
import { renderedFilm } from "../support/films.ts";
import { startTestService, type TestService } from "../support/service.ts";
import { uploadFilm } from "../support/uploads.ts";

let service: TestService;
let caseId: string;

beforeAll(async () => {
  service = await startTestService();
  caseId = (
    await service.vet.send("post", "/cases", { horseId: service.horseId, phase: "chronic active" })
  ).body.id;
});
afterAll(async () => {
  await service.close();
});

/** A signed and accepted plan, carried out at seven in the morning. */
const visit = async (conditions: object) => {
  const drafted = await service.vet.send("post", `/cases/${caseId}/prescriptions`, {
    aim: "Unload the toe",
    feet: [
      {
        foot: "LF",
        toeBackMm: 4,
        breakoverFromP3TipMm: 6,
        heelRemoveMm: 0,
        palmarAngleTargetDegrees: { low: 3, high: 8 },
        soleMinMm: 10,
        shoe: "rolled-bar",
        supportFill: "back-two-thirds",
        fixing: "glue",
      },
    ],
    conditions: { emergency: true, ...conditions },
    intervalDays: 14,
  });
  const signed = await service.vet.send(
    "post",
    `/prescriptions/${drafted.body.id}/signature`,
    {
      readBack: { filmOpened: true, targetsConfirmed: true },
      overrides: drafted.body.findings
        .filter((one: { outcome: string }) => one.outcome === "warn")
        .map((one: { rule: string }) => ({ rule: one.rule, reason: "first aid" })),
    },
    1,
  );
  expect(signed.status).toBe(200);
  await service.farrier.send(
    "post",
    `/prescriptions/${drafted.body.id}/reply`,
    { reply: "accepted" },
    2,
  );
  const done = await service.farrier.send("post", `/horses/${service.horseId}/shoeing-records`, {
    prescriptionId: drafted.body.id,
    doneAt: new Date(service.now() - 60_000).toISOString(),
    asPlanned: true,
    feet: [
      {
        foot: "LF",
        breakoverBeforeMm: 10,
        breakoverAfterMm: 6,
        heelRemovedMm: 0,
        toeBackMm: 4,
        shoe: "rolled-bar",
        supportFill: "back-two-thirds",
        fixing: "glue",
      },
    ],
    nextReset: { bookedFor: "2026-10-27T09:00:00Z" },
  });
  expect(done.status).toBe(201);
  return done.body;
};

const settle = (id: string, body: object) =>
  service.vet.send("post", `/shoeing-records/${id}/post-fit-film`, body);

it("keeps a visit open until the film after fitting is attached or waived with a reason", async () => {
  const done = await visit({});
  expect(done.postFitFilm).toEqual({
    state: "wanted",
    radiographIds: [],
    waivedReason: null,
    settledBy: null,
    settledAt: null,
  });
  const film = async (takenAt: string, foot: string, seed: number) =>
    (
      await uploadFilm(
        service,
        caseId,
        renderedFilm(undefined, {
          side: foot.startsWith("L") ? "L" : "R",
          render: { widthPx: 300, heightPx: 250, detectorPitchMm: 0.68, seed },
        }).dicom,
        { foot, takenAt },
      )
    ).body.id;
  // A film before the work shows nothing of it: trimming itself changes the readings (Kummer et al. 2006, Vet J 172).
  const before = await settle(done.id, {
    radiographId: await film("2026-10-14T05:00:00Z", "LF", 5),
  });
  expect(before.body.errors[0]).toMatchObject({ pointer: "/radiographId" });
  const other = await settle(done.id, {
    radiographId: await film(new Date(service.now()).toISOString(), "RF", 6),
  });
  expect(other.status).toBe(400);
  expect((await settle(done.id, { waivedReason: " " })).status).toBe(400);
  for (const person of [service.farrier, service.manager])
    expect(
      (
        await person.send("post", `/shoeing-records/${done.id}/post-fit-film`, {
          waivedReason: "busy",
        })
      ).status,
    ).toBe(403);
  const waived = await settle(done.id, {
    waivedReason: "No plate here today; film at the recheck",
  });
  expect(waived.body.postFitFilm).toMatchObject({
    state: "waived",
    waivedReason: "No plate here today; film at the recheck",
    settledBy: { name: "Vera Vet" },
  });
  const radiographId = await film(new Date(service.now()).toISOString(), "LF", 7);
  const attached = await settle(done.id, { radiographId });
  expect(attached.status).toBe(201);
  expect(attached.body.postFitFilm).toMatchObject({
    state: "attached",
    radiographIds: [radiographId],
    waivedReason: null,
  });
  expect((await settle(done.id, { radiographId })).status).toBe(409);
  expect((await settle(done.id, { waivedReason: "again" })).status).toBe(409);
  const listed = await service.farrier.get(`/horses/${service.horseId}/shoeing-records`);
  expect(listed.body.items[0].postFitFilm.state).toBe("attached");
});

it("asks for none where the signed plan says that none is wanted", async () => {
  service.advance(3 * 60_000);
  const done = await visit({ filmAfterFitting: false });
  expect(done.postFitFilm.state).toBe("not wanted");
});
