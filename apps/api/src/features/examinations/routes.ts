import { checkHorse, examineHorse, listExaminations } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as examinations from "./service.ts";

export const examinationRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listExaminations, (work, { params, query }) =>
    examinations.list(work, params.horseId, query),
  );
  route(app, dependencies, examineHorse, (work, { params, body }) =>
    examinations.examine(work, params.caseId, body),
  );
  route(app, dependencies, checkHorse, (work, { params, body }) =>
    examinations.check(work, params.horseId, body),
  );
};
