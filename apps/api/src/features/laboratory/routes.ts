import { addLabResult, listLabResults, readLabResult } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as laboratory from "./service.ts";

export const laboratoryRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listLabResults, (work, { params, query }) =>
    laboratory.list(work, params.horseId, query),
  );
  route(app, dependencies, addLabResult, (work, { params, body }) =>
    laboratory.add(work, params.horseId, body),
  );
  route(app, dependencies, readLabResult, (work, { params, body, version }) =>
    laboratory.markRead(work, params.resultId, version, body),
  );
};
