import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startTestService, type TestService } from "../support/service.ts";

let service: TestService;
beforeAll(async () => {
  service = await startTestService();
});
afterAll(async () => {
  await service.close();
});

const pony = (changes: object = {}) => ({
  name: "Thimble",
  type: "pony",
  sex: "gelding",
  yardId: service.yardId,
  heightCm: 122,
  ...changes,
});

describe("identity", () => {
  it("stores UELN and chip without separators, as the rules of attribution and ISO 11784 write them", async () => {
    const added = await service.vet.send(
      "post",
      "/horses",
      pony({ ueln: "620001.00224643.8", microchip: "968 0000 0453 1234" }),
    );
    expect(added.status).toBe(201);
    expect(added.body).toMatchObject({
      ueln: "620001002246438",
      microchip: "968000004531234",
      foodChain: "passport not seen",
    });
  });

  it.each<readonly [string, Record<string, string>, string]>([
    ["/ueln", { ueln: "25000100155928" }, "14 characters instead of 15"],
    ["/microchip", { microchip: "999000000000001" }, "a test code"],
    ["/microchip", { microchip: "276300000000000" }, "a number over 38 bits"],
    ["/yardId", { yardId: "0199e000-0000-7000-8000-00000000dead" }, "an unknown yard"],
  ])("names the field %s for %o: %s", async (pointer, fields) => {
    const refused = await service.vet.send("post", "/horses", pony({ name: "Refused", ...fields }));
    expect(refused.status).toBe(400);
    expect(refused.body.errors[0].pointer).toBe(pointer);
    expect(
      await service.query("SELECT count(*)::int AS n FROM horses WHERE name = 'Refused'"),
    ).toEqual([{ n: 0 }]);
  });

  it("does not take the same chip twice, and warns of a chip on the published misuse list", async () => {
    expect(
      (
        await service.vet.send(
          "post",
          "/horses",
          pony({ name: "Twin", microchip: "968000004531234" }),
        )
      ).status,
    ).toBe(409);
    const odd = await service.vet.send(
      "post",
      "/horses",
      pony({ name: "Odd", microchip: "900155000101234" }),
    );
    expect(odd.status).toBe(201);
    expect(odd.body.identityNotes).not.toEqual([]);
  });

  it("never takes exclusion from the food chain back (EU 2021/963: the declaration is permanent)", async () => {
    const horse = (await service.vet.send("post", "/horses", pony({ name: "Excluded" }))).body;
    expect(
      (
        await service.manager.send(
          "post",
          `/horses/${horse.id}/passport`,
          { foodChain: "excluded", seenOn: "2026-10-01" },
          1,
        )
      ).status,
    ).toBe(403);
    expect(
      (
        await service.vet.send(
          "post",
          `/horses/${horse.id}/passport`,
          { foodChain: "excluded", seenOn: "2026-10-01" },
          1,
        )
      ).body,
    ).toMatchObject({ foodChain: "excluded", passportSeenOn: "2026-10-01" });
    expect(
      (
        await service.vet.send(
          "post",
          `/horses/${horse.id}/passport`,
          { foodChain: "not excluded", seenOn: "2026-10-02" },
          2,
        )
      ).status,
    ).toBe(409);
  });
});

