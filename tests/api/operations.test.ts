import { randomUUID } from "node:crypto";
import { isWrite, OPERATIONS, type Operation } from "@heelward/contracts";
import { ROLES } from "@heelward/domain/access";
import fc from "fast-check";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { bodyOf } from "../support/sample-bodies.ts";
import { fieldsOf } from "../support/sample-input.ts";
import { startTestService, type TestPerson, type TestService } from "../support/service.ts";

/**
 * What holds for every operation alike, asked of every operation: the roles it refuses, the field it
 * names, the headers it needs, and that nothing is stored when the answer is no.
 */
let service: TestService;
let people: Record<(typeof ROLES)[number], TestPerson>;
beforeAll(async () => {
  service = await startTestService();
  people = {
    vet: service.vet,
    farrier: service.farrier,
    manager: service.manager,
    carer: service.carer,
    owner: service.owner,
  };
});
afterAll(async () => {
  await service.close();
});

const NOBODY = "0199e000-0000-7000-8000-00000000dead";
const path = (operation: Operation): string =>
  `/api/v1${operation.path.replaceAll(/:(\w+)/g, (_, name: string) => (name === "date" ? "2026-10-14" : name === "token" ? "t".repeat(43) : NOBODY))}`;

interface Extra {
  readonly headers?: Record<string, string>;
  readonly body?: unknown;
  readonly withoutVersion?: boolean;
}
const call = (operation: Operation, person: TestPerson | null, extra: Extra = {}) =>
  service.app.inject({
    method: operation.method,
    url: path(operation),
    headers: {
      ...(person === null ? {} : { authorization: `Bearer ${person.token}` }),
      ...(isWrite(operation) ? { "idempotency-key": randomUUID() } : {}),
      ...(operation.ifMatch === true && extra.withoutVersion !== true ? { "if-match": '"1"' } : {}),
      ...(extra.body === undefined ? {} : { "content-type": "application/json" }),
      ...extra.headers,
    } satisfies Record<string, string>,
    ...(extra.body === undefined ? {} : { payload: JSON.stringify(extra.body) }),
  });

const someoneWho = (operation: Operation): TestPerson | null =>
  operation.access === "public"
    ? null
    : operation.access === "anyone"
      ? people.vet
      : people[operation.access[0] ?? "vet"];
const storedRows = () =>
  service.query(
    "SELECT (SELECT count(*) FROM audit_entries) + (SELECT count(*) FROM case_events) + (SELECT count(*) FROM idempotency_keys) + (SELECT count(*) FROM horses) AS n",
  );
/** Ends a session or needs another kind of body. */
const isOrdinary = (operation: Operation) =>
  !["signOut", "signIn", "refreshSession"].includes(operation.id) && operation.upload !== true;
const withBody = OPERATIONS.filter(
  (operation) => operation.body !== undefined && isOrdinary(operation),
);

it("has a handler for every operation of the contract, and no two share an address or a name", () => {
  const addresses = OPERATIONS.map((operation) => `${operation.method} ${operation.path}`);
  expect(new Set(addresses).size).toBe(OPERATIONS.length);
  expect(new Set(OPERATIONS.map((operation) => operation.id)).size).toBe(OPERATIONS.length);
  for (const operation of OPERATIONS)
    expect(
      service.app.hasRoute({ method: operation.method, url: `/api/v1${operation.path}` }),
      operation.id,
    ).toBe(true);
});

