import {
  acceptInvitation,
  changePerson,
  erasePerson,
  invitePerson,
  listInvitations,
  listPeople,
  readPerson,
  withdrawInvitation,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { publicRoute, route } from "../../http/route.ts";
import { erase } from "./erasure.ts";
import * as people from "./service.ts";

const ACCEPTANCES_PER_MINUTE = 20;

export const peopleRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listPeople, (work, { query }) => people.list(work, query));
  route(app, dependencies, readPerson, (work, { params }) => people.read(work, params.personId));
  route(app, dependencies, changePerson, (work, { params, body, version }) =>
    people.change(work, params.personId, version, body),
  );
  route(app, dependencies, erasePerson, (work, { params, body, version }) =>
    erase(work, params.personId, version, body.reason),
  );
  route(app, dependencies, listInvitations, (work) => people.listInvitations(work));
  route(app, dependencies, invitePerson, (work, { body }) =>
    people.invite(work, body, dependencies.mail),
  );
  route(app, dependencies, withdrawInvitation, (work, { params, version }) =>
    people.withdraw(work, params.invitationId, version),
  );
  publicRoute(
    app,
    dependencies,
    acceptInvitation,
    ({ nowMs, request }, { body }) =>
      people.accept(dependencies, body.token, body.password, { nowMs, requestId: request.id }),
    { perMinute: ACCEPTANCES_PER_MINUTE },
  );
};
