import { changeSetting, listSettings } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as settings from "./service.ts";

export const settingRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listSettings, (work) => settings.list(work));
  route(app, dependencies, changeSetting, (work, { body }) => settings.change(work, body));
};
