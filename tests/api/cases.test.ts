import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startTestService, type TestService } from "../support/service.ts";

let service: TestService;
let caseId: string;
beforeAll(async () => {
  service = await startTestService();
});
afterAll(async () => {
  await service.close();
});

const call = (answers: object) => ({
  horseId: service.horseId,
  caller: "Cass Carer",
  calledAt: "2026-10-14T07:00:00+01:00",
  answers,
  feetAffected: ["LF", "RF"],
});

describe("the first phone call", () => {
  it("says vet now when the horse cannot get up, whatever else is known, and stores nothing while asking", async () => {
    const judged = await service.manager.send("post", "/phone-calls/triage", {
      answers: { canStand: false },
    });
    expect(judged.status).toBe(200);
    expect(judged.body).toMatchObject({ urgency: "vet now", nextQuestion: null });
    expect(await service.query("SELECT count(*)::int AS n FROM phone_calls")).toEqual([{ n: 0 }]);
  });

  it("opens an acute case, and a second call carries on in the same one", async () => {
    const first = await service.manager.send(
      "post",
      "/phone-calls",
      call({ canStand: true, shiftsWeight: true, feetWarm: true }),
    );
    expect(first.status).toBe(201);
    expect(first.body).toMatchObject({
      triage: { urgency: "vet today" },
      case: { phase: "acute", horse: { id: service.horseId } },
    });
    const second = await service.carer.send(
      "post",
      "/phone-calls",
      call({ canStand: true, willMove: "not at all" }),
    );
    expect(second.body.case.id).toBe(first.body.case.id);
    expect(second.body.triage.urgency).toBe("vet now");
    caseId = first.body.case.id;
  });

  it("is not for farriers and owners to record", async () => {
    expect((await service.farrier.send("post", "/phone-calls", call({}))).status).toBe(403);
    expect((await service.owner.send("post", "/phone-calls", call({}))).status).toBe(403);
  });
});