describe("finding horses", () => {
  it("searches by horse, owner, yard, number and chip, and treats a percent sign as a letter", async () => {
    for (const q of ["thimb", "620001 00224643", "968000004"]) {
      // oxlint-disable-next-line no-await-in-loop
      const found = await service.vet.get(`/horses?q=${encodeURIComponent(q)}`);
      expect(
        found.body.items.map((one: { name: string }) => one.name),
        q,
      ).toEqual(["Thimble"]);
    }
    expect(
      (await service.vet.get("/horses?q=Odo")).body.items.map((one: { name: string }) => one.name),
    ).toEqual(["Test Horse"]);
    expect(
      (await service.vet.get(`/horses?q=${encodeURIComponent("Test Yard")}`)).body.items.length,
    ).toBeGreaterThan(1);
    expect((await service.vet.get("/horses?q=%25")).body.items).toEqual([]);
  });

  it("shows a farrier the own list only, and gives everybody else's horse as not there", async () => {
    expect(
      (await service.farrier.get("/horses")).body.items.map((one: { name: string }) => one.name),
    ).toEqual(["Test Horse"]);
    const other = (await service.vet.get("/horses?q=Thimble")).body.items[0];
    expect((await service.farrier.get(`/horses/${other.id}`)).status).toBe(404);
    expect((await service.carer.get(`/horses/${other.id}`)).status).toBe(200);
  });

  it("keeps practices apart even where an id is known", async () => {
    const other = await startTestService();
    try {
      const foreign = await service.vet.get(`/horses/${other.horseId}`);
      expect(foreign.status).toBe(404);
    } finally {
      await other.close();
    }
  });
});

describe("weighing", () => {
  it("works weight out from girth and length: 180 cm and 160 cm give 436.4 kg (Carroll & Huntington 1988, divisor 11,880)", async () => {
    const weighed = await service.carer.send("post", `/horses/${service.horseId}/weighings`, {
      method: "formula",
      girthCm: 180,
      lengthCm: 160,
      weighedAt: "2026-10-14T07:00:00+01:00",
    });
    expect(weighed.status).toBe(201);
    expect(weighed.body.weightKg).toBeCloseTo(436.4, 1);
    expect(weighed.body.lowKg).toBeLessThan(weighed.body.weightKg);
    expect(weighed.body.changePercent).toBeNull();
  });

  it("says what is missing for each method, and takes no weighing from the future", async () => {
    const weigh = (body: object) =>
      service.carer.send("post", `/horses/${service.horseId}/weighings`, {
        weighedAt: "2026-10-14T07:00:00+01:00",
        ...body,
      });
    expect((await weigh({ method: "formula", girthCm: 180 })).body.errors[0].pointer).toBe(
      "/lengthCm",
    );
    expect((await weigh({ method: "scale" })).body.errors[0].pointer).toBe("/weightKg");
    expect(
      (await weigh({ method: "scale", weightKg: 400, weighedAt: "2026-10-15T07:00:00+01:00" })).body
        .errors[0].pointer,
    ).toBe("/weighedAt");
  });

  it("shows the change against the weighing before", async () => {
    const scale = (weightKg: number, weighedAt: string) =>
      service.vet.send("post", `/horses/${service.horseId}/weighings`, {
        method: "scale",
        weightKg,
        weighedAt,
      });
    await scale(438, "2026-10-14T07:01:00+01:00");
    expect((await scale(385, "2026-10-14T07:02:00+01:00")).body.changePercent).toBeCloseTo(
      -12.1,
      1,
    );
    const list = await service.farrier.get(`/horses/${service.horseId}/weighings?limit=2`);
    expect(list.body.items.map((one: { weightKg: number }) => one.weightKg)).toEqual([385, 438]);
    expect(list.body.nextCursor).toEqual(expect.any(String));
  });
});

describe("ownership", () => {
  it("is set by the manager from people who are owners", async () => {
    const { body } = await service.manager.get(`/horses/${service.horseId}`);
    const wrong = await service.manager.send(
      "put",
      `/horses/${service.horseId}/owners`,
      { personIds: [service.carer.id] },
      body.version,
    );
    expect(wrong.body.errors[0].pointer).toBe("/personIds");
    const second = await service.personWith("owner", "Second Owner");
    const set = await service.manager.send(
      "put",
      `/horses/${service.horseId}/owners`,
      { personIds: [service.owner.id, second.id] },
      body.version,
    );
    expect(set.body.owners.map((one: { name: string }) => one.name)).toEqual([
      "Odo Owner",
      "Second Owner",
    ]);
  });
});
