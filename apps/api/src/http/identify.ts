import { ROLES, type Role } from "@heelward/domain/access";
import type { FastifyRequest } from "fastify";
import { z } from "zod";
import type { Transaction } from "../database/client.ts";
import type { Actor } from "./actor.ts";
import { Problem } from "./problem.ts";

/** What an access token says: who and which session; never what they may do. */
export const claimsSchema = z.object({
  practiceId: z.uuid(),
  personId: z.uuid(),
  sessionId: z.uuid(),
  /** Seconds since the epoch, as RFC 7519 has it. */
  exp: z.number(),
});
export type Claims = z.infer<typeof claimsSchema>;

/** False when a browser says the request started on another site. */
export const isOwnSite = (request: FastifyRequest): boolean => {
  const site = request.headers["sec-fetch-site"];
  if (site !== undefined && site !== "same-origin" && site !== "none") return false;
  const origin = request.headers.origin;
  return origin === undefined || URL.parse(origin)?.host === request.headers.host;
};

/** Reads and checks the access token from the bearer header or, for our own pages, the cookie. */
export const readClaims = async (request: FastifyRequest, nowMs: number): Promise<Claims> => {
  const byCookie = request.headers.authorization === undefined;
  if (byCookie && request.method !== "GET" && request.method !== "HEAD" && !isOwnSite(request))
    throw new Problem("cross-site-request", "Changes by cookie are taken from our own pages only.");
  try {
    const payload: unknown = byCookie
      ? await request.jwtVerify({ onlyCookie: true })
      : await request.jwtVerify();
    const claims = claimsSchema.parse(payload);
    // Checked here and not by the library, because the clock is the service's own.
    if (claims.exp * 1000 > nowMs) return claims;
  } catch {
    // Whatever is wrong with a token, the answer is the same.
  }
  throw new Problem("unauthenticated", "You are not signed in, or the session has ended.");
};

const isRole = (value: string): value is Role => (ROLES as readonly string[]).includes(value);

/** Who is asking, and whether they still have to add the second factor their practice asks for. */
export interface Identified extends Actor {
  readonly mustEnrol: boolean;
}

/** Who this is now: a person removed, demoted or signed out elsewhere has lost access at once. */
export const identify = async (
  tx: Transaction,
  claims: Pick<Claims, "practiceId" | "personId" | "sessionId">,
  nowMs: number,
): Promise<Identified> => {
  const [row] = await tx.$queryRaw<
    {
      name: string;
      roles: string[];
      registration_number: string | null;
      clinical_lead: boolean;
      authenticated_at: Date;
      must_enrol: boolean;
    }[]
  >`SELECT p.name, p.roles, p.registration_number, p.clinical_lead, s.authenticated_at,
      (pr.second_factor_required AND p.roles && ARRAY['vet', 'manager'] AND NOT EXISTS (
        SELECT 1 FROM second_factors f
        WHERE f.practice_id = p.practice_id AND f.person_id = p.id AND f.kind <> 'recovery code' AND f.confirmed_at IS NOT NULL)) AS must_enrol
    FROM people p JOIN practices pr ON pr.id = p.practice_id
    JOIN sessions s ON s.practice_id = p.practice_id AND s.person_id = p.id
    WHERE p.practice_id = ${claims.practiceId}::uuid AND p.id = ${claims.personId}::uuid AND p.status = 'active'
      AND s.id = ${claims.sessionId}::uuid AND s.revoked_at IS NULL AND s.expires_at > ${new Date(nowMs)}`;
  if (row === undefined)
    throw new Problem("unauthenticated", "The session has ended; sign in again.");
  return {
    personId: claims.personId,
    practiceId: claims.practiceId,
    sessionId: claims.sessionId,
    name: row.name,
    roles: row.roles.filter(isRole),
    registrationNumber: row.registration_number,
    clinicalLead: row.clinical_lead,
    authenticatedAtMs: row.authenticated_at.getTime(),
    mustEnrol: row.must_enrol,
  };
};
