import { exportOutcomes, readOutcomes } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as outcomes from "./service.ts";
import { tableOf } from "./tables.ts";

export const outcomeRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, readOutcomes, (work, { query }) => outcomes.read(work, query.days));
  route(app, dependencies, exportOutcomes, async (work, { query }) =>
    tableOf(await outcomes.read(work, query.days), query.table),
  );
};
