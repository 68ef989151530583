import { randomUUID } from "node:crypto";
import type { FastifyInstance } from "fastify";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startOwnApp } from "../support/own-app.ts";
import { PASSWORD, startTestService, type TestService } from "../support/service.ts";

/** What browsers are told, and what is taken from them. source: OWASP ASVS 5.0, web frontend security. */
let service: TestService;
let https: FastifyInstance;
let closeHttps: () => Promise<void>;
beforeAll(async () => {
  service = await startTestService();
  ({ app: https, close: closeHttps } = await startOwnApp(service, {
    isSecure: true,
    requestsPerMinute: 60,
    signInsPerMinute: 5,
  }));
});
afterAll(async () => {
  await closeHttps();
  await service.close();
});

const ADDRESSES = ["/api/v1/session", "/api/v1/openapi.json", "/healthz", "/nowhere", "/api/v1/x"];

describe("every answer", () => {
  it.each(ADDRESSES)("tells browsers to run nothing of others, from %s", async (url) => {
    const { headers } = await service.app.inject({ url });
    const policy = String(headers["content-security-policy"]);
    expect(policy).not.toContain("unsafe-inline");
    expect(policy).not.toContain("unsafe-eval");
    for (const rule of [
      "default-src 'self'",
      "script-src 'self'",
      "frame-ancestors 'none'",
      "object-src 'none'",
      "base-uri 'none'",
      "form-action 'self'",
    ])
      expect(policy).toContain(rule);
    expect(headers["x-content-type-options"]).toBe("nosniff");
    expect(headers["referrer-policy"]).toBe("no-referrer");
    expect(headers["permissions-policy"]).toContain("geolocation=()");
    expect(headers["cross-origin-opener-policy"]).toBe("same-origin");
    expect(headers["cross-origin-resource-policy"]).toBe("same-origin");
    expect(headers["x-powered-by"]).toBeUndefined();
    expect(headers["server"]).toBeUndefined();
  });

  it("keeps browsers on HTTPS for two years where the service speaks it, and does not where it does not", async () => {
    const secure = await https.inject({ url: "/healthz" });
    expect(secure.headers["strict-transport-security"]).toBe("max-age=63072000; includeSubDomains");
    const plain = await service.app.inject({ url: "/healthz" });
    expect(plain.headers["strict-transport-security"]).toBeUndefined();
  });

  it("lets no other site read it: there is no CORS, and a preflight gets none", async () => {
    const answer = await service.app.inject({
      method: "OPTIONS",
      url: "/api/v1/horses",
      headers: {
        origin: "https://elsewhere.invalid",
        "access-control-request-method": "POST",
        "access-control-request-headers": "authorization",
      },
    });
    for (const name of Object.keys(answer.headers)) expect(name).not.toMatch(/^access-control/u);
    const read = await service.vet.get("/horses").set("origin", "https://elsewhere.invalid");
    expect(read.headers["access-control-allow-origin"]).toBeUndefined();
  });

  it("with a person's data is kept by no cache", async () => {
    const answer = await service.vet.get("/session");
    expect(answer.headers["cache-control"]).toBe("no-store");
  });
});

describe("cookies", () => {
  it("are out of reach of scripts, other sites and plain http; the long one goes to renewal only", async () => {
    const answer = await https.inject({
      method: "POST",
      url: "/api/v1/session",
      payload: { email: service.vet.email, password: PASSWORD },
    });
    expect(answer.statusCode, answer.body).toBe(200);
    const cookies = answer.cookies as {
      name: string;
      path?: string;
      httpOnly?: boolean;
      secure?: boolean;
      sameSite?: string;
      maxAge?: number;
    }[];
    expect(cookies).toHaveLength(2);
    for (const cookie of cookies)
      expect(cookie).toMatchObject({ httpOnly: true, secure: true, sameSite: "Strict" });
    expect(cookies.find((one) => one.name === "heelward_refresh")?.path).toBe("/api/v1/session");
    expect(cookies.find((one) => one.name === "heelward_access")?.maxAge).toBe(600);
  });
});