describe("who may call", () => {
  it.each(OPERATIONS.filter((operation) => operation.access !== "public"))(
    "$id answers 401 to somebody who is not signed in",
    async (operation) => {
      const answer = await call(operation, null);
      expect(answer.statusCode).toBe(401);
      expect(answer.headers["content-type"]).toContain("application/problem+json");
    },
  );

  it.each(OPERATIONS.filter((operation) => Array.isArray(operation.access)))(
    "$id answers 403 to every other role",
    async (operation) => {
      for (const role of ROLES) {
        if ((operation.access as readonly string[]).includes(role)) continue;
        // One role after the other: each answer is a test of its own.
        // oxlint-disable-next-line no-await-in-loop
        const answer = await call(operation, people[role], { body: bodyOf(operation) });
        expect(answer.statusCode, role).toBe(403);
        expect(answer.json(), role).toMatchObject({
          requiredRoles: operation.access,
          next: expect.any(String),
        });
      }
    },
  );

  it("refuses tokens that were edited, signed by nobody, or made for another practice", async () => {
    const [head = "", body = "", signature = ""] = service.vet.token.split(".");
    const claims = JSON.parse(Buffer.from(body, "base64url").toString()) as Record<string, unknown>;
    const forged = Buffer.from(
      JSON.stringify({ ...claims, personId: service.manager.id }),
    ).toString("base64url");
    const none = `${Buffer.from(JSON.stringify({ alg: "none", typ: "JWT" })).toString("base64url")}.${body}.`;
    for (const token of [
      `${head}.${forged}.${signature}`,
      none,
      `${head}.${body}.${"A".repeat(86)}`,
      "nonsense",
      "",
    ]) {
      // oxlint-disable-next-line no-await-in-loop
      const answer = await service.app.inject({
        url: "/api/v1/session",
        headers: { authorization: `Bearer ${token}` },
      });
      expect(answer.statusCode).toBe(401);
    }
  });
});

describe("what is missing or not the caller's", () => {
  it.each(
    OPERATIONS.filter((operation) => operation.path.includes("Id") && operation.upload !== true),
  )(
    "$id never says more than 'not there' about an unknown id, and stores nothing",
    async (operation) => {
      const before = await storedRows();
      const answer = await call(operation, someoneWho(operation), { body: bodyOf(operation) });
      expect(answer.statusCode, answer.body).toBeGreaterThanOrEqual(400);
      expect(answer.statusCode, answer.body).toBeLessThan(500);
      if (answer.statusCode === 404) expect(answer.json().type).toMatch(/not-found$/);
      expect(await storedRows()).toEqual(before);
    },
  );
});

describe("bad input", () => {
  const WRONG: readonly unknown[] = [
    null,
    12.5,
    "\u0000",
    "x".repeat(20_000),
    [],
    {},
    true,
    -1e308,
  ];

  it.each(
    withBody.flatMap((operation) =>
      fieldsOf(operation.body as never).map((field) => ({ id: operation.id, field, operation })),
    ),
  )(
    "$id names the field $field when it is wrong, and stores nothing",
    async ({ operation, field }) => {
      const before = await storedRows();
      let refused = 0;
      for (const wrong of WRONG) {
        const body = { ...bodyOf(operation), [field]: wrong };
        if (
          (operation.body as { safeParse: (value: unknown) => { success: boolean } }).safeParse(
            body,
          ).success
        )
          continue;
        refused += 1;
        // oxlint-disable-next-line no-await-in-loop
        const answer = await call(operation, someoneWho(operation), { body });
        expect(
          answer.statusCode,
          `${field} = ${JSON.stringify(wrong).slice(0, 60)}: ${answer.body}`,
        ).toBe(400);
        expect(
          answer
            .json()
            .errors.map((error: { pointer: string }) => error.pointer)
            .some((pointer: string) => pointer === `/${field}` || pointer.startsWith(`/${field}/`)),
          answer.body,
        ).toBe(true);
      }
      expect(refused).toBeGreaterThan(0);
      expect(await storedRows()).toEqual(before);
    },
  );

  it.each(withBody)("$id refuses a field it does not know and says which", async (operation) => {
    const answer = await call(operation, someoneWho(operation), {
      body: { ...bodyOf(operation), isAdmin: true },
    });
    expect(answer.statusCode).toBe(400);
    expect(answer.json().errors).toContainEqual(expect.objectContaining({ pointer: "/isAdmin" }));
  });

  it.each(OPERATIONS.filter((operation) => /:\w+Id/.test(operation.path)))(
    "$id says so when the id is no id",
    async (operation) => {
      const answer = await service.app.inject({
        method: operation.method,
        url: path(operation).replaceAll(NOBODY, "1%27%20OR%201"),
        headers: {
          authorization: `Bearer ${(someoneWho(operation) ?? people.vet).token}`,
          "idempotency-key": randomUUID(),
          "if-match": '"1"',
          ...(operation.upload === true
            ? { "content-type": "multipart/form-data; boundary=x" }
            : {}),
        },
      });
      expect(answer.statusCode).toBe(400);
    },
  );

  it("never answers 500 to a body, whatever it holds", async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...withBody),
        fc.jsonValue({ maxDepth: 4 }),
        fc.string({ maxLength: 12 }),
        async (operation, value, extra) => {
          const fields = fieldsOf(operation.body as never);
          const field = fields[extra.length % Math.max(1, fields.length)] ?? extra;
          const answer = await call(operation, someoneWho(operation), {
            body: { ...bodyOf(operation), [field]: value },
          });
          expect(
            answer.statusCode,
            `${operation.id} ${field} ${JSON.stringify(value)}: ${answer.body}`,
          ).toBeLessThan(500);
        },
      ),
      { numRuns: 600, seed: 20261014 },
    );
  });

  it("answers broken JSON, a wrong media type and an endless body with a problem", async () => {
    const send = (payload: string, type: string) =>
      service.app.inject({
        method: "POST",
        url: "/api/v1/yards",
        payload,
        headers: {
          authorization: `Bearer ${service.manager.token}`,
          "content-type": type,
          "idempotency-key": randomUUID(),
        },
      });
    expect((await send("{", "application/json")).statusCode).toBe(400);
    expect((await send("<x/>", "application/xml")).statusCode).toBe(415);
    expect(
      (await send(JSON.stringify({ name: "x".repeat(2_000_000) }), "application/json")).statusCode,
    ).toBe(413);
    expect((await service.app.inject({ url: "/api/v1/nowhere" })).statusCode).toBe(404);
  });
});