describe("the first-aid sheet", () => {
  const facts = {
    obelGrade: 2,
    feetAffected: ["LF", "RF"],
    canLiftFeet: "easily",
    foamAvailable: true,
    padsAvailable: true,
    outside: false,
    box: {
      widthM: 3.6,
      lengthM: 3.6,
      bedding: "shavings",
      floor: "concrete",
      water: "inside on the floor",
    },
  };
  it("covers the whole box to the door and is readable by its link without signing in", async () => {
    const written = await service.vet.send("post", `/cases/${caseId}/first-aid-sheets`, facts);
    expect(written.status).toBe(201);
    expect(JSON.stringify(written.body.steps)).toContain("right up to the door");
    const { default: request } = await import("supertest");
    const token = written.body.link.split("/").at(-1);
    const shared = await request(service.app.server).get(`/api/v1/shared/first-aid/${token}`);
    expect(shared.status).toBe(200);
    expect(shared.body.steps).toEqual(written.body.steps);
    expect(
      (await request(service.app.server).get(`/api/v1/shared/first-aid/${"x".repeat(43)}`)).status,
    ).toBe(404);
  });

  it("is one page of plain words at its link: no script, nothing fetched, names written as they are", async () => {
    await service.query("UPDATE horses SET name = $2 WHERE id = $1", [
      service.horseId,
      `Moss & <Fern> "Bay"`,
    ]);
    const written = await service.vet.send("post", `/cases/${caseId}/first-aid-sheets`, facts);
    const { link } = written.body as { link: string };
    const { default: request } = await import("supertest");
    const page = await request(service.app.server).get(link);
    await service.query("UPDATE horses SET name = 'Test Horse' WHERE id = $1", [service.horseId]);
    expect(page.status).toBe(200);
    expect(page.type).toBe("text/html");
    expect(page.text).toContain("Moss &amp; &lt;Fern&gt; &quot;Bay&quot;");
    expect(page.text).not.toMatch(/<Fern>|<script|<link|<img|src=|url\(|@import|http:|https:/u);
    for (const step of written.body.steps as { text: string }[])
      expect(page.text).toContain(`<li>${step.text.replaceAll("'", "&#39;")}`);
    expect(page.headers["content-security-policy"]).toMatch(
      /^default-src 'none'; style-src 'sha256-/u,
    );
    expect(page.headers["cache-control"]).toBe("no-store");
    expect(page.text.length).toBeLessThan(40_000);
  });

  it("says at a dead link what to do for the horse, and shows nothing of it", async () => {
    const written = await service.vet.send("post", `/cases/${caseId}/first-aid-sheets`, facts);
    const { link } = written.body as { link: string };
    const { default: request } = await import("supertest");
    service.advance(14 * 86_400_000);
    const page = await request(service.app.server).get(link);
    service.advance(-14 * 86_400_000);
    expect(page.status).toBe(404);
    expect(page.type).toBe("text/html");
    expect(page.text).toContain("ring the vet now");
    expect(page.text).toContain("right up to the door");
    expect(page.text).not.toContain("Test Horse");
  });

  it("keeps a tick once, with the name of who was first", async () => {
    const { body } = await service.vet.get(`/cases/${caseId}/first-aid-sheets`);
    const path = `/first-aid-sheets/${body.items[0].id}/ticks`;
    const tick = { stepId: "bed", doneAt: "2026-10-14T07:05:00+01:00" };
    expect((await service.carer.send("post", path, tick)).status).toBe(201);
    const again = await service.vet.send("post", path, tick);
    expect(again.status).toBe(409);
    expect(again.body.detail).toContain("Cass Carer");
    expect(
      (await service.carer.send("post", path, { ...tick, stepId: "no-such-step" })).status,
    ).toBe(400);
  });
});

describe("examinations", () => {
  it("raises a red flag when the score climbs by two in a day", async () => {
    const check = (fiveSignScore: number, examinedAt: string) =>
      service.carer.send("post", `/horses/${service.horseId}/care-checks`, {
        fiveSignScore,
        examinedAt,
      });
    expect((await check(2, "2026-10-13T08:00:00+01:00")).body.isRedFlag).toBe(false);
    const worse = await check(4, "2026-10-14T07:00:00+01:00");
    expect(worse.status).toBe(201);
    expect(worse.body.isRedFlag).toBe(true);
  });

  it("refuses an Obel grade of five: the scale ends at four (Obel 1948 as tabulated in Meier et al. 2021)", async () => {
    const refused = await service.vet.send("post", `/cases/${caseId}/examinations`, {
      obelGrade: 5,
      examinedAt: "2026-10-14T07:00:00+01:00",
    });
    expect(refused.status).toBe(400);
    expect(refused.body.errors).toEqual([expect.objectContaining({ pointer: "/obelGrade" })]);
  });
});

describe("phases", () => {
  it("moves a case with a note to the farrier and the yard in the same breath", async () => {
    const { body } = await service.vet.get(`/cases/${caseId}`);
    const moved = await service.vet.send(
      "post",
      `/cases/${caseId}/phase`,
      { phase: "chronic active", reason: "Film shows rotation", mustDo: "Read the new plan" },
      body.version,
    );
    expect(moved.status).toBe(200);
    expect(moved.body.phase).toBe("chronic active");
    const notes = await service.farrier.get("/handoff-notes?state=open");
    expect(notes.body.items).toEqual([
      expect.objectContaining({
        toRole: "farrier",
        cause: "phase changed",
        mustDo: "Read the new plan",
      }),
    ]);
    const acknowledged = await service.farrier.send(
      "post",
      `/handoff-notes/${notes.body.items[0].id}/acknowledgement`,
      {},
      1,
    );
    expect(acknowledged.body.state).toBe("acknowledged");
    expect(
      (
        await service.farrier.send(
          "post",
          `/handoff-notes/${notes.body.items[0].id}/acknowledgement`,
          {},
          2,
        )
      ).status,
    ).toBe(409);
  });

  it("lets the carer not acknowledge the farrier's note", async () => {
    const written = await service.vet.send("post", "/handoff-notes", {
      horseId: service.horseId,
      toRole: "farrier",
      situation: "Loose shoe",
      mustDo: "Come by today",
      urgent: true,
    });
    expect(written.status).toBe(201);
    expect(
      (await service.carer.send("post", `/handoff-notes/${written.body.id}/acknowledgement`, {}, 1))
        .status,
    ).toBe(403);
  });

  it("closes gently: a death needs a person who tells the others, and then the file is read-only", async () => {
    const { body } = await service.vet.get(`/cases/${caseId}`);
    const bare = await service.vet.send(
      "post",
      `/cases/${caseId}/closure`,
      { reason: "welfare decision", note: "Kind end at home" },
      body.version,
    );
    expect(bare.status).toBe(422);
    expect(bare.body.findings.map((finding: { field?: string }) => finding.field)).toEqual([
      "/closing/welfareTalkRecordId",
      "/closing/farrierToldByPersonId",
      "/closing/carerToldByPersonId",
    ]);
    const closed = await service.vet.send(
      "post",
      `/cases/${caseId}/closure`,
      {
        reason: "welfare decision",
        note: "Kind end at home",
        welfareTalk: "Spoken with the owner",
        farrierToldById: service.vet.id,
        carerToldById: service.vet.id,
      },
      body.version,
    );
    expect(closed.status).toBe(200);
    expect(closed.body.phase).toBe("closed");
    const late = await service.vet.send("post", `/cases/${caseId}/examinations`, {
      examinedAt: "2026-10-14T07:00:00+01:00",
    });
    expect(late.status).toBe(409);
    const timeline = await service.vet.get(`/cases/${caseId}/timeline?limit=200`);
    expect(timeline.body.items.map((event: { kind: string }) => event.kind)).toContain(
      "welfare talk",
    );
  });
});
