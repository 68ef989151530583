import { randomUUID } from "node:crypto";
import request from "supertest";
import { afterAll, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { startTestService, type TestService } from "../support/service.ts";

let service: TestService;
const TODAY = "2026-10-14";
const yards = { near: randomUUID(), far: randomUUID() };

beforeAll(async () => {
  service = await startTestService();
  await service.query("UPDATE practices SET lat = 53.27, lon = -9.05");
  for (const [name, id, lat] of [
    ["Near", yards.near, 53.3],
    ["Far", yards.far, 53.6],
  ] as const) {
    // oxlint-disable-next-line no-await-in-loop
    await service.query(
      "INSERT INTO yards (practice_id, id, name, lat, lon, time_zone) VALUES ($1, $2, $3, $4, -9.05, 'Europe/Dublin')",
      [service.practiceId, id, name, lat],
    );
    // oxlint-disable-next-line no-await-in-loop
    await service.query(
      "INSERT INTO yard_people (practice_id, yard_id, person_id) VALUES ($1, $2, $3)",
      [service.practiceId, id, service.carer.id],
    );
  }
});
beforeEach(async () => {
  await service.query("TRUNCATE resets, handoff_notes, day_delays, outbox, cases CASCADE");
  await service.query("DELETE FROM case_events");
  await service.query("DELETE FROM horse_people WHERE horse_id <> $1", [service.horseId]);
  await service.query("DELETE FROM horses WHERE id <> $1", [service.horseId]);
  await service.query("UPDATE yards SET opening = '[]'");
});
afterAll(async () => {
  await service.close();
});

const addVisit = async (yard: keyof typeof yards, clock: string, name: string) => {
  const [id, horseId] = [randomUUID(), randomUUID()];
  await service.query(
    "INSERT INTO horses (practice_id, id, name, type, sex, yard_id, farrier_id) VALUES ($1, $2, $3, 'horse', 'mare', $4, $5)",
    [service.practiceId, horseId, name, yards[yard], service.farrier.id],
  );
  await service.query(
    "INSERT INTO horse_people (practice_id, horse_id, person_id) VALUES ($1, $2, $3)",
    [service.practiceId, horseId, service.owner.id],
  );
  await service.query(
    `INSERT INTO resets (practice_id, id, horse_id, farrier_id, status, last_done_on, interval_days, due_on, booked_for, booked_minutes)
     VALUES ($1, $2, $3, $4, 'booked', '2026-09-16', 28, '2026-10-14', $5, 60)`,
    [service.practiceId, id, horseId, service.farrier.id, `${TODAY}T${clock}:00+01:00`],
  );
  return { id, horseId };
};
const late = (freeAt: string, more: object = {}, person = service.farrier) =>
  person.send("post", `/route-days/${TODAY}/delay`, {
    freeAt: `${TODAY}T${freeAt}:00+01:00`,
    ...more,
  });
const notesTo = async (role: string) =>
  (await service.vet.get("/handoff-notes")).body.items.filter(
    (note: { toRole: string }) => note.toRole === role,
  );

describe("a farrier who runs late", () => {
  it("has the rest of the day planned again from when and where he is free", async () => {
    const { id } = await addVisit("near", "09:00", "Near Horse");
    await addVisit("far", "11:00", "Far Horse");
    const answer = await late("12:30", { at: { lat: 53.3, lon: -9.05 }, underWay: [id] });
    expect(answer.status, answer.text).toBe(201);
    const { day } = answer.body;
    expect(Date.parse(day.departsAt)).toBeGreaterThanOrEqual(Date.parse(`${TODAY}T12:30:00+01:00`));
    expect(day.start).toEqual({ lat: 53.3, lon: -9.05 });
    expect(day.stops.map((stop: { yard: { name: string } }) => stop.yard.name)).toEqual(["Far"]);
    expect(day.problems).toContain("Near Horse at Near is being done now.");
    const again = await service.farrier.get(`/route-days/${TODAY}`);
    expect(again.body.stops, "the list itself has moved").toEqual(day.stops);
  });

  it("lets the yard and the owner know the new time, once, and nobody whose time stays", async () => {
    const near = await addVisit("near", "13:15", "Near Horse");
    const far = await addVisit("far", "09:00", "Far Horse");
    await late("12:30", { note: "A shoe came off at the last yard." });
    const notes = await notesTo("carer");
    expect(notes.map((note: { horse: { name: string } }) => note.horse.name)).toContain(
      "Far Horse",
    );
    const note = notes.find((one: { horse: { id: string } }) => one.horse.id === far.horseId);
    expect(note.situation).toMatch(
      /Fintan Farrier is running late: Far Horse now about \d\d:\d\d in place of 09:00\. A shoe came off/u,
    );
    const [told] = await service.query(
      "SELECT for_owner FROM case_events WHERE horse_id = $1 AND title = 'Farrier running late'",
      [far.horseId],
    );
    expect(told?.["for_owner"]).toMatch(/running late/u);
    expect(String(told?.["for_owner"]), "the owner reads no workshop talk").not.toContain("shoe");
    const letters = await service.query(
      "SELECT payload->>'to' AS to FROM outbox WHERE kind = 'visit moved'",
    );
    expect(letters.every((letter) => letter["to"] === service.owner.email)).toBe(true);
    const count = notes.length;
    const second = await late("12:30");
    expect(second.body.told, "the same time is not told twice").toEqual([]);
    expect(await notesTo("carer")).toHaveLength(count);
    expect((await service.manager.get(`/resets/${near.id}`)).body.bookedFor).toBe(
      "2026-10-14T12:15:00.000Z",
    );
  });

  it("says which visit no longer fits, to the yard and to the practice manager", async () => {
    await service.query("UPDATE yards SET opening = $1 WHERE id = $2", [
      JSON.stringify([{ weekday: 3, opens: "08:00", closes: "12:00" }]),
      yards.far,
    ]);
    await addVisit("far", "09:00", "Far Horse");
    const answer = await late("13:00");
    expect(answer.body.told).toMatchObject([{ horse: "Far Horse", now: null }]);
    expect(await notesTo("manager")).toMatchObject([
      { urgent: true, mustDo: "Rebook this visit inside its limits today." },
    ]);
    expect((await notesTo("carer"))[0].situation).toContain("cannot come to Far Horse today");
  });

  it("writes no letter about a closed case", async () => {
    const { horseId } = await addVisit("far", "09:00", "Far Horse");
    await service.query(
      "INSERT INTO cases (practice_id, id, horse_id, number, opened_at, phase, phase_since) VALUES ($1, gen_random_uuid(), $2, 7, '2026-09-01', 'closed', '2026-10-01')",
      [service.practiceId, horseId],
    );
    await late("13:00");
    expect(await service.query("SELECT 1 FROM outbox")).toEqual([]);
  });

  it("is told live to whoever watches the lists", async () => {
    await addVisit("far", "09:00", "Far Horse");
    await service.app.listen({ host: "127.0.0.1", port: 0 });
    const address = service.app.server.address();
    if (address === null || typeof address === "string") throw new Error("not listening");
    const leaving = new AbortController();
    const stream = await fetch(`http://127.0.0.1:${address.port}/api/v1/events`, {
      headers: { authorization: `Bearer ${service.manager.token}` },
      signal: leaving.signal,
    });
    const reader = stream.body?.getReader();
    if (reader === undefined) throw new Error("no stream");
    // The first words open the stream: from then on the watcher is on the list.
    const opened = await reader.read();
    expect(new TextDecoder().decode(opened.value)).toContain("retry:");
    const sent = await request(service.app.server)
      .post(`/api/v1/route-days/${TODAY}/delay`)
      .auth(service.farrier.token, { type: "bearer" })
      .set("idempotency-key", randomUUID())
      .send({ freeAt: `${TODAY}T13:00:00+01:00` });
    expect(sent.status, sent.text).toBe(201);
    const heard = new TextDecoder().decode((await reader.read()).value);
    expect(heard).toContain("event: change");
    expect(heard).toContain('"resets"');
    expect(heard, "an event names lists, never horses").not.toContain("Far Horse");
    leaving.abort();
  });

  it("is reported by the farrier or the practice manager for a time of that day", async () => {
    expect((await late("13:00", {}, service.manager)).status, "whose day?").toBe(400);
    expect((await late("13:00", { farrierId: service.farrier.id }, service.manager)).status).toBe(
      201,
    );
    for (const person of [service.vet, service.carer, service.owner])
      // oxlint-disable-next-line no-await-in-loop
      expect((await late("13:00", {}, person)).status).toBe(403);
    const wrongDay = await service.farrier.send("post", `/route-days/${TODAY}/delay`, {
      freeAt: "2026-10-15T13:00:00+01:00",
    });
    expect(wrongDay.body.errors[0].pointer).toBe("/freeAt");
    expect((await late("03:00")).status).toBe(400);
    const other = await service.personWith("farrier", "Felix Other");
    expect((await late("13:00", { farrierId: service.farrier.id }, other)).status).toBe(403);
  });
});
