import { randomUUID } from "node:crypto";
import request from "supertest";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startTestService, type TestPerson, type TestService } from "../support/service.ts";

const PIN = "7301";
let service: TestService;
let other: TestPerson;
/** The device's cookie, as the browser of the yard's tablet holds it. */
let cookie = "";

beforeAll(async () => {
  service = await startTestService();
  other = await service.personWith("carer", "Olga Other");
  await service.query(
    "INSERT INTO yard_people (practice_id, yard_id, person_id) VALUES ($1, $2, $3)",
    [service.practiceId, service.yardId, other.id],
  );
  const trusted = await service.manager.send("post", "/yard-devices", {
    yardId: service.yardId,
    name: "Tablet in the feed room",
  });
  cookie = cookieOf(trusted, "heelward_device");
  await service.carer.send("put", "/session/pin", { pin: PIN });
  await other.send("put", "/session/pin", { pin: PIN });
});
afterAll(() => service.close());

const cookieOf = (answer: request.Response, name: string): string => {
  const all = (answer.headers["set-cookie"] ?? []) as unknown as readonly string[];
  return all.find((one) => one.startsWith(`${name}=`))?.split(";")[0] ?? "";
};
const onTablet = (body: object, held = cookie) =>
  request(service.app.server).post("/api/v1/yard-device/session").set("cookie", held).send(body);
const who = async (held = cookie) => {
  const answer = await request(service.app.server).get("/api/v1/yard-device").set("cookie", held);
  expect(answer.status).toBe(200);
  return answer.body.device as {
    name: string;
    people: { id: string; name: string; hasPin: boolean; isHere: boolean; lockedUntil: string }[];
  } | null;
};
const as = (answer: request.Response) => ({
  get: (path: string) =>
    request(service.app.server)
      .get(`/api/v1${path}`)
      .set("cookie", cookieOf(answer, "heelward_access")),
});

describe("a tablet that a yard shares", () => {
  it("lists the yard's carers and its horses' farriers, and nobody who may sign or manage", async () => {
    const names = (await who())?.people.map((one) => one.name);
    expect(names).toEqual(["Cass Carer", "Fintan Farrier", "Olga Other"]);
  });

  it("tells nothing in a browser that nobody trusted", async () => {
    expect(await who("")).toBeNull();
    expect(await who("heelward_device=of-somebody-else")).toBeNull();
    expect((await onTablet({ personId: other.id, pin: PIN }, "")).status).toBe(401);
  });

  it("opens for a person's PIN, for twelve hours, as that person", async () => {
    const opened = await onTablet({ personId: service.carer.id, pin: PIN });
    expect(opened.status).toBe(200);
    const { body } = await as(opened).get("/session");
    expect(body.person.name).toBe("Cass Carer");
    expect(Date.parse(body.expiresAt) - service.now()).toBe(12 * 3_600_000);
  });

  it("goes to the next person with one call and no PIN within those hours, and back again", async () => {
    await onTablet({ personId: other.id, pin: PIN });
    const back = await onTablet({ personId: service.carer.id });
    expect((await as(back).get("/session")).body.person.name).toBe("Cass Carer");
    const forth = await onTablet({ personId: other.id });
    expect((await as(forth).get("/session")).body.person.name).toBe("Olga Other");
    expect((await who())?.people.filter((one) => one.isHere).map((one) => one.name)).toEqual([
      "Cass Carer",
      "Olga Other",
    ]);
  });

  it("never signs: that asks for the password, though the PIN was right a second ago", async () => {
    const opened = await onTablet({ personId: service.carer.id, pin: PIN });
    const asked = await request(service.app.server)
      .put("/api/v1/session/pin")
      .set("cookie", cookieOf(opened, "heelward_access"))
      .set("sec-fetch-site", "same-origin")
      .set("idempotency-key", randomUUID())
      .send({ pin: "4490" });
    expect(asked.status).toBe(401);
    expect(asked.body.type).toContain("reauthentication-required");
  });

  it("keeps only a salted hash of the PIN", async () => {
    const rows = await service.query("SELECT pin_hash FROM yard_pins");
    expect(rows).toHaveLength(2);
    for (const row of rows) expect(row["pin_hash"]).toMatch(/^\$argon2id\$v=19\$m=19456,t=2,p=1\$/);
    expect(new Set(rows.map((row) => row["pin_hash"])).size).toBe(2);
  });

  it("refuses PINs that anybody tries first, and people with further rights", async () => {
    for (const pin of ["1111", "2345", "8765"])
      // oxlint-disable-next-line no-await-in-loop
      expect((await service.carer.send("put", "/session/pin", { pin })).status).toBe(400);
    await service.query("UPDATE people SET roles = '{carer,manager}' WHERE id = $1", [other.id]);
    expect((await other.send("put", "/session/pin", { pin: "4490" })).status).toBe(403);
    expect((await onTablet({ personId: other.id, pin: PIN })).status).toBe(401);
    await service.query("UPDATE people SET roles = '{carer}' WHERE id = $1", [other.id]);
  });

  it("does not open for a carer of another yard or for somebody who left", async () => {
    const stranger = await service.personWith("carer", "Stan Stranger");
    expect((await stranger.send("put", "/session/pin", { pin: PIN })).status).toBe(204);
    expect((await onTablet({ personId: stranger.id, pin: PIN })).status).toBe(401);
    await service.query("UPDATE people SET status = 'removed' WHERE id = $1", [other.id]);
    expect((await onTablet({ personId: other.id, pin: PIN })).status).toBe(401);
    await service.query("UPDATE people SET status = 'active' WHERE id = $1", [other.id]);
  });

  it("forgets a removed PIN and what it opened", async () => {
    const opened = await onTablet({ personId: other.id, pin: PIN });
    expect((await other.send("delete", "/session/pin")).status).toBe(204);
    expect((await as(opened).get("/session")).status).toBe(401);
    expect((await other.send("delete", "/session/pin")).status).toBe(404);
    expect((await other.send("put", "/session/pin", { pin: PIN })).status).toBe(204);
  });
});

