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
import { Problem } from "../../http/problem.ts";
import * as firstAid from "./service.ts";
import { goneSheetPage, SHARED_PAGE_POLICY, sharedSheetPage } from "./shared-page.ts";

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

/** The page behind a sheet's link: outside the API's addresses and outside the dashboard, for any phone. */
export const installSharedSheetPage = (app: FastifyInstance, dependencies: Dependencies): void => {
  app.get<{ Params: { token: string } }>(
    "/first-aid/:token",
    { config: { rateLimit: { max: READS_PER_MINUTE, timeWindow: 60_000 } } },
    async (request, reply) => {
      void reply
        .type("text/html; charset=utf-8")
        .header("content-security-policy", SHARED_PAGE_POLICY)
        .header("cache-control", "no-store")
        .header("referrer-policy", "no-referrer");
      try {
        return sharedSheetPage(
          await firstAid.readShared(dependencies, request.params.token, dependencies.now()),
        );
      } catch (error) {
        if (!(error instanceof Problem) || error.slug !== "not-found") throw error;
        return reply.code(404).send(goneSheetPage());
      }
    },
  );
};
