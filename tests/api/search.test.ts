import { randomUUID } from "node:crypto";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startTestService, type TestPerson, type TestService } from "../support/service.ts";

let service: TestService;
let farYard: string;
beforeAll(async () => {
  service = await startTestService();
  const yard = await service.manager.send("post", "/yards", {
    name: "Far Yard",
    address: "Second Lane",
    lat: 53.1,
    lon: -8.9,
    timeZone: "Europe/Dublin",
  });
  farYard = yard.body.id;
  const horse = (name: string, yardId: string) =>
    service.manager.send("post", "/horses", { name, type: "pony", sex: "mare", yardId });
  const named = ["Róisín", "Roisin Dubh", "Little Roisin", "100% Grey", "Grey_Lady", "Back\\slash"];
  for (const name of named) await horse(name, farYard);
  await service.query("UPDATE horses SET microchip = '372141000000123' WHERE name = 'Roisin Dubh'");
  await service.query("UPDATE horses SET breed = 'Connemara' WHERE name = 'Little Roisin'");
});
afterAll(async () => {
  await service.close();
});

const search = async (person: TestPerson, q: string) => {
  const answer = await person.get(`/search?q=${encodeURIComponent(q)}`);
  expect(answer.status).toBe(200);
  return answer.body.items as { kind: string; id: string; title: string; href: string }[];
};
const titles = async (person: TestPerson, q: string) =>
  (await search(person, q)).map((hit) => hit.title);

describe("search", () => {
  it("puts the very name first, then its beginning, then a later word, and does without accents", async () => {
    const expected = ["Róisín", "Roisin Dubh", "Little Roisin"];
    expect(await titles(service.vet, "roisin")).toEqual(expected);
    expect(await titles(service.vet, "RÓISÍN")).toEqual(expected);
  });

  it("needs every word, wherever it stands", async () => {
    expect(await titles(service.vet, "connemara far")).toEqual(["Little Roisin"]);
    expect(await titles(service.vet, "odo")).toEqual(["Odo Owner", "Test Horse"]);
  });

  it("finds a chip by its number, with or without spaces", async () => {
    expect(await titles(service.vet, "372 141 000 000 123")).toEqual(["Roisin Dubh"]);
    expect(await titles(service.vet, "372141")).toEqual(["Roisin Dubh"]);
  });

  it("takes wildcards and quotes as plain characters", async () => {
    expect(await titles(service.vet, "%")).toEqual(["100% Grey"]);
    expect(await titles(service.vet, "_")).toEqual(["Grey_Lady"]);
    expect(await titles(service.vet, "\\")).toEqual(["Back\\slash"]);
    expect(await titles(service.vet, "' OR true --")).toEqual([]);
  });

  it("finds a case by its number and links each hit to its page", async () => {
    const opened = await service.vet.send("post", "/cases", {
      horseId: service.horseId,
      phase: "acute",
    });
    const hits = await search(service.vet, `case ${opened.body.number}`);
    expect(hits[0]).toMatchObject({
      kind: "case",
      id: opened.body.id,
      href: `/cases/${opened.body.id}`,
      title: expect.stringContaining("Test Horse"),
    });
    expect((await search(service.vet, "second lane"))[0]).toMatchObject({
      kind: "yard",
      href: `/yards/${farYard}`,
    });
  });

  it("shows nobody more than they may see elsewhere", async () => {
    expect(await titles(service.carer, "roisin")).toEqual([]);
    expect(await titles(service.carer, "far yard")).toEqual([]);
    expect(await titles(service.carer, "test horse")).toContain("Test Horse");
    expect(await titles(service.farrier, "roisin")).toEqual([]);
    const stranger = await service.personWith("owner", "Ursula Unseen");
    expect(await titles(service.manager, "ursula")).toEqual(["Ursula Unseen"]);
    expect(await titles(service.manager, stranger.email)).toEqual(["Ursula Unseen"]);
    expect(await titles(service.carer, "ursula")).toEqual([]);
    expect(await titles(service.carer, "odo")).toContain("Odo Owner");
    expect(await titles(service.carer, service.vet.email)).toEqual([]);
    expect((await service.owner.get("/search?q=test")).status).toBe(403);
  });

  it("stays inside the practice", async () => {
    const other = randomUUID();
    await service.query(
      "INSERT INTO practices (id, name, time_zone) VALUES ($1, 'Other', 'Europe/Dublin')",
      [other],
    );
    await service.query(
      "INSERT INTO yards (practice_id, id, name, lat, lon, time_zone) VALUES ($1, $2, 'Otherplace', 53, -9, 'Europe/Dublin')",
      [other, randomUUID()],
    );
    expect(await titles(service.manager, "otherplace")).toEqual([]);
  });

  it("gives twenty at most and refuses an empty question", async () => {
    await service.query(
      "INSERT INTO horses (practice_id, id, name, type, sex, yard_id) SELECT $1, gen_random_uuid(), 'Many ' || n, 'horse', 'mare', $2 FROM generate_series(1, 30) n",
      [service.practiceId, farYard],
    );
    expect(await titles(service.vet, "many")).toHaveLength(20);
    expect((await service.vet.get("/search?q=%20")).status).toBe(400);
    expect((await service.vet.get("/search")).status).toBe(400);
  });
});
