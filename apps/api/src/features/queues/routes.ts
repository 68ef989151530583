import { listDrafts, readMorningBoard, readQueue } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import { readDrafts } from "./drafts.ts";
import { readBoard } from "./morning.ts";
import * as queues from "./service.ts";

export const queueRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, readQueue, (work, { query }) => queues.read(work, query.role));
  route(app, dependencies, readMorningBoard, (work) => readBoard(work));
  route(app, dependencies, listDrafts, (work) => readDrafts(work));
};
