import {
  addPasskey,
  askForNewPassword,
  changePassword,
  changeSignInPolicy,
  chooseNewPassword,
  clearFactors,
  confirmAppCode,
  confirmPassword,
  handOutNewPassword,
  listFactors,
  listSessions,
  readSession,
  refreshSession,
  removeFactor,
  renewRecoveryCodes,
  revokeSession,
  signIn,
  signOut,
  startAppCode,
  startConfirmation,
  startPasskey,
} from "@heelward/contracts";
import type { FastifyInstance, FastifyReply, FastifyRequest } from "fastify";
import type { Dependencies } from "../../app.ts";
import { Problem } from "../../http/problem.ts";
import { publicRoute, route } from "../../http/route.ts";
import { sealerOf } from "../../http/sealed-answer.ts";
import { checkIsCaller, ways } from "./confirm.ts";
import * as factors from "./factors.ts";
import { siteOf } from "./passkeys.ts";
import * as passwords from "./passwords.ts";
import * as sessions from "./service.ts";
import { ACCESS_MS, clearCookies, setCookies } from "./tokens.ts";

const SIGN_INS_PER_MINUTE = 30;
const LINKS_PER_MINUTE = 10;

const origin = (request: FastifyRequest, nowMs: number): sessions.Origin => ({
  nowMs,
  requestId: request.id,
  userAgent: request.headers["user-agent"]?.slice(0, 300) ?? null,
});

export const sessionRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  const { mail } = dependencies;
  const siteFor = (request: FastifyRequest) => siteOf(request, mail?.publicUrl);
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
        await sessions.signIn(dependencies, body, siteFor(request), origin(request, nowMs)),
      ),
    { perMinute: dependencies.signInsPerMinute ?? SIGN_INS_PER_MINUTE },
  );

  publicRoute(app, dependencies, refreshSession, async ({ nowMs, request, reply }, { body }) => {
    const token = body.refreshToken ?? request.cookies["heelward_refresh"];
    if (token === undefined) throw new Problem("unauthenticated", "There is no session to renew.");
    return hand(reply, await sessions.refresh(dependencies, token, origin(request, nowMs)));
  });

  route(app, dependencies, readSession, (work) => sessions.read(work));
  route(app, dependencies, startConfirmation, (work) => ways(work, siteFor(work.reply.request)));
  route(app, dependencies, confirmPassword, async (work, { body }) => {
    await checkIsCaller(work, body, siteFor(work.reply.request), () => sealerOf(dependencies));
    return hand(work.reply, await sessions.confirm(work));
  });
  route(app, dependencies, signOut, async (work) => {
    await sessions.revoke(work, work.actor.sessionId);
    clearCookies(work.reply);
    return null;
  });
  route(app, dependencies, listSessions, (work) => sessions.listOwn(work));
  route(app, dependencies, revokeSession, (work, { params }) =>
    sessions.revoke(work, params.sessionId),
  );

  route(app, dependencies, listFactors, (work) => factors.list(work));
  route(app, dependencies, startAppCode, (work, { body }) =>
    factors.startApp(work, body.name, sealerOf(dependencies)),
  );
  route(app, dependencies, confirmAppCode, (work, { params, body }) =>
    factors.confirmApp(work, params.factorId, body.code, sealerOf(dependencies), mail),
  );
  route(app, dependencies, startPasskey, (work) =>
    factors.startPasskey(work, siteFor(work.reply.request)),
  );
  route(app, dependencies, addPasskey, (work, { body }) =>
    factors.addPasskeyOf(work, body, siteFor(work.reply.request), mail),
  );
  route(app, dependencies, removeFactor, (work, { params }) =>
    factors.remove(work, params.factorId, mail),
  );
  route(app, dependencies, renewRecoveryCodes, (work) => factors.renewCodes(work));
  route(app, dependencies, clearFactors, (work, { params }) =>
    factors.clearOf(work, params.personId, mail),
  );
  route(app, dependencies, changeSignInPolicy, (work, { body }) =>
    factors.changePolicy(work, body.isSecondFactorRequired),
  );

  route(app, dependencies, changePassword, (work, { body }) =>
    passwords.change(work, body.current, body.next, mail),
  );
  route(app, dependencies, handOutNewPassword, (work, { params }) =>
    passwords.handOut(work, params.personId, mail),
  );
  publicRoute(
    app,
    dependencies,
    askForNewPassword,
    ({ nowMs, request }, { body }) =>
      passwords.ask(dependencies, body.email, { nowMs, requestId: request.id }),
    { perMinute: dependencies.signInsPerMinute ?? LINKS_PER_MINUTE },
  );
  publicRoute(
    app,
    dependencies,
    chooseNewPassword,
    ({ nowMs, request }, { body }) =>
      passwords.choose(dependencies, body.token, body.password, { nowMs, requestId: request.id }),
    { perMinute: dependencies.signInsPerMinute ?? LINKS_PER_MINUTE },
  );
};
