import { writeDicom } from "@heelward/radiograph/dicom";
import { phantomFromMeasures } from "@heelward/radiograph/phantom";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startTestService, type TestService } from "../support/service.ts";
import { uploadFilm } from "../support/uploads.ts";

const measures = {
  palmarAngleDegrees: 9,
  boneFrontAngleDegrees: 56,
  wallAngleDegrees: 50,
  wallToBoneTopMm: 17,
  wallToBoneBottomMm: 20.6,
  soleTipMm: 14,
  soleWingMm: 22.4,
  founderDistanceMm: 10,
  breakoverDistanceMm: 24,
  solarLengthMm: 54,
  wallSpanMm: 34,
};

let service: TestService;
let caseId: string;
let filmId: string;
let plan: Record<string, unknown>;

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
  const phantom = phantomFromMeasures(measures);
  const film = await uploadFilm(
    service,
    caseId,
    writeDicom(phantom.film, {
      horseName: "Test Horse",
      horseId: "1",
      takenOn: "2026-10-13",
      takenAtTime: "10:00:00",
      side: "L",
      view: "lateromedial",
    }),
    { foot: "LF", beamCentring: "hoof-ground interface" },
  );
  filmId = film.body.id;
  await service.vet.send(
    "patch",
    `/radiographs/${filmId}`,
    { scale: { kind: "marker", lengthMm: 100 } },
    1,
  );
  await service.vet.send("post", `/radiographs/${filmId}/landmark-sets`, {
    points: phantom.landmarksPx,
  });
});
afterAll(async () => {
  await service.close();
});

const draftBody = (changes: object = {}) => ({
  aim: "Load the back half, unload the toe",
  feet: [plan],
  doNot: ["no sole off the toe"],
  conditions: {},
  intervalDays: 28,
  radiographIds: [filmId],
  ...changes,
});
const draft = async (changes: object = {}) =>
  (await service.vet.send("post", `/cases/${caseId}/prescriptions`, draftBody(changes))).body;
const reasonsFor = (findings: { rule: string; outcome: string }[]) =>
  findings
    .filter((one) => one.outcome === "warn")
    .map((one) => ({ rule: one.rule, reason: "seen and accepted" }));
const sign = (prescription: {
  id: string;
  version: number;
  findings: { rule: string; outcome: string }[];
}) =>
  service.vet.send(
    "post",
    `/prescriptions/${prescription.id}/signature`,
    {
      readBack: { filmOpened: true, targetsConfirmed: true },
      overrides: reasonsFor(prescription.findings),
    },
    prescription.version,
  );

describe("the proposal", () => {
  it("works out a plan from the measured film, to be signed by a vet", async () => {
    const proposed = await service.vet.send("post", `/radiographs/${filmId}/trim-proposal`, {
      shoe: "rolled-bar",
      supportFill: "back-two-thirds",
      fixing: "glue",
    });
    expect(proposed.status).toBe(200);
    plan = proposed.body.plan;
    expect(plan).toMatchObject({ foot: "LF", wedgeDegrees: 0 });
    expect(proposed.body.proposal.after.breakoverFromP3TipMm).toBeLessThan(24);
    expect(proposed.body.outline.lateral.length).toBeGreaterThan(0);
  });

  it("is refused to the owner and the carer", async () => {
    for (const person of [service.owner, service.carer])
      expect((await person.send("post", `/radiographs/${filmId}/trim-proposal`, {})).status).toBe(
        403,
      );
  });

  it("names a shoe that the catalogue does not have", async () => {
    const refused = await service.vet.send("post", `/radiographs/${filmId}/trim-proposal`, {
      shoe: "moon boot",
    });
    expect(refused.status).toBe(400);
    expect(refused.body.errors[0].pointer).toBe("/shoe");
  });
});

