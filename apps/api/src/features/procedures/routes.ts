import {
  declineProcedure,
  listProcedures,
  recordProcedure,
  requestProcedure,
  signProcedure,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as procedures from "./service.ts";

export const procedureRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listProcedures, (work, { params }) =>
    procedures.list(work, params.caseId),
  );
  route(app, dependencies, requestProcedure, (work, { params, body }) =>
    procedures.request(work, params.caseId, body),
  );
  route(app, dependencies, signProcedure, (work, { params, body, version }) =>
    procedures.sign(work, params.procedureId, version, body),
  );
  route(app, dependencies, recordProcedure, (work, { params, body, version }) =>
    procedures.record(work, params.procedureId, version, body),
  );
  route(app, dependencies, declineProcedure, (work, { params, body, version }) =>
    procedures.decline(work, params.procedureId, version, body.reason),
  );
};