describe("what a person prefers", () => {
  it("starts with SI units and is the person's own", async () => {
    expect((await service.carer.get("/session/preferences")).body).toEqual({
      lengthUnit: "mm",
      weightUnit: "kg",
      queueViews: [],
    });
    const changed = await service.carer.send("patch", "/session/preferences", {
      weightUnit: "lb",
      queueViews: [{ name: "My yard today", role: "carer", filters: { show: "today" } }],
    });
    expect(changed.body).toMatchObject({ lengthUnit: "mm", weightUnit: "lb" });
    expect((await service.carer.get("/session/preferences")).body.queueViews).toHaveLength(1);
    expect((await service.vet.get("/session/preferences")).body.weightUnit).toBe("kg");
  });
});

describe("as hours go by", () => {
  it("asks for the PIN again after twelve hours", async () => {
    await onTablet({ personId: other.id, pin: PIN });
    service.advance(12 * 3_600_000 + 1_000);
    expect((await onTablet({ personId: other.id })).status).toBe(401);
    expect((await who())?.people.some((one) => one.isHere)).toBe(false);
    expect((await onTablet({ personId: other.id, pin: PIN })).status).toBe(200);
  });

  it("locks a PIN for a quarter of an hour after five wrong ones, and says so to the audit", async () => {
    for (let wrong = 0; wrong < 5; wrong += 1)
      // One after the other, as a person types them.
      // oxlint-disable-next-line no-await-in-loop
      expect((await onTablet({ personId: other.id, pin: "9999" })).status).toBe(401);
    expect((await onTablet({ personId: other.id, pin: PIN })).status).toBe(401);
    expect((await who())?.people.find((one) => one.id === other.id)?.lockedUntil).not.toBeNull();
    service.advance(15 * 60_000 + 1_000);
    expect((await onTablet({ personId: other.id, pin: PIN })).status).toBe(200);
    const events = await service.query(
      "SELECT entry FROM audit_entries WHERE entry LIKE '%pin.locked%'",
    );
    expect(events).toHaveLength(1);
  });

  it("signs everybody out when it is no longer shared", async () => {
    const opened = await onTablet({ personId: service.carer.id, pin: PIN });
    const manager = await service.personWith("manager", "Mara Later");
    const [device] = (await manager.get("/yard-devices")).body.items;
    expect(device.name).toBe("Tablet in the feed room");
    const gone = await manager.send(
      "delete",
      `/yard-devices/${device.id}`,
      undefined,
      device.version,
    );
    expect(gone.status).toBe(204);
    expect((await as(opened).get("/session")).status).toBe(401);
    expect(await who()).toBeNull();
  });
});
