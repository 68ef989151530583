import { createHash } from "node:crypto";
import type { FastifyRequest } from "fastify";
import type { Secrets } from "../database/secrets.ts";

/** The key pair that signs access tokens, and the public halves of earlier ones. */
export type TokenSecrets = Pick<Secrets, "tokenPrivateKeyPem" | "tokenPublicKeyPem"> &
  Partial<Pick<Secrets, "earlierTokenPublicKeysPem">>;

/** Name of a key in the head of a token (`kid`, RFC 7515), made from the key. */
export const tokenKeyId = (publicPem: string): string =>
  createHash("sha256").update(publicPem.trim()).digest("hex").slice(0, 16);

const kidOf = (token: unknown): unknown =>
  typeof token === "object" && token !== null && "header" in token
    ? (token.header as { readonly kid?: unknown } | null)?.kid
    : undefined;

/**
 * Keys to sign and check access tokens with. A token names its key; one signed before a rotation is
 * checked with the key of then until it runs out, so that nobody is signed out by a rotation.
 */
export const tokenKeys = (secrets: TokenSecrets) => {
  const current = secrets.tokenPublicKeyPem;
  const byId = new Map(
    [current, ...(secrets.earlierTokenPublicKeysPem ?? [])].map((pem) => [tokenKeyId(pem), pem]),
  );
  return {
    currentId: tokenKeyId(current),
    privatePem: secrets.tokenPrivateKeyPem,
    /** An unknown name gets the current key, under which the signature does not hold. */
    publicFor: async (_request: FastifyRequest, token: unknown): Promise<string> =>
      byId.get(String(kidOf(token))) ?? current,
  };
};
