import {
  listMonitoringTasks,
  readLabTrends,
  readSeasonLookAhead,
  waiveMonitoringTask,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import { trends } from "../laboratory/trends.ts";
import * as monitoring from "./service.ts";

export const monitoringRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listMonitoringTasks, (work, { params }) =>
    monitoring.list(work, params.horseId),
  );
  route(app, dependencies, waiveMonitoringTask, (work, { params, body }) =>
    monitoring.waive(work, params.horseId, body),
  );
  route(app, dependencies, readSeasonLookAhead, (work, { query }) =>
    monitoring.seasonLookAhead(work, query.on),
  );
  route(app, dependencies, readLabTrends, (work, { params }) => trends(work, params.horseId));
};
