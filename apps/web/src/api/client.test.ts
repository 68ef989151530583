import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";

vi.mock("virtual:operation-table", () => ({
  OPERATION_TABLE: {
    readHorse: ["GET", "/horses/:horseId", "", "horses"],
    listHorses: ["GET", "/horses", "", "horses"],
    weighHorse: ["POST", "/horses/:horseId/weighings", "k", "horses"],
    signPrescription: ["POST", "/prescriptions/:prescriptionId/signature", "k", "prescriptions"],
  },
}));

const { addressOf, call } = await import("./client.ts");
const { onStepUp } = await import("./step-up.ts");
const { ProblemError } = await import("./problem-error.ts");

interface Seen {
  readonly url: string;
  readonly headers: Record<string, string>;
}

const seen: Seen[] = [];
let answers: Response[] = [];

const json = (body: unknown, status = 200): Response =>
  new Response(JSON.stringify(body), {
    status,
    headers: { "content-type": status < 400 ? "application/json" : "application/problem+json" },
  });
const problem = (slug: string, status: number, more: object = {}): Response =>
  json(
    {
      type: `https://heelward.invalid/problems/${slug}`,
      title: slug,
      detail: slug,
      status,
      next: "",
      ...more,
    },
    status,
  );

beforeEach(() => {
  seen.length = 0;
  vi.stubGlobal("localStorage", { getItem: () => null, setItem: () => undefined });
  vi.stubGlobal("fetch", (url: string, init: { headers?: Record<string, string> }) => {
    seen.push({ url, headers: init.headers ?? {} });
    const next = answers.shift();
    return next === undefined ? Promise.reject(new TypeError("offline")) : Promise.resolve(next);
  });
});
afterEach(() => vi.unstubAllGlobals());

const weighing = {
  params: { horseId: "h1" },
  body: { method: "scale", weightKg: 412, weighedAt: "2026-10-14T07:10:00+01:00" },
} as const;

describe("calling the service", () => {
  it("puts parts of the address where they belong and leaves out what nobody chose", () => {
    expect(addressOf("readHorse", { params: { horseId: "a/b" } })).toBe("/api/v1/horses/a%2Fb");
    expect(addressOf("listHorses", { query: { q: "marl & co", limit: 5 } })).toBe(
      "/api/v1/horses?q=marl+%26+co&limit=5",
    );
  });

  it("renews an expired session once and repeats with the same key, so that nothing is stored twice", async () => {
    answers = [problem("unauthenticated", 401), json({}), json({ id: "w1" })];
    await call("weighHorse", weighing);
    expect(seen.map((one) => one.url)).toEqual([
      "/api/v1/horses/h1/weighings",
      "/api/v1/session/refresh",
      "/api/v1/horses/h1/weighings",
    ]);
    expect(seen[0]?.headers["idempotency-key"]).toMatch(/^[\w-]{8,100}$/);
    expect(seen[2]?.headers["idempotency-key"]).toBe(seen[0]?.headers["idempotency-key"]);
  });

  it("renews only once when two requests expire together, because a token used twice ends the session", async () => {
    answers = [
      problem("unauthenticated", 401),
      problem("unauthenticated", 401),
      json({}),
      json({ id: "w1" }),
      json({ id: "w2" }),
    ];
    await Promise.all([call("weighHorse", weighing), call("weighHorse", weighing)]);
    expect(seen.filter((one) => one.url.endsWith("/refresh"))).toHaveLength(1);
  });

  it("asks for the password before signing and sends the version and the same key again", async () => {
    const asked: string[] = [];
    const forget = onStepUp((reason) => {
      asked.push(reason);
      return Promise.resolve(true);
    });
    answers = [problem("reauthentication-required", 401), json({ id: "p1" })];
    await call("signPrescription", {
      params: { prescriptionId: "p1" },
      ifMatch: 3,
      body: { readBack: { filmOpened: true, targetsConfirmed: true } },
    });
    forget();
    expect(asked).toEqual(["signing"]);
    expect(seen.map((one) => one.headers["if-match"])).toEqual(['"3"', '"3"']);
    expect(seen[1]?.headers["idempotency-key"]).toBe(seen[0]?.headers["idempotency-key"]);
  });

  it("does not sign when the person turns back", async () => {
    const forget = onStepUp(() => Promise.resolve(false));
    answers = [problem("reauthentication-required", 401)];
    await expect(
      call("signPrescription", {
        params: { prescriptionId: "p1" },
        body: { readBack: { filmOpened: true, targetsConfirmed: true } },
      }),
    ).rejects.toMatchObject({ slug: "reauthentication-required" });
    forget();
    expect(seen).toHaveLength(1);
  });

  it("gives up after the second refusal instead of asking for ever", async () => {
    answers = [problem("unauthenticated", 401), json({}), problem("unauthenticated", 401)];
    await expect(call("weighHorse", weighing)).rejects.toMatchObject({ slug: "unauthenticated" });
    expect(seen).toHaveLength(3);
  });

  it("says plainly when there is no connection, and that nothing was saved", async () => {
    answers = [];
    const refusal = await call("weighHorse", weighing).catch((error: unknown) => error);
    expect(refusal).toBeInstanceOf(ProblemError);
    expect(refusal).toMatchObject({ slug: "no-connection" });
    expect(refusal instanceof ProblemError && refusal.body.next).toContain("Nothing was saved");
  });

  it("hands a refusal to the field it names", async () => {
    answers = [
      problem("malformed-request", 400, {
        errors: [{ pointer: "/weightKg", detail: "between 20 and 1500" }],
      }),
    ];
    const refusal = await call("weighHorse", weighing).catch((error: unknown) => error);
    expect(refusal instanceof ProblemError && refusal.fieldDetail("weightKg")).toBe(
      "between 20 and 1500",
    );
  });
});
