import request from "supertest";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { PASSWORD, startTestService, type TestService } from "../support/service.ts";

let service: TestService;
beforeAll(async () => {
  service = await startTestService();
});
afterAll(async () => {
  await service.close();
});

const post = (path: string, body: object) =>
  request(service.app.server).post(`/api/v1${path}`).send(body);
const signIn = (email: string, password = PASSWORD) => post("/session", { email, password });

describe("signing in", () => {
  it("gives a bearer token for scripts and cookies that no page script can read", async () => {
    const answer = await signIn(service.vet.email);
    expect(answer.status).toBe(200);
    expect(answer.body).toMatchObject({
      person: { name: "Vera Vet", roles: ["vet"] },
      practice: { name: "Test Practice" },
    });
    const cookies = answer.headers["set-cookie"] as unknown as string[];
    expect(cookies).toHaveLength(2);
    for (const cookie of cookies) expect(cookie).toMatch(/HttpOnly/);
    for (const cookie of cookies) expect(cookie).toMatch(/SameSite=Strict/);
    expect(JSON.stringify(answer.body)).not.toContain("argon2");
  });

  it("takes the e-mail in any case, and says the same thing whether the account or the password is wrong", async () => {
    expect((await signIn(service.vet.email.toUpperCase())).status).toBe(200);
    const wrongPassword = await signIn(service.vet.email, "not the pass phrase");
    const nobody = await signIn("nobody@test.invalid", "not the pass phrase");
    expect(wrongPassword.status).toBe(401);
    expect({ ...nobody.body, instance: "" }).toEqual({ ...wrongPassword.body, instance: "" });
  });

  it("locks an account after eight wrong passwords for a quarter of an hour, without saying so to a stranger", async () => {
    const victim = await service.personWith("carer", "Locked Carer");
    for (let attempt = 0; attempt < 8; attempt += 1) {
      // oxlint-disable-next-line no-await-in-loop
      expect((await signIn(victim.email, "a wrong pass phrase")).status).toBe(401);
    }
    expect((await signIn(victim.email)).status).toBe(401);
    service.advance(15 * 60_000 + 1000);
    expect((await signIn(victim.email)).status).toBe(200);
  });
});

describe("a session", () => {
  it("is renewed by a token that works once; using it again ends the session for thief and owner alike", async () => {
    const first = (await signIn(service.manager.email)).body as { refreshToken: string };
    const second = await post("/session/refresh", { refreshToken: first.refreshToken });
    expect(second.status).toBe(200);
    expect(second.body.refreshToken).not.toBe(first.refreshToken);
    expect((await post("/session/refresh", { refreshToken: first.refreshToken })).status).toBe(401);
    expect(
      (await post("/session/refresh", { refreshToken: second.body.refreshToken })).status,
    ).toBe(401);
    expect(
      (
        await request(service.app.server)
          .get("/api/v1/session")
          .auth(second.body.accessToken, { type: "bearer" })
      ).status,
    ).toBe(401);
  });

  it("lasts ten minutes without renewal", async () => {
    const { body } = await signIn(service.farrier.email);
    const read = () =>
      request(service.app.server).get("/api/v1/session").auth(body.accessToken, { type: "bearer" });
    service.advance(9 * 60_000);
    expect((await read()).status).toBe(200);
    service.advance(61_000);
    expect((await read()).status).toBe(401);
  });

  it("works by cookie for our own pages, ends on signing out, and is listed with its device", async () => {
    const agent = request.agent(service.app.server);
    await agent
      .post("/api/v1/session")
      .set("user-agent", "Test phone")
      .send({ email: service.owner.email, password: PASSWORD });
    const { body } = await agent.get("/api/v1/sessions");
    expect(body.items).toContainEqual(
      expect.objectContaining({ userAgent: "Test phone", isThisOne: true }),
    );
    expect((await agent.post("/api/v1/session/refresh").send({})).status).toBe(200);
    expect((await agent.delete("/api/v1/session")).status).toBe(204);
    expect((await agent.get("/api/v1/session")).status).toBe(401);
  });

  it("can be ended from another device, but only by the same person", async () => {
    const carer = await service.personWith("carer", "Two Phones");
    const other = (await signIn(carer.email)).body as { accessToken: string };
    const { body } = await carer.get("/sessions");
    const target = body.items.find((one: { isThisOne: boolean }) => !one.isThisOne);
    const stranger = await service.personWith("carer", "Stranger");
    expect((await stranger.send("delete", `/sessions/${target.id}`)).status).toBe(404);
    expect((await carer.send("delete", `/sessions/${target.id}`)).status).toBe(204);
    expect(
      (
        await request(service.app.server)
          .get("/api/v1/session")
          .auth(other.accessToken, { type: "bearer" })
      ).status,
    ).toBe(401);
  });

  it("needs the right password to be confirmed before signing", async () => {
    const vet = await service.personWith("vet", "Confirming Vet");
    expect(
      (await vet.send("post", "/session/confirmation", { password: "not this one" })).status,
    ).toBe(401);
    expect((await vet.send("post", "/session/confirmation", { password: PASSWORD })).status).toBe(
      200,
    );
  });
});

