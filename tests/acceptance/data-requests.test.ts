import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startTestService, type TestService } from "../support/service.ts";

// Rights of access and erasure: Regulation (EU) 2016/679, articles 15 and 17.
let service: TestService;
beforeAll(async () => {
  service = await startTestService();
});
afterAll(() => service.close());

const listed = async () => (await service.manager.get("/data-requests")).body.items;

describe("what an owner asks about the own data", () => {
  it("reaches the practice manager, waits once, and is answered once in writing", async () => {
    const ask = (kind: string) => service.owner.send("post", "/portal/data-requests", { kind });
    const copy = await ask("copy");
    expect(copy.status, copy.text).toBe(201);
    expect((await ask("copy")).status).toBe(409);
    expect((await ask("erasure")).status).toBe(201);
    expect(await listed()).toMatchObject([
      { kind: "copy", person: { id: service.owner.id }, answer: null },
      { kind: "erasure", answer: null },
    ]);
    const queue = (await service.manager.get("/queue")).body.items as { reason: string }[];
    expect(JSON.stringify(queue)).toContain("handoff to acknowledge");
    const answer = (person: TestService["vet"]) =>
      person.send(
        "post",
        `/data-requests/${copy.body.id}/answer`,
        { answer: "Handed over on paper" },
        copy.body.version,
      );
    expect((await answer(service.vet)).status).toBe(403);
    expect((await answer(service.manager)).body.answer).toBe("Handed over on paper");
    expect((await answer(service.manager)).status).toBe(412);
    expect((await listed())[0].kind).toBe("erasure");
    expect((await ask("copy")).status).toBe(201);
  });

  it("is seen by nobody but the manager and the owner it comes from", async () => {
    for (const person of [service.vet, service.farrier, service.carer, service.owner])
      expect((await person.get("/data-requests")).status).toBe(403);
  });
});
