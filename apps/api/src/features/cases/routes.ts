import {
  changeCase,
  changePhase,
  closeCase,
  judgePhoneCall,
  listCases,
  openCase,
  readCase,
  readTimeline,
  takePhoneCall,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as cases from "./service.ts";

export const caseRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listCases, (work, { query }) => cases.list(work, query));
  route(app, dependencies, readCase, (work, { params }) => cases.read(work, params.caseId));
  route(app, dependencies, openCase, (work, { body }) => cases.open(work, body));
  route(app, dependencies, changeCase, (work, { params, body, version }) =>
    cases.change(work, params.caseId, version, body),
  );
  route(app, dependencies, changePhase, (work, { params, body, version }) =>
    cases.movePhase(work, params.caseId, version, body),
  );
  route(app, dependencies, closeCase, (work, { params, body, version }) =>
    cases.close(work, params.caseId, version, body),
  );
  route(app, dependencies, readTimeline, (work, { params, query }) =>
    cases.timeline(work, params.caseId, query),
  );
  route(app, dependencies, judgePhoneCall, async (_work, { body }) =>
    cases.judgeCall(body.answers),
  );
  route(app, dependencies, takePhoneCall, (work, { body }) => cases.takeCall(work, body));
};
