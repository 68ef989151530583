import { exportCase, exportPractice, readSecondOpinionPack } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import { secondOpinionPack } from "./second-opinion.ts";
import * as exports from "./service.ts";

export const exportRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, exportCase, (work, { params }) =>
    exports.caseArchive(work, params.caseId),
  );
  route(app, dependencies, readSecondOpinionPack, (work, { params, query }) =>
    secondOpinionPack(work, params.caseId, query.withOwner === "true"),
  );
  route(app, dependencies, exportPractice, (work) => exports.practiceArchive(work));
};
