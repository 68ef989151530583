import { compareCase } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as comparing from "./service.ts";

export const comparingRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, compareCase, (work, { params }) =>
    comparing.compare(work, params.caseId),
  );
};
