import { readRouteDay, reportDelay } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import { delayDay } from "./delay.ts";
import { readDay } from "./service.ts";

export const routeDayRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, readRouteDay, (work, { params, query }) =>
    readDay(work, params.date, query, dependencies.roads),
  );
  route(app, dependencies, reportDelay, (work, { params, body }) =>
    delayDay(work, params.date, body, dependencies),
  );
};