describe("signing", () => {
  it("is blocked while left and right are not confirmed by a second person", async () => {
    const refused = await sign(await draft());
    expect(refused.status).toBe(422);
    expect(refused.body.findings).toContainEqual(
      expect.objectContaining({ rule: "prescription/side@1", outcome: "block" }),
    );
    const { body } = await service.farrier.get(`/radiographs/${filmId}`);
    expect(
      (
        await service.farrier.send(
          "post",
          `/radiographs/${filmId}/side-confirmation`,
          { foot: "LF" },
          body.version,
        )
      ).status,
    ).toBe(200);
  });

  it("needs the password again after five minutes", async () => {
    const prescription = await draft();
    service.advance(6 * 60_000);
    const late = await sign(prescription);
    expect(late.status).toBe(401);
    expect(late.body.type).toMatch(/reauthentication-required$/);
    const confirmed = await service.vet.send("post", "/session/confirmation", {
      password: "a long pass phrase for tests",
    });
    expect(confirmed.status).toBe(200);
  });

  it("seals the plan, tells farrier and yard, and makes it the only current one", async () => {
    const first = await draft();
    const signed = await sign(first);
    expect(signed.status).toBe(200);
    expect(signed.body).toMatchObject({
      status: "signed",
      isCurrent: true,
      signedBy: { name: "Vera Vet" },
    });
    expect(JSON.parse(signed.body.signedText)).toMatchObject({
      meaning: "prescribes trim and shoe",
      signer: { name: "Vera Vet" },
      intervalDays: 28,
    });
    for (const person of [service.farrier, service.carer]) {
      const notes = await person.get("/handoff-notes?state=open");
      expect(notes.body.items[0]).toMatchObject({
        cause: "prescription signed",
        toRole: person.role,
      });
    }
    const second = await sign(await draft({ aim: "Hold the line" }));
    expect(second.status).toBe(200);
    const replaced = await service.vet.get(`/prescriptions/${first.id}`);
    expect(replaced.body).toMatchObject({ status: "superseded", isCurrent: false });
  });

  it("cannot be sent before the owner's consent or a recorded waiver, and needs no reason once consent is there", async () => {
    const RULE = "prescription/owner-consent@1";
    const unasked = await draft();
    const without = (findings: { rule: string; outcome: string }[]) =>
      reasonsFor(findings).filter(({ rule }) => rule !== RULE);
    const signWith = (one: { id: string; version: number }, overrides: readonly object[]) =>
      service.vet.send(
        "post",
        `/prescriptions/${one.id}/signature`,
        { readBack: { filmOpened: true, targetsConfirmed: true }, overrides },
        one.version,
      );
    const refused = await signWith(unasked, without(unasked.findings));
    expect(refused.status).toBe(422);
    expect(refused.body.detail).toContain("The owner has not agreed");
    expect(
      (await service.vet.get("/handoff-notes?state=open")).body.items.filter(
        (one: { refId?: string }) => one.refId === unasked.id,
      ),
    ).toEqual([]);
    const agreed = await service.vet.send(
      "post",
      `/prescriptions/${unasked.id}/consent`,
      { givenBy: "Odo Owner" },
      unasked.version,
    );
    expect(agreed.status).toBe(200);
    const signed = await signWith(unasked, without(unasked.findings));
    expect(signed.status, signed.text).toBe(200);
    expect(JSON.parse(signed.body.signedText).consent).toMatchObject({ givenBy: "Odo Owner" });
    const waived = await signWith(await draft(), reasonsFor((await draft()).findings));
    expect(waived.status, waived.text).toBe(200);
    expect(JSON.parse(waived.body.signedText).consent).toEqual({ waived: "seen and accepted" });
  });

  it("never changes what was signed, by no route and not in the database", async () => {
    const { body } = await service.vet.get(`/cases/${caseId}/prescriptions`);
    const current = body.items.find((one: { isCurrent: boolean }) => one.isCurrent);
    const changed = await service.vet.send(
      "patch",
      `/prescriptions/${current.id}`,
      { aim: "Something else" },
      current.version,
    );
    expect(changed.status).toBe(409);
    await expect(
      service.query("UPDATE prescriptions SET aim = 'x' WHERE id = $1", [current.id]),
    ).rejects.toThrow("signed records never change");
  });

  it("leaves the running due day where it is when a longer interval is signed, and pulls it earlier when a shorter is", async () => {
    await service.query("DELETE FROM resets WHERE status <> 'done'");
    const started = await service.vet.send("post", `/horses/${service.horseId}/resets`, {
      lastDoneOn: "2026-10-01",
      intervalDays: 28,
    });
    expect(started.status, started.text).toBe(201);
    const running = async () => (await service.vet.get(`/resets/${started.body.id}`)).body;
    expect((await sign(await draft({ intervalDays: 33 }))).status).toBe(200);
    expect(await running()).toMatchObject({ intervalDays: 28, dueOn: "2026-10-29" });
    expect((await sign(await draft({ intervalDays: 21 }))).status).toBe(200);
    expect(await running()).toMatchObject({ intervalDays: 21, dueOn: "2026-10-22" });
    expect((await sign(await draft())).status).toBe(200);
    expect(await running()).toMatchObject({ intervalDays: 21, dueOn: "2026-10-22" });
    await service.query("DELETE FROM resets WHERE id = $1", [started.body.id]);
  });

  it("refuses to lengthen the cycle past the ceiling without a signed reason", async () => {
    const long = await draft({ intervalDays: 42 });
    const refused = await sign(long);
    expect(refused.status).toBe(422);
    expect(refused.body.findings).toContainEqual(
      expect.objectContaining({ rule: "cycle/interval-ceiling@1", outcome: "block" }),
    );
  });

  it("refuses more than 10 mm off the heels in one visit (realigning-trim guidance: no more than 10 mm a trim)", async () => {
    const deep = await draft({ feet: [{ ...plan, heelRemoveMm: 11 }] });
    const refused = await sign(deep);
    expect(refused.status).toBe(422);
    expect(refused.body.findings).toContainEqual(
      expect.objectContaining({ rule: "prescription/heel-hard@1", outcome: "block" }),
    );
  });
});

