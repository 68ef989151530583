import { randomUUID } from "node:crypto";
import type { FastifyInstance } from "fastify";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { createSigner } from "../../apps/api/src/records/signer.ts";
import { startOwnApp } from "../support/own-app.ts";
import { PASSWORD, startTestService, type TestService } from "../support/service.ts";

/** The same practice before and after its installation got another key to sign with. */
let service: TestService;
let after: FastifyInstance;
let close: () => Promise<void>;
let caseId = "";
const NEW_SEED = "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb";

beforeAll(async () => {
  service = await startTestService();
  ({ app: after, close } = await startOwnApp(service, { signer: createSigner(NEW_SEED) }));
  const opened = await service.vet.send("post", "/cases", {
    horseId: service.horseId,
    phase: "acute",
  });
  caseId = opened.body.id;
});
afterAll(async () => {
  await close();
  await service.close();
});

const callOn =
  (app: FastifyInstance, token: string) =>
  (method: "GET" | "POST", path: string, payload?: object, version?: number) =>
    app.inject({
      method,
      url: `/api/v1${path}`,
      headers: {
        authorization: `Bearer ${token}`,
        ...(method === "POST" ? { "idempotency-key": randomUUID() } : {}),
        ...(version === undefined ? {} : { "if-match": `"${version}"` }),
      },
      ...(payload === undefined ? {} : { payload }),
    });

/** Orders a drainage of the foot: a document with a signature. */
const signOne = async (call: ReturnType<typeof callOn>): Promise<void> => {
  const asked = await call("POST", `/cases/${caseId}/procedures`, {
    foot: "LF",
    kind: "drainage",
    reason: "Dark shadow, more lame, heat at the toe",
  });
  const signed = await call(
    "POST",
    `/procedures/${asked.json<{ id: string }>().id}/signature`,
    {
      consent: { by: "Odo Owner", text: "Explained and agreed", at: "2026-10-14T07:05:00+01:00" },
      aftercare: ["Bandage dry"],
    },
    1,
  );
  expect(signed.statusCode, signed.body).toBe(200);
};

describe("another key to sign with", () => {
  it("leaves the old documents verifiable: each key is kept when it first signs, not when somebody asks", async () => {
    const before = callOn(service.app, service.vet.token);
    const keys = () => service.query("SELECT id FROM signing_keys ORDER BY created_at");
    expect(await keys()).toEqual([]);
    await signOne(before);
    expect(await keys()).toHaveLength(1);

    const signedIn = await after.inject({
      method: "POST",
      url: "/api/v1/session",
      payload: { email: service.vet.email, password: PASSWORD },
    });
    const now = callOn(after, signedIn.json<{ accessToken: string }>().accessToken);
    await signOne(now);
    expect(await keys()).toHaveLength(2);
    const verified = await now("GET", "/audit/verification");
    expect(verified.json()).toMatchObject({ isWhole: true, signatures: 2, faults: [] });
  });

  it("cannot be slipped in: a key whose name was not made from it counts as none", async () => {
    await service.query("UPDATE signing_keys SET public_key = $1", [
      createSigner("11".repeat(32)).publicKeyHex,
    ]);
    const verified = await service.vet.get("/audit/verification");
    expect(verified.body.isWhole).toBe(false);
  });
});
