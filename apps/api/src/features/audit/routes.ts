import { exportAuditLines, exportAuditTable, listAudit, verifyAudit } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import { exportLines, exportTable } from "./export.ts";
import * as audit from "./service.ts";
import { verify } from "./verify.ts";

export const auditRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listAudit, (work, { query }) => audit.list(work, query));
  route(app, dependencies, exportAuditLines, (work, { query }) => exportLines(work, query));
  route(app, dependencies, exportAuditTable, (work, { query }) => exportTable(work, query));
  route(app, dependencies, verifyAudit, (work) => verify(work));
};
