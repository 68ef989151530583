import { exportCase, exportPractice } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as exports from "./service.ts";

export const exportRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, exportCase, (work, { params }) =>
    exports.caseArchive(work, params.caseId),
  );
  route(app, dependencies, exportPractice, (work) => exports.practiceArchive(work));
};
