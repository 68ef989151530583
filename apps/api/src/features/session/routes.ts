import {
  confirmPassword,
  listSessions,
  readSession,
  refreshSession,
  revokeSession,
  signIn,
  signOut,
} from "@heelward/contracts";
import type { FastifyInstance, FastifyReply, FastifyRequest } from "fastify";
import type { Dependencies } from "../../app.ts";
import { Problem } from "../../http/problem.ts";
import { publicRoute, route } from "../../http/route.ts";
import * as sessions from "./service.ts";
import { ACCESS_MS, clearCookies, setCookies } from "./tokens.ts";

const SIGN_INS_PER_MINUTE = 30;

const origin = (request: FastifyRequest, nowMs: number): sessions.Origin => ({
  nowMs,
  requestId: request.id,
  userAgent: request.headers["user-agent"]?.slice(0, 300) ?? null,
});

export const sessionRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  const hand = (reply: FastifyReply, open: sessions.OpenSession) => {
    const iat = Math.floor(dependencies.now() / 1000);
    const accessToken = app.jwt.sign({ ...open.claims, iat, exp: iat + ACCESS_MS / 1000 });
    setCookies(reply, dependencies.isSecure === true, accessToken, open.refreshToken);
    return { ...open.view, accessToken, refreshToken: open.refreshToken };
  };

  publicRoute(
    app,
    dependencies,
    signIn,
    async ({ nowMs, request, reply }, { body }) =>
      hand(
        reply,
        await sessions.signIn(dependencies, body.email, body.password, origin(request, nowMs)),
      ),
    { perMinute: dependencies.signInsPerMinute ?? SIGN_INS_PER_MINUTE },
  );

  publicRoute(app, dependencies, refreshSession, async ({ nowMs, request, reply }, { body }) => {
    const token = body.refreshToken ?? request.cookies["heelward_refresh"];
    if (token === undefined) throw new Problem("unauthenticated", "There is no session to renew.");
    return hand(reply, await sessions.refresh(dependencies, token, origin(request, nowMs)));
  });

  route(app, dependencies, readSession, (work) => sessions.read(work));
  route(app, dependencies, confirmPassword, async (work, { body }) =>
    hand(work.reply, await sessions.confirm(work, body.password)),
  );
  route(app, dependencies, signOut, async (work) => {
    await sessions.revoke(work, work.actor.sessionId);
    clearCookies(work.reply);
    return null;
  });
  route(app, dependencies, listSessions, (work) => sessions.listOwn(work));
  route(app, dependencies, revokeSession, (work, { params }) =>
    sessions.revoke(work, params.sessionId),
  );
};
