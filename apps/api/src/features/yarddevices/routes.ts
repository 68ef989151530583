import {
  listYardDevices,
  readThisDevice,
  removePin,
  revokeYardDevice,
  setPin,
  switchPerson,
  trustDevice,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { publicRoute, route } from "../../http/route.ts";
import { ACCESS_MS, setCookies } from "../session/tokens.ts";
import * as devices from "./service.ts";

const COOKIE = "heelward_device";
const COOKIE_S = 180 * 24 * 3600;
const SWITCHES_PER_MINUTE = 30;

export const yardDeviceRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, trustDevice, async (work, { body }) => {
    const { view, secret } = await devices.trust(work, body);
    work.reply.setCookie(COOKIE, secret, {
      httpOnly: true,
      sameSite: "strict",
      secure: dependencies.isSecure === true,
      path: "/api/v1/yard-device",
      maxAge: COOKIE_S,
    });
    return view;
  });
  route(app, dependencies, listYardDevices, (work) => devices.list(work));
  route(app, dependencies, revokeYardDevice, (work, { params, version }) =>
    devices.revoke(work, params.deviceId, version),
  );
  route(app, dependencies, setPin, (work, { body }) => devices.setPin(work, body.pin));
  route(app, dependencies, removePin, (work) => devices.removePin(work));

  publicRoute(app, dependencies, readThisDevice, ({ nowMs, request }) =>
    devices.readThis(dependencies, request.cookies[COOKIE], nowMs),
  );
  publicRoute(
    app,
    dependencies,
    switchPerson,
    async ({ nowMs, request, reply }, { body }) => {
      const handed = await devices.handOver(
        dependencies,
        request.cookies[COOKIE],
        { personId: body.personId, pin: body.pin },
        {
          nowMs,
          requestId: request.id,
          userAgent: request.headers["user-agent"]?.slice(0, 300) ?? null,
        },
      );
      const iat = Math.floor(nowMs / 1000);
      const exp = Math.min(iat + ACCESS_MS / 1000, Math.floor(handed.endsAtMs / 1000));
      const accessToken = app.jwt.sign({ ...handed.claims, iat, exp });
      setCookies(reply, dependencies.isSecure === true, accessToken, handed.refreshToken);
      return handed.view;
    },
    { perMinute: dependencies.signInsPerMinute ?? SWITCHES_PER_MINUTE },
  );
};