describe("people", () => {
  it("come by an invitation that works once and brings them to their yard and horse", async () => {
    const manager = await service.personWith("manager", "Inviting Manager");
    const invited = await manager.send("post", "/invitations", {
      email: "New.Owner@Test.invalid",
      name: "New Owner",
      roles: ["owner"],
      horseIds: [service.horseId],
    });
    expect(invited.status).toBe(201);
    const token = invited.body.link.split("/").at(-1);
    expect(
      (await post("/invitations/acceptance", { token, password: "password1234" })).status,
    ).toBe(400);
    const accepted = await post("/invitations/acceptance", {
      token,
      password: "meadow ladder cobalt 9",
    });
    expect(accepted.status).toBe(201);
    expect(accepted.body).toMatchObject({
      email: "new.owner@test.invalid",
      roles: ["owner"],
      status: "active",
    });
    expect(
      (await post("/invitations/acceptance", { token, password: "meadow ladder cobalt 9" })).status,
    ).toBe(404);
    expect((await signIn("new.owner@test.invalid", "meadow ladder cobalt 9")).status).toBe(200);
    const { body } = await manager.get("/invitations");
    expect(body.items[0]).toMatchObject({ name: "New Owner", acceptedAt: expect.any(String) });
    expect(JSON.stringify(body)).not.toContain(token);
  });

  it("cannot be invited twice, and an invitation can be withdrawn before it is used", async () => {
    const manager = await service.personWith("manager", "Second Manager");
    expect(
      (
        await manager.send("post", "/invitations", {
          email: service.vet.email,
          name: "Again",
          roles: ["vet"],
        })
      ).status,
    ).toBe(400);
    const invited = await manager.send("post", "/invitations", {
      email: "late@test.invalid",
      name: "Late",
      roles: ["carer"],
    });
    expect(
      (await manager.send("delete", `/invitations/${invited.body.id}`, undefined, 1)).status,
    ).toBe(204);
    expect(
      (
        await post("/invitations/acceptance", {
          token: invited.body.link.split("/").at(-1),
          password: "meadow ladder cobalt 9",
        })
      ).status,
    ).toBe(404);
  });

  it("lose access with their next request once they are removed, and the last manager stays", async () => {
    const manager = await service.personWith("manager", "Third Manager");
    const leaving = await service.personWith("carer", "Leaving Carer");
    expect((await leaving.get("/session")).status).toBe(200);
    expect(
      (await manager.send("patch", `/people/${leaving.id}`, { status: "removed" }, 1)).status,
    ).toBe(200);
    expect((await leaving.get("/session")).status).toBe(401);
    expect((await signIn(leaving.email)).status).toBe(401);
    await service.query(
      "UPDATE people SET status = 'removed' WHERE 'manager' = ANY (roles) AND id <> $1",
      [manager.id],
    );
    expect(
      (await manager.send("patch", `/people/${manager.id}`, { roles: ["carer"] }, 1)).status,
    ).toBe(409);
  });

  it("keeps the old value, the author and the time of every edit", async () => {
    const [manager] = (await service.query(
      "SELECT id FROM people WHERE status = 'active' AND 'manager' = ANY (roles)",
    )) as { id: string }[];
    expect(manager).toBeDefined();
    const vet = await service.personWith("vet", "Renamed Vet");
    const boss = await service.personWith("manager", "Naming Manager");
    await boss.send("patch", `/people/${vet.id}`, { name: "New Name" }, 1);
    const [entry] = (await service.query(
      "SELECT entry FROM audit_entries WHERE event = 'person.changed' AND subject_id = $1",
      [vet.id],
    )) as { entry: string }[];
    expect(JSON.parse(entry?.entry ?? "{}")).toMatchObject({
      actorId: boss.id,
      payload: { before: { name: "Renamed Vet" }, after: { name: "New Name" } },
    });
  });
});
