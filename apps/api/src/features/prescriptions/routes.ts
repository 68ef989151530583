import {
  answerPrescription,
  changePrescription,
  draftPrescription,
  listPrescriptions,
  proposeTrim,
  readPlanPage,
  readPlannerFigures,
  readPrescription,
  recordPlanConsent,
  replyToPrescription,
  setPlanCost,
  signPrescription,
  withdrawPrescription,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as figures from "./figures.ts";
import { planPage } from "./print/plan-page.ts";
import { propose } from "./propose.ts";
import * as prescriptions from "./service.ts";

export const prescriptionRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, proposeTrim, (work, { params, body }) =>
    propose(work, params.radiographId, body),
  );
  route(app, dependencies, readPlannerFigures, (work) => figures.read(work));
  route(app, dependencies, readPlanPage, (work, { params, query }) =>
    planPage(work, params.prescriptionId, {
      paper: query.paper,
      publicUrl:
        dependencies.mail?.publicUrl ??
        `${work.reply.request.protocol}://${work.reply.request.host}`,
    }),
  );
  route(app, dependencies, listPrescriptions, (work, { params }) =>
    prescriptions.list(work, params.caseId),
  );
  route(app, dependencies, readPrescription, (work, { params }) =>
    prescriptions.read(work, params.prescriptionId),
  );
  route(app, dependencies, draftPrescription, (work, { params, body }) =>
    prescriptions.draft(work, params.caseId, body),
  );
  route(app, dependencies, changePrescription, (work, { params, body, version }) =>
    prescriptions.change(work, params.prescriptionId, version, body),
  );
  route(app, dependencies, setPlanCost, (work, { params, body, version }) =>
    prescriptions.setCost(work, params.prescriptionId, version, body),
  );
  route(app, dependencies, recordPlanConsent, (work, { params, body, version }) =>
    prescriptions.recordConsent(work, params.prescriptionId, version, body),
  );
  route(app, dependencies, signPrescription, (work, { params, body, version }) =>
    prescriptions.sign(work, params.prescriptionId, version, body),
  );
  route(app, dependencies, replyToPrescription, (work, { params, body, version }) =>
    prescriptions.reply(work, params.prescriptionId, version, body),
  );
  route(app, dependencies, answerPrescription, (work, { params, body, version }) =>
    prescriptions.answer(work, params.prescriptionId, version, body.text),
  );
  route(app, dependencies, withdrawPrescription, (work, { params, body, version }) =>
    prescriptions.withdraw(work, params.prescriptionId, version, body.reason),
  );
};
