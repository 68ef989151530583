import {
  addAbsence,
  addClosure,
  listAbsences,
  listClosures,
  readWorkingWeek,
  removeClosure,
  setWorkingWeek,
  withdrawAbsence,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as rota from "./service.ts";

export const rotaRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, readWorkingWeek, (work, { params }) =>
    rota.readWeek(work, params.personId),
  );
  route(app, dependencies, setWorkingWeek, (work, { params, body, version }) =>
    rota.setWeek(work, params.personId, version, body),
  );
  route(app, dependencies, listAbsences, (work, { query }) => rota.listAbsencesOf(work, query));
  route(app, dependencies, addAbsence, (work, { body }) => rota.addAbsenceOf(work, body));
  route(app, dependencies, withdrawAbsence, (work, { params, version }) =>
    rota.withdrawAbsenceOf(work, params.absenceId, version),
  );
  route(app, dependencies, listClosures, (work) => rota.listClosuresOf(work));
  route(app, dependencies, addClosure, (work, { body }) => rota.addClosureOf(work, body));
  route(app, dependencies, removeClosure, (work, { params }) =>
    rota.removeClosureOf(work, params.date),
  );
};
