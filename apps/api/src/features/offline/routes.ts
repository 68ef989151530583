import {
  compareWithService,
  listArrivals,
  listRedFlagCalls,
  logRedFlagCall,
  putAside,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as redFlagCalls from "./red-flag-calls.ts";
import * as offline from "./service.ts";

export const offlineRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, compareWithService, (work, { body }) => offline.compare(work, body));
  route(app, dependencies, listArrivals, (work, { query }) => offline.list(work, query));
  route(app, dependencies, putAside, (work, { body }) => offline.keepAside(work, body));
  route(app, dependencies, logRedFlagCall, (work, { body }) => redFlagCalls.log(work, body));
  route(app, dependencies, listRedFlagCalls, (work, { query }) => redFlagCalls.list(work, query));
};
