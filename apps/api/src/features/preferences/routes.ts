import { changePreferences, readPreferences } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as preferences from "./service.ts";

export const preferenceRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, readPreferences, (work) => preferences.read(work));
  route(app, dependencies, changePreferences, (work, { body }) => preferences.change(work, body));
};
