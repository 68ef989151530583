import request from "supertest";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { PASSWORD, startTestService, TEST_MAIL, type TestService } from "../support/service.ts";

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
const NEW = "meadow ladder cobalt 9";

/** The link of the newest letter to this address, opened as the post room opens it. */
const linkSentTo = async (email: string): Promise<string | null> => {
  const [row] = (await service.query(
    "SELECT id, sealed_secret FROM outbox WHERE kind = 'new password' AND payload->>'to' = $1 ORDER BY created_at DESC, id DESC LIMIT 1",
    [email],
  )) as { id: string; sealed_secret: string }[];
  return row === undefined ? null : TEST_MAIL.sealer.open(row.sealed_secret, row.id);
};

describe("a password", () => {
  // source: OWASP SecLists, 10 million password list: these stand among its first million.
  it.each(["123qweasdzxc", "q1w2e3r4t5y6", "QwertyQwerty", "1qaz2wsx3edc4rfv", "leavemealone"])(
    "that many had when their accounts were stolen is refused: %s",
    async (next) => {
      const person = await service.personWith("carer", `Common ${next}`);
      const answer = await person.send("put", "/session/password", { current: PASSWORD, next });
      expect(answer.status).toBe(400);
      expect(answer.body.errors[0]).toMatchObject({ pointer: "/next" });
    },
  );

  it.each(["aaaaaaaaaaaaaa", "heelward laminitis 2026", "short one"])(
    "that anyone would try here, or that is too short, is refused: %s",
    async (next) => {
      const person = await service.personWith("carer", `Plain ${next}`);
      expect(
        (await person.send("put", "/session/password", { current: PASSWORD, next })).status,
      ).toBe(400);
    },
  );

  it.each(["correct pony staple yard", "ünïcödé wörter im stroh", `${"long ".repeat(39)}ends`])(
    "needs no special signs and may be long: %s",
    async (next) => {
      const person = await service.personWith("carer", `Long ${next.length}`);
      const answer = await person.send("put", "/session/password", { current: PASSWORD, next });
      expect(answer.status, answer.text).toBe(204);
      expect((await signIn(person.email, next)).status).toBe(200);
    },
  );

  it("is kept as argon2id with 19 MiB and two passes", async () => {
    // source: OWASP Password Storage Cheat Sheet, first of the equivalent settings for argon2id.
    const rows = await service.query("SELECT DISTINCT left(password_hash, 30) AS head FROM people");
    expect(rows).toEqual([{ head: "$argon2id$v=19$m=19456,t=2,p=1" }]);
  });

  it("is changed with the old one only; the other sessions end and the person is told", async () => {
    const person = await service.personWith("farrier", "Changing Farrier");
    const other = (await signIn(person.email)).body as { accessToken: string };
    expect(
      (await person.send("put", "/session/password", { current: "not it at all", next: NEW }))
        .status,
    ).toBe(401);
    expect(
      (await person.send("put", "/session/password", { current: PASSWORD, next: NEW })).status,
    ).toBe(204);
    expect((await person.get("/session")).status).toBe(200);
    const elsewhere = await request(service.app.server)
      .get("/api/v1/session")
      .auth(other.accessToken, { type: "bearer" });
    expect(elsewhere.status).toBe(401);
    expect((await signIn(person.email)).status).toBe(401);
    expect((await signIn(person.email, NEW)).status).toBe(200);
    expect(
      await service.query(
        "SELECT 1 FROM outbox WHERE kind = 'sign-in changed' AND payload->>'personId' = $1",
        [person.id],
      ),
    ).toHaveLength(1);
  });
});

describe("a forgotten password", () => {
  it("is asked for with the same answer whether the account exists, and the link works once", async () => {
    const person = await service.personWith("carer", "Forgetting Carer");
    const known = await post("/password-resets", { email: person.email });
    const unknown = await post("/password-resets", { email: "nobody@test.invalid" });
    expect([known.status, known.text]).toEqual([unknown.status, unknown.text]);
    expect(known.status).toBe(204);
    expect(await linkSentTo("nobody@test.invalid")).toBeNull();
    const token = (await linkSentTo(person.email)) ?? "";
    expect(JSON.stringify(await service.query("SELECT * FROM password_resets"))).not.toContain(
      token,
    );
    expect(
      (await post("/password-resets/acceptance", { token, password: "123qweasdzxc" })).status,
    ).toBe(400);
    expect((await post("/password-resets/acceptance", { token, password: NEW })).status).toBe(204);
    expect((await post("/password-resets/acceptance", { token, password: NEW })).status).toBe(404);
    expect((await person.get("/session")).status).toBe(401);
    expect((await signIn(person.email)).status).toBe(401);
    expect((await signIn(person.email, NEW)).status).toBe(200);
  });

  it("has a link for an hour, three an hour at most, and one used ends the others", async () => {
    const person = await service.personWith("carer", "Impatient Carer");
    const ask = () => post("/password-resets", { email: person.email });
    await ask();
    const late = (await linkSentTo(person.email)) ?? "";
    service.advance(61 * 60_000);
    expect((await post("/password-resets/acceptance", { token: late, password: NEW })).status).toBe(
      404,
    );
    for (let turn = 0; turn < 5; turn += 1) {
      // oxlint-disable-next-line no-await-in-loop
      expect((await ask()).status).toBe(204);
    }
    const [{ n } = { n: 0 }] = (await service.query(
      "SELECT count(*)::int AS n FROM password_resets WHERE person_id = $1 AND created_at > now() - interval '100 years' AND used_at IS NULL",
      [person.id],
    )) as { n: number }[];
    expect(n).toBe(4);
    const token = (await linkSentTo(person.email)) ?? "";
    await post("/password-resets/acceptance", { token, password: NEW });
    expect(
      await service.query(
        "SELECT 1 FROM password_resets WHERE person_id = $1 AND used_at IS NULL",
        [person.id],
      ),
    ).toEqual([]);
  });

  it("can be helped by a manager with a link for a day; nobody else, nobody elsewhere", async () => {
    const manager = await service.personWith("manager", "Linking Manager");
    const person = await service.personWith("owner", "Forgetting Owner");
    const vet = await service.personWith("vet", "Linking Vet");
    expect((await vet.send("post", `/people/${person.id}/password-resets`)).status).toBe(403);
    const made = await manager.send("post", `/people/${person.id}/password-resets`);
    expect(made.status, made.text).toBe(201);
    const token = made.body.link.split("/").at(-1);
    expect(
      JSON.stringify(await service.query("SELECT response FROM idempotency_keys")),
    ).not.toContain(token);
    expect((await post("/password-resets/acceptance", { token, password: NEW })).status).toBe(204);
    expect((await signIn(person.email, NEW)).status).toBe(200);
  });

  it("does not bring a removed person back", async () => {
    const person = await service.personWith("carer", "Removed Carer");
    await post("/password-resets", { email: person.email });
    const token = (await linkSentTo(person.email)) ?? "";
    await service.query("UPDATE people SET status = 'removed' WHERE id = $1", [person.id]);
    expect((await post("/password-resets/acceptance", { token, password: NEW })).status).toBe(404);
    expect((await post("/password-resets", { email: person.email })).status).toBe(204);
  });
});
