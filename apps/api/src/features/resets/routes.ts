import {
  bookReset,
  cancelBooking,
  changeInterval,
  checkBooking,
  exportResets,
  listResets,
  listSlots,
  logAttempt,
  readReset,
  startResetCycle,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import { exportBoard } from "./board-csv.ts";
import * as resets from "./service.ts";
import { slots } from "./slots.ts";

export const resetRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listResets, (work, { query }) => resets.list(work, query));
  route(app, dependencies, exportResets, (work, { query }) => exportBoard(work, query));
  route(app, dependencies, listSlots, (work, { params, query }) =>
    slots(work, params.resetId, query),
  );
  route(app, dependencies, checkBooking, (work, { params, body }) =>
    resets.check(work, params.resetId, body),
  );
  route(app, dependencies, readReset, (work, { params }) => resets.read(work, params.resetId));
  route(app, dependencies, startResetCycle, (work, { params, body }) =>
    resets.start(work, params.horseId, body),
  );
  route(app, dependencies, changeInterval, (work, { params, body, version }) =>
    resets.change(work, params.resetId, version, body),
  );
  route(app, dependencies, bookReset, (work, { params, body, version }) =>
    resets.book(work, params.resetId, version, body),
  );
  route(app, dependencies, cancelBooking, (work, { params, body, version }) =>
    resets.cancel(work, params.resetId, version, body),
  );
  route(app, dependencies, logAttempt, (work, { params, body }) =>
    resets.log(work, params.resetId, body),
  );
};
