import { createHmac, createPrivateKey, generateKeyPairSync, sign } from "node:crypto";
import type { FastifyInstance } from "fastify";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { tokenKeyId } from "../../apps/api/src/http/token-keys.ts";
import { newTokenKeys, startOwnApp } from "../support/own-app.ts";
import { PASSWORD, startTestService, type TestService } from "../support/service.ts";

/**
 * Access tokens, made by hand. source: RFC 8725, sections 2 and 3 (JWT best current practices), and
 * RFC 7515 for how a token is put together.
 */
let service: TestService;
let app: FastifyInstance;
let close: () => Promise<void>;
const keys = newTokenKeys();
const earlier = newTokenKeys();
let good: Record<string, unknown> = {};

beforeAll(async () => {
  service = await startTestService();
  ({ app, close } = await startOwnApp(service, {
    secrets: {
      tokenPrivateKeyPem: keys.privateKey,
      tokenPublicKeyPem: keys.publicKey,
      earlierTokenPublicKeysPem: [earlier.publicKey],
    },
  }));
  const token = await signIn();
  good = JSON.parse(Buffer.from(token.split(".")[1] ?? "", "base64url").toString()) as typeof good;
});
afterAll(async () => {
  await close();
  await service.close();
});

const signIn = async (): Promise<string> => {
  const answer = await app.inject({
    method: "POST",
    url: "/api/v1/session",
    payload: { email: service.vet.email, password: PASSWORD },
  });
  return answer.json<{ accessToken: string }>().accessToken;
};
const part = (value: unknown): string => Buffer.from(JSON.stringify(value)).toString("base64url");
const made = (head: object, claims: object, privateKeyPem: string = keys.privateKey): string => {
  const text = `${part(head)}.${part(claims)}`;
  const signature = sign(null, Buffer.from(text), createPrivateKey(privateKeyPem));
  return `${text}.${signature.toString("base64url")}`;
};
const HEAD = { alg: "EdDSA", typ: "JWT", kid: tokenKeyId(keys.publicKey) };
const statusOf = async (token: string): Promise<number> =>
  (
    await app.inject({
      url: "/api/v1/session",
      headers: { authorization: `Bearer ${token}` },
    })
  ).statusCode;

describe("an access token", () => {
  it("names its key, one algorithm, issuer, audience and end, and nothing about the person but ids", async () => {
    const [head = ""] = (await signIn()).split(".");
    expect(JSON.parse(Buffer.from(head, "base64url").toString())).toEqual(HEAD);
    expect(Object.keys(good).toSorted()).toEqual(
      ["aud", "exp", "iat", "iss", "personId", "practiceId", "sessionId"].toSorted(),
    );
    expect(Number(good["exp"]) - Number(good["iat"])).toBe(600);
  });

  it("made by hand with the right key is taken, so that the refusals below say something", async () => {
    expect(await statusOf(made(HEAD, good))).toBe(200);
  });

  it("is taken when it was signed before the key was exchanged, so that nobody is signed out", async () => {
    const kid = tokenKeyId(earlier.publicKey);
    expect(await statusOf(made({ ...HEAD, kid }, good, earlier.privateKey))).toBe(200);
    expect(await statusOf(made({ ...HEAD, kid }, good, keys.privateKey))).toBe(401);
  });

  it.each([
    ["without signature", () => `${part({ alg: "none", typ: "JWT" })}.${part(good)}.`],
    ["signed by a stranger", () => made(HEAD, good, newTokenKeys().privateKey)],
    [
      "signed by a stranger who names an own key",
      () => {
        const own = newTokenKeys();
        return made({ ...HEAD, kid: tokenKeyId(own.publicKey) }, good, own.privateKey);
      },
    ],
    ["of another issuer", () => made(HEAD, { ...good, iss: "elsewhere" })],
    ["for another audience", () => made(HEAD, { ...good, aud: "elsewhere" })],
    ["that has run out", () => made(HEAD, { ...good, exp: Math.floor(service.now() / 1000) - 1 })],
    ["without an end", () => made(HEAD, { ...good, exp: undefined })],
    ["of a session of somebody else", () => made(HEAD, { ...good, personId: service.manager.id })],
    [
      "for another practice",
      () => made(HEAD, { ...good, practiceId: "0199e000-0000-7000-8000-00000000dead" }),
    ],
    [
      "whose algorithm was swapped for a secret made of the public key",
      () => {
        const text = `${part({ ...HEAD, alg: "HS256" })}.${part(good)}`;
        return `${text}.${createHmac("sha256", keys.publicKey).update(text).digest("base64url")}`;
      },
    ],
    [
      "of another algorithm with a good signature of its own",
      () => {
        const { privateKey } = generateKeyPairSync("rsa", {
          modulusLength: 2048,
          privateKeyEncoding: { type: "pkcs8", format: "pem" },
          publicKeyEncoding: { type: "spki", format: "pem" },
        });
        const text = `${part({ ...HEAD, alg: "RS256" })}.${part(good)}`;
        return `${text}.${sign("sha256", Buffer.from(text), privateKey).toString("base64url")}`;
      },
    ],
  ])("%s is refused", async (_, token) => {
    expect(await statusOf(token())).toBe(401);
  });
});
