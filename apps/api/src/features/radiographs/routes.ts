import {
  addRadiograph,
  changeRadiograph,
  confirmSide,
  listLandmarkSets,
  listRadiographs,
  placeLandmarks,
  readFilmOriginal,
  readFilmPixels,
  readFilmPreview,
  readRadiograph,
  readSeries,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as radiographs from "./service.ts";

export const radiographRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listRadiographs, (work, { params }) =>
    radiographs.list(work, params.caseId),
  );
  route(app, dependencies, readRadiograph, (work, { params }) =>
    radiographs.read(work, params.radiographId),
  );
  route(
    app,
    dependencies,
    addRadiograph,
    (work, { params, body, file, prepared }) =>
      radiographs.add(work, params.caseId, file, prepared, body),
    radiographs.readUploadedFilm,
  );
  route(app, dependencies, changeRadiograph, (work, { params, body, version }) =>
    radiographs.change(work, params.radiographId, version, body),
  );
  route(app, dependencies, confirmSide, (work, { params, body, version }) =>
    radiographs.confirmSide(work, params.radiographId, version, body.foot),
  );
  route(app, dependencies, readFilmPreview, (work, { params }) =>
    radiographs.preview(work, params.radiographId),
  );
  route(app, dependencies, readFilmPixels, (work, { params }) =>
    radiographs.pixels(work, params.radiographId),
  );
  route(app, dependencies, readFilmOriginal, (work, { params }) =>
    radiographs.original(work, params.radiographId),
  );
  route(app, dependencies, listLandmarkSets, (work, { params }) =>
    radiographs.listSets(work, params.radiographId),
  );
  route(app, dependencies, placeLandmarks, (work, { params, body }) =>
    radiographs.placeSet(work, params.radiographId, body),
  );
  route(app, dependencies, readSeries, (work, { params, query }) =>
    radiographs.series(work, params.caseId, query.foot),
  );
};
