import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startTestService, type TestPerson, type TestService } from "../support/service.ts";

let service: TestService;
let caseId: string;
beforeAll(async () => {
  service = await startTestService();
});
afterAll(async () => {
  await service.close();
});

interface Item {
  readonly kind: string;
  readonly urgency: string;
  readonly reason: string;
  readonly title: string;
  readonly nextAction: { readonly key: string; readonly href: string };
}
const queueOf = async (person: TestPerson): Promise<Item[]> =>
  (await person.get("/queue")).body.items;

describe("queues", () => {
  it("lose no note about a horse without a case, and fall silent when the horse has died", async () => {
    const written = await service.vet.send("post", "/handoff-notes", {
      horseId: service.horseId,
      toRole: "farrier",
      urgent: false,
      situation: "A nail is close.",
      mustDo: "Look at it next time.",
    });
    expect(written.status, written.text).toBe(201);
    expect((await queueOf(service.farrier)).map((item) => item.kind)).toEqual([
      "handoff to acknowledge",
    ]);
    await service.query("UPDATE horses SET status = 'died' WHERE id = $1", [service.horseId]);
    expect(await queueOf(service.farrier)).toEqual([]);
    await service.query("UPDATE horses SET status = 'active' WHERE id = $1", [service.horseId]);
    const { id, version } = written.body as { id: string; version: number };
    const read = await service.farrier.send(
      "post",
      `/handoff-notes/${id}/acknowledgement`,
      {},
      version,
    );
    expect(read.status, read.text).toBe(200);
    expect(await queueOf(service.farrier)).toEqual([]);
  });

  it("puts the horse that cannot get up first for vet, manager and yard, each with the own next step", async () => {
    const call = await service.manager.send("post", "/phone-calls", {
      horseId: service.horseId,
      caller: "Cass Carer",
      calledAt: "2026-10-14T07:00:00+01:00",
      answers: { canStand: false },
      feetAffected: ["LF"],
    });
    caseId = call.body.case.id;
    for (const [person, key] of [
      [service.vet, "see the horse"],
      [service.manager, "ring the vet"],
      [service.carer, "ring the vet"],
    ] as const) {
      const [first] = await queueOf(person);
      expect(first).toMatchObject({ kind: "red flag call", urgency: "now", nextAction: { key } });
      expect(first?.reason).toContain("It cannot get up");
    }
    expect(await queueOf(service.farrier)).toEqual([]);
  });

  it("takes the red flag off every list once a vet has examined the horse", async () => {
    await service.vet.send("post", `/cases/${caseId}/examinations`, {
      obelGrade: 3,
      examinedAt: "2026-10-14T07:10:00+01:00",
    });
    expect((await queueOf(service.vet)).filter((item) => item.kind === "red flag call")).toEqual(
      [],
    );
  });

  it("shows the farrier and the manager a reset that is late, amber from one day on and red from seven", async () => {
    const started = await service.manager.send("post", `/horses/${service.horseId}/resets`, {
      lastDoneOn: "2026-09-10",
      intervalDays: 28,
    });
    expect(started.status).toBe(422);
    await service.vet.send(
      "post",
      `/cases/${caseId}/phase`,
      { phase: "chronic active", reason: "bone has moved on film", mustDo: "read the plan" },
      1,
    );
    expect(
      (
        await service.manager.send("post", `/horses/${service.horseId}/resets`, {
          lastDoneOn: "2026-09-15",
          intervalDays: 28,
        })
      ).status,
    ).toBe(201);
    const amber = (await queueOf(service.farrier)).find((item) => item.kind === "reset due");
    expect(amber?.reason).toContain("1 day late");
    service.advance(6 * 24 * 3_600_000);
    const renewed = await service.personWith("manager", "Late Manager");
    const red = (await queueOf(renewed)).find((item) => item.kind === "reset due");
    expect(red).toMatchObject({ urgency: "today", nextAction: { key: "book the reset" } });
    expect(red?.reason).toContain("7 days late");
  });

  it("lets nobody read the queue of a role they do not hold, and no owner any", async () => {
    const carer = await service.personWith("carer", "Other Carer");
    expect((await carer.get("/queue?role=vet")).status).toBe(403);
    const owner = await service.personWith("owner", "Other Owner");
    expect((await owner.get("/queue")).status).toBe(403);
  });

  it("lets an unacknowledged note climb to the practice manager", async () => {
    const vet = await service.personWith("vet", "New Vet");
    await vet.send("post", "/handoff-notes", {
      horseId: service.horseId,
      toRole: "farrier",
      situation: "Loose shoe",
      mustDo: "Come by",
      urgent: true,
    });
    const manager = await service.personWith("manager", "New Manager");
    expect(
      (await queueOf(manager)).filter(
        (item) => item.kind === "handoff to acknowledge" && item.reason.includes("Loose shoe"),
      ),
    ).toEqual([]);
    service.advance(2 * 3_600_000 + 60_000);
    const later = await service.personWith("manager", "Later Manager");
    const [note] = (await queueOf(later)).filter((item) => item.reason.includes("Loose shoe"));
    expect(note).toMatchObject({
      kind: "handoff to acknowledge",
      nextAction: { key: "chase the note" },
    });
  });
});

describe("the case file", () => {
  it("gives the farrier medicines as names only and the carer no films", async () => {
    const farrier = await service.personWith("farrier", "New Farrier");
    expect((await farrier.get(`/cases/${caseId}/file`)).status).toBe(404);
    await service.query("UPDATE horses SET farrier_id = $1 WHERE id = $2", [
      farrier.id,
      service.horseId,
    ]);
    const file = await farrier.get(`/cases/${caseId}/file`);
    expect(file.status).toBe(200);
    expect(file.body).toMatchObject({ case: { id: caseId }, courses: [], labResults: [] });
    expect(file.body.cautions.at(-1)).toContain("a licensed vet or farrier decides and signs");
  });
});
