import { search } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import { find } from "./service.ts";

export const searchRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, search, (work, { query }) => find(work, query.q));
};
