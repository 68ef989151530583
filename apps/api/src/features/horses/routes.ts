import {
  addHorse,
  changeHorse,
  listHorses,
  listWeighings,
  readHorse,
  recordPassport,
  setHorseOwners,
  weighHorse,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as horses from "./service.ts";

export const horseRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listHorses, (work, { query }) => horses.list(work, query));
  route(app, dependencies, readHorse, (work, { params }) => horses.read(work, params.horseId));
  route(app, dependencies, addHorse, (work, { body }) => horses.add(work, body));
  route(app, dependencies, changeHorse, (work, { params, body, version }) =>
    horses.change(work, params.horseId, version, body),
  );
  route(app, dependencies, setHorseOwners, (work, { params, body, version }) =>
    horses.setOwners(work, params.horseId, version, body.personIds),
  );
  route(app, dependencies, recordPassport, (work, { params, body, version }) =>
    horses.recordPassport(work, params.horseId, version, body),
  );
  route(app, dependencies, listWeighings, (work, { params, query }) =>
    horses.listWeighings(work, params.horseId, query),
  );
  route(app, dependencies, weighHorse, (work, { params, body }) =>
    horses.weigh(work, params.horseId, body),
  );
};
