import { askPractice, consentToPlan, listOwnHorses, readOwnHorse } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as portal from "./service.ts";

export const portalRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listOwnHorses, (work) => portal.list(work));
  route(app, dependencies, readOwnHorse, (work, { params }) => portal.read(work, params.horseId));
  route(app, dependencies, askPractice, (work, { params, body }) =>
    portal.ask(work, params.horseId, body.question),
  );
  route(app, dependencies, consentToPlan, (work, { params, body }) =>
    portal.consent(work, params.prescriptionId, body),
  );
};
