import { randomBytes } from "node:crypto";
import type { FastifyReply } from "fastify";
import { sha256Hex } from "../../records/canonical.ts";

export const ACCESS_MS = 10 * 60_000;
export const REFRESH_MS = 14 * 24 * 3_600_000;

/** A secret for a link or a cookie: 256 bits. Only its hash is stored. */
export const newSecret = (): { readonly secret: string; readonly hash: string } => {
  const secret = randomBytes(32).toString("base64url");
  return { secret, hash: sha256Hex(secret) };
};

const cookie = (isSecure: boolean, path: string, maxAgeMs: number) =>
  ({
    httpOnly: true,
    sameSite: "strict",
    secure: isSecure,
    path,
    maxAge: Math.floor(maxAgeMs / 1000),
  }) as const;

export const setCookies = (
  reply: FastifyReply,
  isSecure: boolean,
  accessToken: string,
  refreshToken: string,
): void => {
  reply.setCookie("heelward_access", accessToken, cookie(isSecure, "/", ACCESS_MS));
  reply.setCookie(
    "heelward_refresh",
    refreshToken,
    cookie(isSecure, "/api/v1/session", REFRESH_MS),
  );
};

export const clearCookies = (reply: FastifyReply): void => {
  reply.clearCookie("heelward_access", { path: "/" });
  reply.clearCookie("heelward_refresh", { path: "/api/v1/session" });
};