describe("the farrier's answer and the work", () => {
  const current = async () =>
    (await service.vet.get(`/cases/${caseId}/prescriptions`)).body.items.find(
      (one: { isCurrent: boolean }) => one.isCurrent,
    );
  const asPlanned = () => ({
    foot: "LF",
    breakoverBeforeMm: 24,
    breakoverAfterMm: plan["breakoverFromP3TipMm"],
    heelRemovedMm: plan["heelRemoveMm"],
    toeBackMm: plan["toeBackMm"],
    shoe: "rolled-bar",
    supportFill: "back-two-thirds",
    fixing: "glue",
  });

  it("asks, is answered, and accepts; a question without words is refused", async () => {
    const asked = await current();
    expect(
      (
        await service.farrier.send(
          "post",
          `/prescriptions/${asked.id}/reply`,
          { reply: "queried" },
          asked.version,
        )
      ).status,
    ).toBe(400);
    expect(
      (
        await service.farrier.send(
          "post",
          `/prescriptions/${asked.id}/reply`,
          { reply: "queried", text: "Wall is thin at the quarters" },
          asked.version,
        )
      ).body.status,
    ).toBe("queried");
    expect(
      (
        await service.vet.send(
          "post",
          `/prescriptions/${asked.id}/answer`,
          { text: "Then glue only" },
          asked.version + 1,
        )
      ).body.status,
    ).toBe("signed");
    const accepted = await service.farrier.send(
      "post",
      `/prescriptions/${asked.id}/reply`,
      { reply: "accepted" },
      asked.version + 2,
    );
    expect(accepted.body).toMatchObject({
      status: "accepted",
      repliedBy: { name: "Fintan Farrier" },
    });
    expect(accepted.body.messages.map((message: { kind: string }) => message.kind)).toEqual([
      "queried",
      "answered",
      "accepted",
    ]);
  });

  it("cannot be closed without a next date or a named person who finds one", async () => {
    const { id } = await current();
    const bare = await service.farrier.send("post", `/horses/${service.horseId}/shoeing-records`, {
      prescriptionId: id,
      doneAt: "2026-10-14T07:00:00+01:00",
      asPlanned: true,
      feet: [asPlanned()],
    });
    expect(bare.status).toBe(400);
    expect(bare.body.errors[0].pointer).toBe("/nextReset");
  });

  it("asks for a reason when the work differs from the plan, and stores nothing meanwhile", async () => {
    const { id } = await current();
    const body = {
      prescriptionId: id,
      doneAt: "2026-10-14T07:00:00+01:00",
      asPlanned: false,
      feet: [{ ...asPlanned(), breakoverAfterMm: 16 }],
      nextReset: { bookedFor: "2026-11-11T09:00:00+00:00" },
    };
    const refused = await service.farrier.send(
      "post",
      `/horses/${service.horseId}/shoeing-records`,
      body,
    );
    expect(refused.status).toBe(422);
    expect(await service.query("SELECT count(*)::int AS n FROM shoeing_records")).toEqual([
      { n: 0 },
    ]);
    expect((await current()).status).toBe("accepted");
  });

  it("records the work, closes the plan, and books the next reset in 28 to 35 days (laminitic cycle; common practice, no source)", async () => {
    const { id } = await current();
    const done = await service.farrier.send("post", `/horses/${service.horseId}/shoeing-records`, {
      prescriptionId: id,
      doneAt: "2026-10-14T07:00:00+01:00",
      asPlanned: true,
      feet: [asPlanned()],
      nextReset: { bookedFor: "2026-11-11T09:00:00+00:00" },
    });
    expect(done.status).toBe(201);
    expect(done.body).toMatchObject({ asPlanned: true, deviations: [], nextResetOn: "2026-11-11" });
    expect((await service.vet.get(`/prescriptions/${id}`)).body.status).toBe("done");
    const reset = await service.manager.get(`/resets/${done.body.nextResetId}`);
    expect(reset.body).toMatchObject({
      status: "booked",
      lastDoneOn: "2026-10-14",
      dueOn: "2026-11-11",
      intervalDays: 28,
      ceilingOn: "2026-11-18",
    });
  });

  it("keeps a cancelled visit due: nothing moves the due day but work that was done", async () => {
    const { body } = await service.manager.get("/resets");
    const [reset] = body.items;
    const bare = await service.manager.send(
      "post",
      `/resets/${reset.id}/cancellation`,
      { kind: "cancelled", detail: "Van off the road" },
      reset.version,
    );
    expect(bare.status).toBe(400);
    const moved = await service.manager.send(
      "post",
      `/resets/${reset.id}/cancellation`,
      { kind: "cancelled", detail: "Van off the road", rebookFor: "2026-11-10T09:00:00+00:00" },
      reset.version,
    );
    expect(moved.status).toBe(200);
    expect(moved.body).toMatchObject({
      status: "booked",
      dueOn: "2026-11-11",
      bookedFor: "2026-11-10T09:00:00.000Z",
    });
    expect(moved.body.attempts.map((attempt: { kind: string }) => attempt.kind)).toContain(
      "cancelled",
    );
  });
});
