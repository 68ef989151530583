import {
  addIceEntry,
  endFeedingPlan,
  judgeFeedingPlan,
  listSugarTests,
  moveOnLadder,
  planPergolide,
  readFeedingPlan,
  readHealingCurve,
  readIceLog,
  readMovementLadder,
  readWeightCurve,
  signFeedingPlan,
  startMovementLadder,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as curves from "./curves.ts";
import * as feeding from "./feeding.ts";
import * as hormones from "./hormones.ts";
import * as ice from "./ice.ts";
import * as ladder from "./ladder.ts";

export const metabolicRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, planPergolide, (work, { params, body }) =>
    hormones.planPergolide(work, params.horseId, body),
  );
  route(app, dependencies, listSugarTests, (work, { params }) =>
    hormones.sugarTests(work, params.horseId),
  );
  route(app, dependencies, judgeFeedingPlan, (work, { params, body }) =>
    feeding.judge(work, params.horseId, body),
  );
  route(app, dependencies, signFeedingPlan, (work, { params, body }) =>
    feeding.sign(work, params.horseId, body),
  );
  route(app, dependencies, readFeedingPlan, (work, { params }) =>
    feeding.read(work, params.horseId),
  );
  route(app, dependencies, endFeedingPlan, (work, { params, body, version }) =>
    feeding.close(work, params.planId, version, body.reason),
  );
  route(app, dependencies, readWeightCurve, (work, { params, query }) =>
    curves.weightCurve(work, params.horseId, query.from),
  );
  route(app, dependencies, readHealingCurve, (work, { params }) =>
    curves.readHealing(work, params.caseId),
  );
  route(app, dependencies, startMovementLadder, (work, { params, body }) =>
    ladder.start(work, params.horseId, body),
  );
  route(app, dependencies, readMovementLadder, (work, { params }) =>
    ladder.readLive(work, params.horseId),
  );
  route(app, dependencies, moveOnLadder, (work, { params, body, version }) =>
    ladder.move(work, params.ladderId, version, body),
  );
  route(app, dependencies, addIceEntry, (work, { params, body }) =>
    ice.add(work, params.horseId, body),
  );
  route(app, dependencies, readIceLog, (work, { params, query }) =>
    ice.read(work, params.horseId, query.from),
  );
};
