import {
  adoptPlan,
  applyCover,
  cancelPlan,
  listPlans,
  previewCover,
  readCompliance,
  readDriveCalibration,
  readPlan,
  startPlan,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import { calibration } from "./calibration.ts";
import { compliance } from "./compliance.ts";
import * as cover from "./cover.ts";
import * as plans from "./service.ts";

export const planRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, startPlan, (work, { body }) => plans.start(work, body));
  route(app, dependencies, listPlans, (work) => plans.list(work));
  route(app, dependencies, readPlan, (work, { params }) => plans.read(work, params.planId));
  route(app, dependencies, cancelPlan, (work, { params }) => plans.cancel(work, params.planId));
  route(app, dependencies, adoptPlan, (work, { params, body }) =>
    plans.adopt(work, params.planId, body),
  );
  route(app, dependencies, previewCover, (work, { body }) => cover.preview(work, body));
  route(app, dependencies, applyCover, (work, { body }) => cover.apply(work, body));
  route(app, dependencies, readCompliance, (work) => compliance(work));
  route(app, dependencies, readDriveCalibration, (work) => calibration(work));
};