describe("a change by cookie", () => {
  const change = (headers: Record<string, string>) =>
    service.app.inject({
      method: "POST",
      url: "/api/v1/yards",
      payload: {},
      cookies: { heelward_access: service.manager.token },
      headers: { "idempotency-key": randomUUID(), host: "practice.invalid", ...headers },
    });

  it.each([
    { origin: "https://elsewhere.invalid" },
    { origin: "null" },
    { origin: "https://practice.invalid.elsewhere.invalid" },
    { "sec-fetch-site": "cross-site" },
    { "sec-fetch-site": "same-site" },
    { origin: "https://practice.invalid", "sec-fetch-site": "cross-site" },
  ])("from another site is refused: %j", async (headers: Record<string, string>) => {
    const answer = await change(headers);
    expect(answer.statusCode).toBe(403);
    expect(answer.json().type).toMatch(/cross-site-request$/);
  });

  it.each([
    { origin: "https://practice.invalid", "sec-fetch-site": "same-origin" },
    { origin: "https://practice.invalid" },
  ])("from our own pages is taken as far as its contents: %j", async (headers) => {
    expect((await change(headers as Record<string, string>)).statusCode).toBe(400);
  });

  it.each(["/session", "/session/refresh", "/password-resets", "/invitations/acceptance"])(
    "cannot be started by another site before anybody is signed in either: %s",
    async (path) => {
      const answer = await service.app.inject({
        method: "POST",
        url: `/api/v1${path}`,
        payload: {},
        headers: { "sec-fetch-site": "cross-site" },
      });
      expect(answer.statusCode).toBe(403);
    },
  );

  it("cannot be sent as a form, which browsers send anywhere without asking", async () => {
    const answer = await service.app.inject({
      method: "POST",
      url: "/api/v1/session",
      payload: "email=a%40b.invalid&password=x",
      headers: { "content-type": "application/x-www-form-urlencoded" },
    });
    expect(answer.statusCode).toBe(415);
  });
});

describe("how often", () => {
  it("an address may sign in is limited, and it is told how long to wait", async () => {
    const attempt = (remoteAddress: string) =>
      https.inject({
        method: "POST",
        url: "/api/v1/session",
        remoteAddress,
        payload: { email: "nobody@test.invalid", password: "not the phrase" },
      });
    const answers = [];
    // oxlint-disable-next-line no-await-in-loop
    for (let turn = 0; turn < 6; turn += 1) answers.push(await attempt("203.0.113.7"));
    expect(answers.map((one) => one.statusCode)).toEqual([401, 401, 401, 401, 401, 429]);
    expect(answers[5]?.json().type).toMatch(/rate-limited$/);
    expect(Number(answers[5]?.headers["retry-after"])).toBeGreaterThan(0);
    expect((await attempt("203.0.113.8")).statusCode).toBe(401);
  });

  it("an account may ask is limited whatever addresses it asks from, and the next minute is a new one", async () => {
    const signedIn = await https.inject({
      method: "POST",
      url: "/api/v1/session",
      remoteAddress: "203.0.113.9",
      payload: { email: service.carer.email, password: PASSWORD },
    });
    const { accessToken } = signedIn.json<{ accessToken: string }>();
    const read = (turn: number) =>
      https.inject({
        url: "/api/v1/session",
        remoteAddress: `198.51.100.${turn % 200}`,
        headers: { authorization: `Bearer ${accessToken}` },
      });
    const statuses = [];
    // oxlint-disable-next-line no-await-in-loop
    for (let turn = 0; turn < 62; turn += 1) statuses.push((await read(turn)).statusCode);
    expect(statuses.slice(0, 60).every((status) => status === 200)).toBe(true);
    expect(statuses.slice(60)).toEqual([429, 429]);
    service.advance(61_000);
    expect((await read(62)).statusCode).toBe(200);
  });
});
