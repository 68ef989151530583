import { z } from "zod";
import { operation } from "./operation.ts";
import { finding, id, instant, line, personRef } from "./primitives.ts";
import { measurement, point } from "./radiographs.ts";

const kind = z.enum(["lucent line", "trim line", "device outline", "note"]);
const params = z.strictObject({ radiographId: id });

/** A line or outline drawn on a film, in pixels of the film; whole numbers are pixel centres. */
export const filmOutline = z
  .object({
    id,
    radiographId: id,
    kind,
    points: z.array(point),
    label: z.string().nullable(),
    replacesId: id.nullable(),
    landmarkSetId: id.nullable().describe("the marks whose wall line and scale were used"),
    measurements: z.array(measurement),
    areaMm2: z.number().nullable(),
    areaStandardUncertaintyMm2: z.number().nullable(),
    findings: z.array(finding),
    drawnBy: personRef,
    drawnAt: instant,
  })
  .meta({ id: "FilmOutline" });
export type FilmOutline = z.infer<typeof filmOutline>;

export const listFilmOutlines = operation({
  id: "listFilmOutlines",
  method: "GET",
  path: "/radiographs/:radiographId/outlines",
  tag: "radiographs",
  access: ["vet", "farrier", "manager"],
  status: 200,
  summary: "Lines and outlines drawn on a film that stand today",
  params,
  response: z.object({ items: z.array(filmOutline) }),
});
export const drawFilmOutline = operation({
  id: "drawFilmOutline",
  method: "POST",
  path: "/radiographs/:radiographId/outlines",
  tag: "radiographs",
  access: ["vet", "farrier"],
  status: 201,
  summary:
    "Draw a trim line, a device, a note, or (vet) the outline of a dark shadow, which is then measured",
  params,
  body: z.strictObject({
    kind,
    points: z.array(point).min(2).max(400),
    label: line(120).optional(),
    replacesId: id.optional().describe("the drawing that this one takes the place of"),
  }),
  response: filmOutline,
});
export const removeFilmOutline = operation({
  id: "removeFilmOutline",
  method: "POST",
  path: "/film-outlines/:outlineId/removal",
  tag: "radiographs",
  access: ["vet", "farrier"],
  status: 204,
  summary: "Take a drawing off the film; the record keeps it",
  params: z.strictObject({ outlineId: id }),
  response: z.null(),
});
