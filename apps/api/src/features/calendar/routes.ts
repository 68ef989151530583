import {
  listCalendarFeeds,
  makeCalendarFeed,
  readCalendar,
  revokeCalendarFeed,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { publicRoute, route } from "../../http/route.ts";
import * as calendars from "./service.ts";

const READS_PER_MINUTE = 60;

export const calendarRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listCalendarFeeds, (work) => calendars.list(work));
  route(app, dependencies, makeCalendarFeed, (work, { body }) => calendars.make(work, body.label));
  route(app, dependencies, revokeCalendarFeed, (work, { params }) =>
    calendars.revoke(work, params.feedId),
  );
  publicRoute(
    app,
    dependencies,
    readCalendar,
    ({ nowMs }, { params }) => calendars.readFeed(dependencies, params.token, nowMs),
    { perMinute: READS_PER_MINUTE },
  );
};
