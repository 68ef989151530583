import { POSITION_CARD_ITEMS } from "@heelward/domain/geometry";
import { z } from "zod";
import { operation } from "./operation.ts";
import {
  finding,
  foot,
  id,
  instant,
  json,
  personRef,
  prose,
  quantity,
  source,
  version,
} from "./primitives.ts";

const readers = ["vet", "farrier", "manager"] as const;
export const view = z.enum(["lateromedial", "dorsopalmar"]);
export const beamCentring = z.enum([
  "hoof-ground interface",
  "coronary band",
  "coffin joint",
  "not recorded",
]);
export const groundLineOn = z.enum(["ground", "foot surface"]);
const positionItem = z.enum(POSITION_CARD_ITEMS.map((item) => item.key));
const radiographId = z.strictObject({ radiographId: id });

/** How pixels become millimetres; without a scale there are angles and ratios only. */
export const scale = z
  .discriminatedUnion("kind", [
    z.strictObject({ kind: z.literal("none") }),
    z.strictObject({
      kind: z.literal("marker"),
      lengthMm: quantity(5, 300),
      lengthStandardUncertaintyMm: quantity(0, 10).default(0.2),
      planeOffsetMm: quantity(-100, 100).optional(),
      planeOffsetStandardUncertaintyMm: quantity(0, 50).optional(),
      focusToFootMm: quantity(200, 3000)
        .optional()
        .describe("needed as soon as a plane offset is stated"),
      place: z.enum(["dorsal wall", "elsewhere"]).optional(),
    }),
    z.strictObject({
      kind: z.literal("spacing"),
      mmPerPx: quantity(0.005, 2),
      magnification: quantity(1, 1.6).default(1),
      relativeStandardUncertainty: quantity(0, 0.2).default(0.02),
    }),
  ])
  .meta({ id: "Scale" });
export type ScaleView = z.infer<typeof scale>;

export const radiograph = z
  .object({
    id,
    horseId: id,
    caseId: id,
    foot,
    view,
    takenAt: instant,
    ageDays: z.int(),
    ageState: z
      .enum(["fresh", "amber", "red"])
      .describe("by the limits for its case: a foot under treatment outgrows its film sooner"),
    ageText: z.string(),
    fileName: z.string(),
    mediaType: z.string(),
    sha256: z.string(),
    sizeBytes: z.int(),
    widthPx: z.int(),
    heightPx: z.int(),
    bitsStored: z.int(),
    film: json,
    scale,
    wedgeDegrees: z.number(),
    beamCentring,
    shod: z.boolean(),
    groundLineOn,
    positionCard: z.array(z.string()),
    missingPositionItems: z.array(z.string()),
    hasMillimetres: z.boolean(),
    addedBy: personRef,
    sideConfirmedBy: personRef.nullable(),
    sideConfirmedAt: instant.nullable(),
    releasedBy: personRef.nullable(),
    releasedAt: instant.nullable().describe("when the picture was released to the owner"),
    landmarkSetCount: z.int(),
    version,
  })
  .meta({ id: "Radiograph" });
export type RadiographView = z.infer<typeof radiograph>;

