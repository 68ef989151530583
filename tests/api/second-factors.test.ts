import { Secret, TOTP } from "otpauth";
import request from "supertest";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  PASSWORD,
  startTestService,
  type TestPerson,
  type TestService,
} from "../support/service.ts";

/** Codes come from the reference library as an app on a phone would make them (RFC 6238). */
let service: TestService;
beforeAll(async () => {
  service = await startTestService();
});
afterAll(async () => {
  await service.close();
});

const STEP_MS = 30_000;
const post = (path: string, body: object) =>
  request(service.app.server).post(`/api/v1${path}`).send(body);
const signIn = (email: string, secondFactor?: object, password = PASSWORD) =>
  post("/session", { email, password, ...(secondFactor === undefined ? {} : { secondFactor }) });
const codeOf = (key: string, atMs = service.now()): string =>
  new TOTP({ secret: Secret.fromBase32(key) }).generate({ timestamp: atMs });
const withCode = (email: string, code: string) => signIn(email, { kind: "code", code });

const addApp = async (
  person: TestPerson,
): Promise<{ id: string; key: string; codes: string[] }> => {
  const started = await person.send("post", "/second-factors/app-codes", { name: "Phone" });
  expect(started.status, started.text).toBe(201);
  const { id, key } = started.body as { id: string; key: string };
  const done = await person.send("post", `/second-factors/${id}/confirmation`, {
    code: codeOf(key),
  });
  expect(done.status, done.text).toBe(200);
  service.advance(STEP_MS);
  return { id, key, codes: done.body.recoveryCodes };
};

describe("an authenticator app", () => {
  it("counts from its first code on, and is then asked at every sign-in, with a code that works once", async () => {
    const vet = await service.personWith("vet", "Appy Vet");
    const started = await vet.send("post", "/second-factors/app-codes", { name: "Phone" });
    expect(new URL(started.body.address).searchParams.get("secret")).toBe(started.body.key);
    expect((await signIn(vet.email)).status).toBe(200);
    const wrong = await vet.send("post", `/second-factors/${started.body.id}/confirmation`, {
      code: "000000",
    });
    expect(wrong.status).toBe(400);
    const code = codeOf(started.body.key);
    const done = await vet.send("post", `/second-factors/${started.body.id}/confirmation`, {
      code,
    });
    expect(done.body.recoveryCodes).toHaveLength(10);

    const asked = await signIn(vet.email);
    expect(asked.status).toBe(401);
    expect(asked.body.type).toMatch(/second-factor-required$/);
    expect(asked.body.ways).toEqual(["app code"]);
    expect(asked.headers["set-cookie"]).toBeUndefined();
    expect((await withCode(vet.email, code)).status).toBe(401);
    service.advance(STEP_MS);
    const fresh = codeOf(started.body.key);
    expect((await withCode(vet.email, fresh)).status).toBe(200);
    expect((await withCode(vet.email, fresh)).status).toBe(401);
    const { body } = await vet.get("/second-factors");
    expect(body).toMatchObject({
      items: [{ kind: "app code", name: "Phone" }],
      recoveryCodesLeft: 10,
      isRequired: false,
    });
  });

  it("does not help without the password, and does not tell a stranger that it is there", async () => {
    const vet = await service.personWith("vet", "Quiet Vet");
    const { key } = await addApp(vet);
    const wrong = await signIn(vet.email, { kind: "code", code: codeOf(key) }, "not the phrase");
    const nobody = await signIn("nobody@test.invalid", undefined, "not the phrase");
    expect(wrong.status).toBe(401);
    expect({ ...wrong.body, instance: "" }).toEqual({ ...nobody.body, instance: "" });
  });

  it("cannot be guessed: the eighth wrong code locks the account, and the right password alone forgets nothing", async () => {
    const vet = await service.personWith("vet", "Guessed Vet");
    const { key } = await addApp(vet);
    for (let attempt = 0; attempt < 8; attempt += 1) {
      // oxlint-disable-next-line no-await-in-loop
      expect((await withCode(vet.email, "123123")).status).toBe(401);
      // oxlint-disable-next-line no-await-in-loop
      if (attempt < 7) expect((await signIn(vet.email)).body.ways).toEqual(["app code"]);
    }
    const locked = await withCode(vet.email, codeOf(key));
    expect(locked.body.type).toMatch(/wrong-credentials$/);
    service.advance(15 * 60_000 + 1000);
    expect((await withCode(vet.email, codeOf(key))).status).toBe(200);
  });

  it("is not readable in the database: its key is sealed, codes are hashed, kept answers are sealed", async () => {
    const vet = await service.personWith("vet", "Sealed Vet");
    const { key, codes } = await addApp(vet);
    const rows = JSON.stringify([
      ...(await service.query("SELECT * FROM second_factors")),
      ...(await service.query("SELECT * FROM idempotency_keys")),
      ...(await service.query("SELECT entry FROM audit_entries")),
    ]);
    expect(rows).not.toContain(key);
    for (const code of codes) expect(rows).not.toContain(code);
  });

  it("gives the same answer to a repeat of the same request, opened again from its seal", async () => {
    const vet = await service.personWith("vet", "Repeating Vet");
    const send = () =>
      request(service.app.server)
        .post("/api/v1/second-factors/app-codes")
        .auth(vet.token, { type: "bearer" })
        .set("idempotency-key", "the-same-key-twice")
        .send({ name: "Phone" });
    const first = await send();
    const again = await send();
    expect(first.status).toBe(201);
    expect(again.body).toEqual(first.body);
  });
});

