import { readLearningNote, writeLearningNote } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as learning from "./service.ts";

export const learningRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, writeLearningNote, (work, { params, body }) =>
    learning.write(work, params.caseId, body),
  );
  route(app, dependencies, readLearningNote, (work, { params }) =>
    learning.read(work, params.caseId),
  );
};
