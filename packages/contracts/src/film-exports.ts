import { z } from "zod";
import { operation } from "./operation.ts";
import { id } from "./primitives.ts";

const params = z.strictObject({ radiographId: id });
const shared = {
  method: "GET",
  tag: "radiographs",
  access: ["vet", "farrier", "manager"],
  status: 200,
  params,
  response: z.any(),
} as const;

export const readAnnotatedFilm = operation({
  ...shared,
  id: "readAnnotatedFilm",
  path: "/radiographs/:radiographId/annotated.png",
  produces: "image/png",
  summary: "The film with its latest marks, lines, outlines and measures as one picture",
});
export const readFilmReport = operation({
  ...shared,
  id: "readFilmReport",
  path: "/radiographs/:radiographId/report.pdf",
  produces: "application/pdf",
  summary: "One page on a film: picture with lines, measures with ±, cautions, who and when",
});
export const readStructuredReport = operation({
  ...shared,
  id: "readStructuredReport",
  path: "/radiographs/:radiographId/structured-report",
  access: ["vet", "manager"],
  produces: "application/dicom",
  summary: "The latest measures as a DICOM structured report (template 1500)",
});
export const readMeasurementsCsv = operation({
  ...shared,
  id: "readMeasurementsCsv",
  path: "/cases/:caseId/measurements.csv",
  params: z.strictObject({ caseId: id }),
  produces: "text/csv",
  summary: "Every measure of every film of a case, one line each",
});