describe("recovery codes", () => {
  it("open one session each, and new ones make the old ones useless", async () => {
    const manager = await service.personWith("manager", "Paper Manager");
    const { codes } = await addApp(manager);
    const [first = "", second = ""] = codes;
    expect(first).toMatch(/^[a-z2-9]{4}-[a-z2-9]{4}-[a-z2-9]{4}$/u);
    const opened = await withCode(manager.email, first.toUpperCase());
    expect(opened.status, opened.text).toBe(200);
    expect((await withCode(manager.email, first)).status).toBe(401);
    expect((await manager.get("/second-factors")).body.recoveryCodesLeft).toBe(9);
    const renewed = await manager.send("post", "/second-factors/recovery-codes");
    expect(renewed.body.recoveryCodes).toHaveLength(10);
    expect((await withCode(manager.email, second)).status).toBe(401);
    expect((await withCode(manager.email, renewed.body.recoveryCodes[0])).status).toBe(200);
  });

  it("belong to one person: another one's code opens nothing", async () => {
    const one = await service.personWith("vet", "First Paper");
    const other = await service.personWith("vet", "Second Paper");
    const { codes } = await addApp(one);
    await addApp(other);
    expect((await withCode(other.email, codes[0] ?? "")).status).toBe(401);
    expect((await withCode(one.email, codes[0] ?? "")).status).toBe(200);
  });
});

describe("confirming before signing", () => {
  it("takes the app's code as well as the password, once", async () => {
    const vet = await service.personWith("vet", "Stepping Vet");
    const { key } = await addApp(vet);
    const { body } = await vet.send("post", "/session/confirmation-options");
    expect(body).toEqual({ ways: ["password", "app code"], passkeyOptions: null });
    service.advance(6 * 60_000);
    expect((await vet.send("post", "/second-factors/recovery-codes")).body.type).toMatch(
      /reauthentication-required$/,
    );
    const code = codeOf(key);
    expect((await vet.send("post", "/session/confirmation", { code })).status).toBe(200);
    expect((await vet.send("post", "/second-factors/recovery-codes")).status).toBe(201);
    expect((await vet.send("post", "/session/confirmation", { code })).status).toBe(401);
    for (const body of [{}, { password: PASSWORD, code }])
      // oxlint-disable-next-line no-await-in-loop
      expect((await vet.send("post", "/session/confirmation", body)).status).toBe(400);
  });

  it("counts wrong passwords as sign-in does, so that a stolen session cannot guess", async () => {
    const vet = await service.personWith("vet", "Stolen Vet");
    for (let attempt = 0; attempt < 8; attempt += 1)
      // oxlint-disable-next-line no-await-in-loop
      await vet.send("post", "/session/confirmation", { password: `wrong number ${attempt}` });
    expect((await vet.send("post", "/session/confirmation", { password: PASSWORD })).status).toBe(
      401,
    );
    expect((await signIn(vet.email)).status).toBe(401);
  });
});

describe("a practice that asks for a second factor", () => {
  it("lets vets and managers do nothing but add one, leaves the others alone, and keeps the last one", async () => {
    const manager = await service.personWith("manager", "Strict Manager");
    const vet = await service.personWith("vet", "Bare Vet");
    const farrier = await service.personWith("farrier", "Untouched Farrier");
    const { id } = await addApp(manager);
    expect(
      (await vet.send("put", "/sign-in-policy", { isSecondFactorRequired: true })).status,
    ).toBe(403);
    expect(
      (await manager.send("put", "/sign-in-policy", { isSecondFactorRequired: true })).status,
    ).toBe(200);
    const refused = await vet.get("/horses");
    expect(refused.status).toBe(403);
    expect(refused.body.type).toMatch(/enrolment-required$/);
    expect((await farrier.get("/horses")).status).toBe(200);
    expect((await vet.get("/session")).body.mustEnrol).toBe(true);
    const own = await addApp(vet);
    expect((await vet.get("/horses")).status).toBe(200);
    expect((await vet.get("/session")).body.mustEnrol).toBe(false);
    expect((await vet.send("delete", `/second-factors/${own.id}`)).status).toBe(409);
    expect((await manager.send("delete", `/second-factors/${id}`)).status).toBe(409);
    expect(
      (await manager.send("put", "/sign-in-policy", { isSecondFactorRequired: false })).status,
    ).toBe(200);
    expect((await vet.send("delete", `/second-factors/${own.id}`)).status).toBe(204);
    expect((await vet.get("/second-factors")).body).toMatchObject({
      items: [],
      recoveryCodesLeft: 0,
    });
    expect((await signIn(vet.email)).status).toBe(200);
  });

  it("can clear a lost phone's factors: the person is signed out everywhere and told by letter", async () => {
    const manager = await service.personWith("manager", "Helping Manager");
    const vet = await service.personWith("vet", "Lost Phone");
    await addApp(vet);
    expect((await vet.send("delete", `/people/${vet.id}/second-factors`)).status).toBe(403);
    expect((await manager.send("delete", `/people/${vet.id}/second-factors`)).status).toBe(204);
    expect((await vet.get("/session")).status).toBe(401);
    expect((await signIn(vet.email)).status).toBe(200);
    const letters = await service.query(
      "SELECT payload FROM outbox WHERE kind = 'sign-in changed' AND payload->>'personId' = $1",
      [vet.id],
    );
    expect(letters.length).toBe(2);
  });
});

describe("another person's factors", () => {
  it("are not there to be confirmed or removed", async () => {
    const vet = await service.personWith("vet", "Owning Vet");
    const other = await service.personWith("vet", "Prying Vet");
    const { id } = await addApp(vet);
    expect((await other.send("delete", `/second-factors/${id}`)).status).toBe(404);
    expect(
      (await other.send("post", `/second-factors/${id}/confirmation`, { code: "123456" })).status,
    ).toBe(404);
    expect((await other.get("/second-factors")).body.items).toEqual([]);
  });
});
