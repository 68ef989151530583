import { addOwnDevice, listOwnDevices, retireOwnDevice } from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as catalogue from "./service.ts";

export const catalogueRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listOwnDevices, (work) => catalogue.list(work));
  route(app, dependencies, addOwnDevice, (work, { body }) => catalogue.add(work, body));
  route(app, dependencies, retireOwnDevice, (work, { params, body, version }) =>
    catalogue.retire(work, params.deviceId, version, body.reason),
  );
};
