import { readCaseFile } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as casefile from "./service.ts";

export const caseFileRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, readCaseFile, (work, { params }) => casefile.read(work, params.caseId));
};
