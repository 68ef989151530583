import { acknowledgeNote, listHandoffNotes, writeHandoffNote } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as handoffs from "./service.ts";

export const handoffRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listHandoffNotes, (work, { query }) => handoffs.list(work, query));
  route(app, dependencies, writeHandoffNote, (work, { body }) => handoffs.write(work, body));
  route(app, dependencies, acknowledgeNote, (work, { params, body, version }) =>
    handoffs.acknowledge(work, params.noteId, version, body.answer),
  );
};
