import {
  endLimbWatch,
  listLimbWatches,
  listOpenLimbWatches,
  startLimbWatch,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as watches from "./service.ts";

export const watchRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listLimbWatches, (work, { params }) =>
    watches.list(work, params.horseId),
  );
  route(app, dependencies, listOpenLimbWatches, (work, { query }) =>
    watches.listOpen(work, query.yardId),
  );
  route(app, dependencies, startLimbWatch, (work, { params, body }) =>
    watches.start(work, params.horseId, body),
  );
  route(app, dependencies, endLimbWatch, (work, { params, body, version }) =>
    watches.end(work, params.watchId, version, body.reason),
  );
};
