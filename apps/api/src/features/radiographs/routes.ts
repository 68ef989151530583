import {
  addRadiograph,
  adoptRepeatReadingStudy,
  changeRadiograph,
  checkLandmarks,
  confirmSide,
  drawFilmOutline,
  listFilmOutlines,
  listLandmarkSets,
  listRadiographs,
  placeLandmarks,
  placeRepeatReading,
  readAnnotatedFilm,
  readFilmFigures,
  readFilmOriginal,
  readFilmPixels,
  readFilmPreview,
  readFilmReport,
  readMeasurementsCsv,
  readRadiograph,
  readRepeatReadingStudy,
  readSeries,
  readStructuredReport,
  releaseFilm,
  removeFilmOutline,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as exported from "./export/export-film.ts";
import { measurementsCsv } from "./export/measurements-csv.ts";
import { structuredReport } from "./export/structured-report.ts";
import * as files from "./film-files.ts";
import * as outlines from "./outlines.ts";
import { readingFigures } from "./reading-figures.ts";
import { release } from "./release.ts";
import { series } from "./series.ts";
import * as radiographs from "./service.ts";
import * as study from "./study.ts";

export const radiographRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listRadiographs, (work, { params }) =>
    radiographs.list(work, params.caseId),
  );
  route(app, dependencies, readFilmFigures, (work) => readingFigures(work));
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
    files.preview(work, params.radiographId),
  );
  route(app, dependencies, readFilmPixels, (work, { params }) =>
    files.pixels(work, params.radiographId),
  );
  route(app, dependencies, readFilmOriginal, (work, { params, query }) =>
    files.original(work, params.radiographId, query.strip === "true"),
  );
  route(app, dependencies, listLandmarkSets, (work, { params }) =>
    radiographs.listSets(work, params.radiographId),
  );
  route(app, dependencies, placeLandmarks, (work, { params, body }) =>
    radiographs.placeSet(work, params.radiographId, body),
  );
  route(app, dependencies, readSeries, (work, { params, query }) =>
    series(work, params.caseId, query.foot),
  );
  route(app, dependencies, checkLandmarks, (work, { params, body }) =>
    radiographs.checkSet(work, params.radiographId, body.points),
  );
  route(app, dependencies, releaseFilm, (work, { params, body, version }) =>
    release(work, params.radiographId, version, body.words),
  );
  outlineRoutes(app, dependencies);
  studyRoutes(app, dependencies);
  exportRoutes(app, dependencies);
};

const outlineRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, listFilmOutlines, (work, { params }) =>
    outlines.list(work, params.radiographId),
  );
  route(app, dependencies, drawFilmOutline, (work, { params, body }) =>
    outlines.draw(work, params.radiographId, body),
  );
  route(app, dependencies, removeFilmOutline, (work, { params }) =>
    outlines.remove(work, params.outlineId),
  );
};

const studyRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, placeRepeatReading, (work, { params, body }) =>
    study.placeReading(work, params.radiographId, body.points),
  );
  route(app, dependencies, readRepeatReadingStudy, (work) => study.readStudy(work));
  route(app, dependencies, adoptRepeatReadingStudy, (work, { body }) => study.adopt(work, body));
};

const exportRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, readAnnotatedFilm, (work, { params }) =>
    exported.annotated(work, params.radiographId),
  );
  route(app, dependencies, readFilmReport, (work, { params }) =>
    exported.report(work, params.radiographId),
  );
  route(app, dependencies, readStructuredReport, (work, { params }) =>
    structuredReport(work, params.radiographId),
  );
  route(app, dependencies, readMeasurementsCsv, (work, { params }) =>
    measurementsCsv(work, params.caseId),
  );
};
