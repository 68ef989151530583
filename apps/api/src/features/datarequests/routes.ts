import { answerDataRequest, askAboutData, listDataRequests } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as dataRequests from "./service.ts";

export const dataRequestRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, askAboutData, (work, { body }) => dataRequests.ask(work, body));
  route(app, dependencies, listDataRequests, (work) => dataRequests.list(work));
  route(app, dependencies, answerDataRequest, (work, { params, body, version }) =>
    dataRequests.answer(work, params.dataRequestId, version, body.answer),
  );
};