export const listRadiographs = operation({
  id: "listRadiographs",
  method: "GET",
  path: "/cases/:caseId/radiographs",
  tag: "radiographs",
  access: readers,
  status: 200,
  summary: "Films of a case, newest first",
  params: z.strictObject({ caseId: id }),
  response: z.object({ items: z.array(radiograph) }),
});
export const readRadiograph = operation({
  id: "readRadiograph",
  method: "GET",
  path: "/radiographs/:radiographId",
  tag: "radiographs",
  access: readers,
  status: 200,
  summary: "One film",
  params: radiographId,
  response: radiograph,
});
const spread = z.object({ mm: z.number(), px: z.number() });
export const readFilmFigures = operation({
  id: "readFilmFigures",
  method: "GET",
  path: "/film-figures",
  tag: "radiographs",
  access: readers,
  status: 200,
  summary: "The figures by which films are measured and compared today",
  response: z.object({
    landmarkSpread: spread.describe("standard deviation of a mark placed by hand"),
    edgeReach: spread.describe("how far from a mark its edge is looked for"),
    wedgeSdDegrees: z.number(),
    sem: z.record(z.string(), z.number()).describe("standard error of one reading, by measure"),
  }),
});
export type FilmFigures = z.infer<typeof readFilmFigures.response>;
export const addRadiograph = operation({
  id: "addRadiograph",
  method: "POST",
  path: "/cases/:caseId/radiographs",
  tag: "radiographs",
  access: ["vet"],
  status: 201,
  upload: true,
  summary: "Upload a film: DICOM, PNG or JPEG",
  params: z.strictObject({ caseId: id }),
  body: z.strictObject({
    foot: foot.optional().describe("left out: taken from the DICOM laterality when it says so"),
    view: view.default("lateromedial"),
    takenAt: instant.optional(),
    wedgeDegrees: z.coerce.number().min(0).max(30).default(0),
    beamCentring: beamCentring.default("not recorded"),
    shod: z.enum(["true", "false"]).default("false"),
    groundLineOn: groundLineOn.default("ground"),
    positionCard: z.string().max(400).default("").describe("item keys, comma separated"),
  }),
  response: radiograph,
});
export const changeRadiograph = operation({
  id: "changeRadiograph",
  method: "PATCH",
  path: "/radiographs/:radiographId",
  tag: "radiographs",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  summary: "Correct side, view, scale or set-up before the side is confirmed",
  params: radiographId,
  body: z
    .strictObject({
      foot,
      view,
      scale,
      wedgeDegrees: quantity(0, 30),
      beamCentring,
      shod: z.boolean(),
      groundLineOn,
      positionCard: z.array(positionItem).max(8),
    })
    .partial(),
  response: radiograph,
});
export const confirmSide = operation({
  id: "confirmSide",
  method: "POST",
  path: "/radiographs/:radiographId/side-confirmation",
  tag: "radiographs",
  access: ["vet", "manager", "farrier"],
  status: 200,
  ifMatch: true,
  summary: "A second person confirms which foot this is",
  params: radiographId,
  body: z.strictObject({ foot }),
  response: radiograph,
});
export const releaseFilm = operation({
  id: "releaseFilm",
  method: "POST",
  path: "/radiographs/:radiographId/release",
  tag: "radiographs",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  summary:
    "Show the film to the owner with plain words; needs the side confirmed by a second person",
  params: radiographId,
  body: z.strictObject({ words: prose(500).describe("what the owner reads beside the picture") }),
  response: radiograph,
});
export const readFilmPixels = operation({
  id: "readFilmPixels",
  method: "GET",
  path: "/radiographs/:radiographId/pixels",
  tag: "radiographs",
  access: readers,
  status: 200,
  produces: "application/octet-stream",
  summary: "The film as 16-bit little-endian grey values, row by row, bone bright",
  params: radiographId,
  response: z.any(),
});
export const readFilmPreview = operation({
  id: "readFilmPreview",
  method: "GET",
  path: "/radiographs/:radiographId/preview",
  tag: "radiographs",
  access: readers,
  status: 200,
  produces: "image/jpeg",
  summary: "The film as a small picture",
  params: radiographId,
  response: z.any(),
});
export const readFilmOriginal = operation({
  id: "readFilmOriginal",
  method: "GET",
  path: "/radiographs/:radiographId/original",
  tag: "radiographs",
  access: ["vet"],
  status: 200,
  produces: "application/octet-stream",
  summary: "The file exactly as it came, or with horse, owner and practice taken out",
  params: radiographId,
  query: z.strictObject({ strip: z.enum(["true", "false"]).default("false") }),
  response: z.any(),
});

export const point = z.strictObject({ x: quantity(-20000, 40000), y: quantity(-20000, 40000) });
export const landmarkPoints = z
  .record(z.string().max(40), point)
  .refine((points) => Object.keys(points).length >= 2 && Object.keys(points).length <= 60, {
    message: "place between 2 and 60 landmarks",
  });
