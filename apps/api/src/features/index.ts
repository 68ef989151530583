import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../app.ts";
import { caseFileRoutes } from "./casefile/routes.ts";
import { caseRoutes } from "./cases/routes.ts";
import { documentRoutes } from "./documents/routes.ts";
import { examinationRoutes } from "./examinations/routes.ts";
import { firstAidRoutes } from "./firstaid/routes.ts";
import { handoffRoutes } from "./handoffs/routes.ts";
import { horseRoutes } from "./horses/routes.ts";
import { peopleRoutes } from "./people/routes.ts";
import { prescriptionRoutes } from "./prescriptions/routes.ts";
import { queueRoutes } from "./queues/routes.ts";
import { radiographRoutes } from "./radiographs/routes.ts";
import { resetRoutes } from "./resets/routes.ts";
import { searchRoutes } from "./search/routes.ts";
import { sessionRoutes } from "./session/routes.ts";
import { shoeingRoutes } from "./shoeing/routes.ts";
import { yardRoutes } from "./yards/routes.ts";

/** Every feature, by the trade's word for it. */
export const registerFeatures = (app: FastifyInstance, dependencies: Dependencies): void => {
  sessionRoutes(app, dependencies);
  peopleRoutes(app, dependencies);
  yardRoutes(app, dependencies);
  horseRoutes(app, dependencies);
  caseRoutes(app, dependencies);
  handoffRoutes(app, dependencies);
  firstAidRoutes(app, dependencies);
  examinationRoutes(app, dependencies);
  documentRoutes(app, dependencies);
  radiographRoutes(app, dependencies);
  prescriptionRoutes(app, dependencies);
  shoeingRoutes(app, dependencies);
  resetRoutes(app, dependencies);
  queueRoutes(app, dependencies);
  caseFileRoutes(app, dependencies);
  searchRoutes(app, dependencies);
};
