import { finishCaseTask, listCaseTasks } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as tasks from "./service.ts";

export const caseTaskRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listCaseTasks, (work, { params }) => tasks.list(work, params.caseId));
  route(app, dependencies, finishCaseTask, (work, { params, body, version }) =>
    tasks.finish(work, params.taskId, version, body),
  );
};
