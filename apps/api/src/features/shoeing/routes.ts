import {
  listShoeingRecords,
  readHoofGrowth,
  recordShoeing,
  settlePostFitFilm,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import { settle } from "./post-fit.ts";
import { growthOf } from "./growth.ts";
import * as shoeing from "./service.ts";

export const shoeingRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listShoeingRecords, (work, { params, query }) =>
    shoeing.list(work, params.horseId, query),
  );
  route(app, dependencies, readHoofGrowth, (work, { params }) => growthOf(work, params.horseId));
  route(app, dependencies, recordShoeing, (work, { params, body }) =>
    shoeing.record(work, params.horseId, body),
  );
  route(app, dependencies, settlePostFitFilm, (work, { params, body }) =>
    settle(work, params.shoeingRecordId, body),
  );
};
