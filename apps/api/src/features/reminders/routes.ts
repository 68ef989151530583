import { answerReminder, readReminder, sendReminder } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { publicRoute, route } from "../../http/route.ts";
import * as reminders from "./service.ts";

const LINKS_PER_MINUTE = 30;

export const reminderRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, sendReminder, (work, { params }) =>
    reminders.send(work, params.resetId, dependencies.mail),
  );
  publicRoute(
    app,
    dependencies,
    readReminder,
    ({ nowMs }, { params }) => reminders.read(dependencies, params.token, nowMs),
    { perMinute: LINKS_PER_MINUTE },
  );
  publicRoute(
    app,
    dependencies,
    answerReminder,
    ({ nowMs, request }, { params, body }) =>
      reminders.answer(dependencies, params.token, body, { nowMs, requestId: request.id }),
    { perMinute: LINKS_PER_MINUTE },
  );
};