export const measurement = z
  .object({
    key: z.string(),
    label: z.string(),
    value: z.number().nullable(),
    unit: z.enum(["mm", "deg", "ratio", "%"]),
    standardUncertainty: z.number().nullable(),
    interval95: z.object({ low: z.number(), high: z.number() }).nullable(),
    definition: z.string(),
    source: z.object({
      id: z.string(),
      citation: z.string(),
      status: z.string(),
      url: z.string().optional(),
    }),
    reference: z
      .object({
        low: z.number().nullable(),
        high: z.number().nullable(),
        applies: z.string(),
        source,
      })
      .nullable(),
    verdict: z.enum(["inside", "outside", "no reference"]),
    missing: z.string().nullable(),
  })
  .meta({ id: "Measurement" });
export type MeasurementView = z.infer<typeof measurement>;
export const landmarkSet = z
  .object({
    id,
    radiographId: id,
    number: z.int(),
    points: z.record(z.string(), point),
    placedBy: personRef,
    placedAt: instant,
    note: z.string().nullable(),
    measurements: z.array(measurement),
    findings: z.array(finding),
  })
  .meta({ id: "LandmarkSet" });
export type LandmarkSetView = z.infer<typeof landmarkSet>;
export const listLandmarkSets = operation({
  id: "listLandmarkSets",
  method: "GET",
  path: "/radiographs/:radiographId/landmark-sets",
  tag: "radiographs",
  access: readers,
  status: 200,
  summary: "Every set of landmarks placed on a film, newest first",
  params: radiographId,
  response: z.object({ items: z.array(landmarkSet) }),
});
export const placeLandmarks = operation({
  id: "placeLandmarks",
  method: "POST",
  path: "/radiographs/:radiographId/landmark-sets",
  tag: "radiographs",
  access: ["vet"],
  status: 201,
  summary: "Keep a set of landmarks; the service measures from it",
  params: radiographId,
  body: z.strictObject({
    points: landmarkPoints,
    note: prose(500).optional(),
  }),
  response: landmarkSet,
});
export const checkLandmarks = operation({
  id: "checkLandmarks",
  method: "POST",
  path: "/radiographs/:radiographId/landmark-check",
  tag: "radiographs",
  access: ["vet", "farrier"],
  status: 200,
  computes: true,
  summary: "Measure and check a set of landmarks without keeping it",
  params: radiographId,
  body: z.strictObject({ points: landmarkPoints }),
  response: z.object({
    measurements: z.array(measurement),
    findings: z.array(finding),
    mayBeKept: z.boolean(),
  }),
});
export const comparison = z
  .object({
    key: z.string(),
    label: z.string(),
    unit: z.string(),
    fromRadiographId: id,
    toRadiographId: id,
    difference: z.number().nullable(),
    interval95: z.object({ low: z.number(), high: z.number() }).nullable(),
    smallestRealChange: z.number().nullable(),
    verdict: z.enum(["real", "within error", "refused"]),
    text: z.string(),
    findings: z.array(finding),
  })
  .meta({ id: "MeasurementComparison" });
export const readSeries = operation({
  id: "readSeries",
  method: "GET",
  path: "/cases/:caseId/measurement-series",
  tag: "radiographs",
  access: readers,
  status: 200,
  summary: "Each measure from film to film, with what changed for real",
  params: z.strictObject({ caseId: id }),
  query: z.strictObject({ foot: foot.default("LF") }),
  response: z.object({
    films: z.array(
      z.object({
        radiographId: id,
        takenAt: instant,
        foot,
        wedgeDegrees: z.number(),
        measurements: z.array(measurement),
      }),
    ),
    changes: z.array(comparison),
    findings: z.array(finding),
    sides: z
      .object({
        left: z.object({ radiographId: id, takenAt: instant }),
        right: z.object({ radiographId: id, takenAt: instant }),
        differences: z.array(
          comparison.omit({ fromRadiographId: true, toRadiographId: true }).extend({
            leftValue: z.number().nullable(),
            rightValue: z.number().nullable(),
          }),
        ),
      })
      .nullable()
      .describe("right minus left of the newest measured side views of the pair"),
    literature: z.array(z.object({ text: z.string(), caution: z.string(), source })),
  }),
});
export type SeriesView = z.infer<typeof readSeries.response>;
