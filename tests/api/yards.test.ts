import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startTestService, type TestService } from "../support/service.ts";

let service: TestService;
beforeAll(async () => {
  service = await startTestService();
});
afterAll(async () => {
  await service.close();
});

const carrowmist = { name: "Carrowmist Farm", lat: 53.192, lon: -8.871, timeZone: "Europe/Dublin" };

describe("yards", () => {
  it("adds a yard and gives it back with an ETag", async () => {
    const added = await service.manager.send("post", "/yards", {
      ...carrowmist,
      opening: [{ weekday: 1, opens: "08:00", closes: "18:00" }],
    });
    expect(added.status).toBe(201);
    expect(added.headers["etag"]).toBe('"1"');
    const read = await service.vet.get(`/yards/${added.body.id}`);
    expect(read.body).toEqual(added.body);
    expect(read.body).toMatchObject({ ...carrowmist, people: [], horseCount: 0, version: 1 });
  });

  it("pages through yards without losing or repeating one", async () => {
    for (const name of ["A", "B", "C", "D"])
      expect(
        (await service.manager.send("post", "/yards", { ...carrowmist, name: `Page ${name}` }))
          .status,
      ).toBe(201);
    const seen: string[] = [];
    let cursor = "";
    do {
      const page = await service.vet.get(`/yards?q=Page&limit=3${cursor}`);
      expect(page.status).toBe(200);
      seen.push(...page.body.items.map((yard: { name: string }) => yard.name));
      cursor = page.body.nextCursor === null ? "" : `&cursor=${page.body.nextCursor}`;
    } while (cursor !== "");
    expect(seen).toEqual(["Page A", "Page B", "Page C", "Page D"]);
  });

  it("refuses a change by somebody who saw an older version", async () => {
    const { body } = await service.manager.send("post", "/yards", {
      ...carrowmist,
      name: "Conflict",
    });
    expect(
      (await service.vet.send("patch", `/yards/${body.id}`, { surface: "mats" }, 1)).status,
    ).toBe(200);
    const late = await service.manager.send("patch", `/yards/${body.id}`, { surface: "sand" }, 1);
    expect(late.status).toBe(412);
    expect(late.body).toMatchObject({
      currentVersion: 2,
      type: expect.stringMatching(/version-conflict$/),
    });
  });

  it("shows a carer the own yards only", async () => {
    const { body } = await service.manager.send("post", "/yards", {
      ...carrowmist,
      name: "Not yours",
    });
    expect((await service.carer.get(`/yards/${body.id}`)).status).toBe(404);
    expect((await service.carer.get(`/yards/${service.yardId}`)).status).toBe(200);
    expect(
      (
        await service.manager.send(
          "put",
          `/yards/${body.id}/people`,
          { personIds: [service.carer.id] },
          1,
        )
      ).status,
    ).toBe(200);
    expect((await service.carer.get(`/yards/${body.id}`)).status).toBe(200);
  });

  it("answers a repeated request once and refuses the same key for another", async () => {
    const first = await service.manager
      .send("post", "/yards", { ...carrowmist, name: "Once" })
      .set("idempotency-key", "the-same-key-1");
    const again = await service.manager
      .send("post", "/yards", { ...carrowmist, name: "Once" })
      .set("idempotency-key", "the-same-key-1");
    expect(again.status).toBe(201);
    expect(again.body).toEqual(first.body);
    const other = await service.manager
      .send("post", "/yards", { ...carrowmist, name: "Twice" })
      .set("idempotency-key", "the-same-key-1");
    expect(other.status).toBe(409);
    expect(await service.query("SELECT count(*)::int AS n FROM yards WHERE name = 'Once'")).toEqual(
      [{ n: 1 }],
    );
  });
});