describe("headers of a write", () => {
  it.each(OPERATIONS.filter((operation) => isWrite(operation) && isOrdinary(operation)))(
    "$id needs an Idempotency-Key",
    async (operation) => {
      for (const key of ["", "short", "with spaces in it", "x".repeat(101)]) {
        // oxlint-disable-next-line no-await-in-loop
        const answer = await call(operation, someoneWho(operation), {
          body: bodyOf(operation),
          headers: { "idempotency-key": key },
        });
        expect(answer.statusCode, answer.body).toBe(400);
        expect(answer.json().type).toMatch(/idempotency-key-required$/);
      }
    },
  );

  it.each(OPERATIONS.filter((operation) => operation.ifMatch === true))(
    "$id needs the version the caller saw",
    async (operation) => {
      const missing = await call(operation, someoneWho(operation), {
        body: bodyOf(operation),
        withoutVersion: true,
      });
      expect(missing.statusCode, missing.body).toBe(428);
      const broken = await call(operation, someoneWho(operation), {
        body: bodyOf(operation),
        headers: { "if-match": "yesterday" },
      });
      expect(broken.statusCode).toBe(400);
    },
  );

  it("refuses a change by cookie that another site started", async () => {
    const answer = await service.app.inject({
      method: "POST",
      url: "/api/v1/yards",
      payload: {},
      cookies: { heelward_access: service.manager.token },
      headers: { origin: "https://elsewhere.invalid", "sec-fetch-site": "cross-site" },
    });
    expect(answer.statusCode).toBe(403);
    expect(answer.json().type).toMatch(/cross-site-request$/);
  });
});

// Last, because it moves the clock on.
describe("signing", () => {
  it("needs the password again after five minutes, for every operation that signs", async () => {
    service.advance(6 * 60_000);
    const signing = OPERATIONS.filter((operation) => operation.stepUp === true);
    expect(signing.length).toBeGreaterThan(3);
    for (const operation of signing) {
      // oxlint-disable-next-line no-await-in-loop
      const answer = await call(operation, someoneWho(operation), { body: bodyOf(operation) });
      expect(answer.statusCode, `${operation.id}: ${answer.body}`).toBe(401);
      expect(answer.json().type).toMatch(/reauthentication-required$/);
    }
  });
});
