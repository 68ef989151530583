import { addYard, changeYard, listYards, readYard, setYardPeople } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as yards from "./service.ts";

export const yardRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listYards, (work, { query }) => yards.list(work, query));
  route(app, dependencies, readYard, (work, { params }) => yards.read(work, params.yardId));
  route(app, dependencies, addYard, (work, { body }) => yards.add(work, body));
  route(app, dependencies, changeYard, (work, { params, body, version }) =>
    yards.change(work, params.yardId, version, body),
  );
  route(app, dependencies, setYardPeople, (work, { params, body, version }) =>
    yards.setPeople(work, params.yardId, version, body.personIds),
  );
};
