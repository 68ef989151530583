import {
  listFirstAidSheets,
  readFirstAidSheet,
  readSharedFirstAid,
  tickFirstAid,
  writeFirstAidSheet,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { publicRoute, route } from "../../http/route.ts";
import * as firstAid from "./service.ts";

const READS_PER_MINUTE = 60;

export const firstAidRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, writeFirstAidSheet, (work, { params, body }) =>
    firstAid.write(work, params.caseId, body),
  );
  route(app, dependencies, listFirstAidSheets, (work, { params }) =>
    firstAid.ofCase(work, params.caseId),
  );
  route(app, dependencies, readFirstAidSheet, (work, { params }) =>
    firstAid.read(work, params.sheetId),
  );
  route(app, dependencies, tickFirstAid, (work, { params, body }) =>
    firstAid.tick(work, params.sheetId, body),
  );
  publicRoute(
    app,
    dependencies,
    readSharedFirstAid,
    ({ nowMs }, { params }) => firstAid.readShared(dependencies, params.token, nowMs),
    { perMinute: READS_PER_MINUTE },
  );
};
