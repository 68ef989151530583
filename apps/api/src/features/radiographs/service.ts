import {
  scale as scaleSchema,
  type addRadiograph,
  type changeRadiograph,
  type checkLandmarks,
  type LandmarkSetView,
  type placeLandmarks,
  type RadiographView,
  type ScaleView,
} from "@heelward/contracts";
import { isAllowed, type Finding } from "@heelward/domain/evidence";
import type { FilmFigures, MeasuredFilm, Measurement } from "@heelward/domain/geometry";
import { readFilmInWorker } from "@heelward/radiograph/decode-worker";
import type { Film } from "@heelward/radiograph/film";
import { renderFilm } from "@heelward/radiograph/raster";
import type { z } from "zod";
import { defined } from "../../http/defined.ts";
import { assertNotFuture } from "../../http/instants.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem, ruleViolated } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { UploadedFile, Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import * as cases from "../cases/service.ts";
import { assertLandmarks, checkMarks, measuredFilm, measureFilm } from "./measure.ts";
import { changeOf } from "../../records/change-of.ts";
import { filmFigures } from "./reading-figures.ts";
import * as store from "./store.ts";
import { viewLandmarkSet, viewMeasurement, viewRadiograph } from "./view.ts";

type NewFilm = z.output<NonNullable<typeof addRadiograph.body>>;
type FilmChange = z.output<NonNullable<typeof changeRadiograph.body>>;
type NewSet = z.output<NonNullable<typeof placeLandmarks.body>>;
type Foot = RadiographView["foot"];

const PREVIEW_PX = 900;

export const findRow = async ({ tx }: Work, id: string): Promise<store.RadiographRow> => {
  const [row] = await store.findRadiographs(tx, { id });
  if (row === undefined) throw notFound("film");
  return row;
};

export const read = async (work: Work, id: string): Promise<RadiographView> => {
  const row = await findRow(work, id);
  return viewRadiograph(row, work.nowMs, (await filmFigures(work)).filmAge);
};

export const list = async (work: Work, caseId: string): Promise<{ items: RadiographView[] }> => {
  await cases.read(work, caseId);
  const rows = await store.findRadiographs(work.tx, { caseId });
  const { filmAge } = await filmFigures(work);
  return { items: rows.map((row) => viewRadiograph(row, work.nowMs, filmAge)) };
};

/** Millimetres as the file itself states them, to be confirmed or replaced by a marker. */
const statedScale = (film: Film, { uncalibratedScaleSd }: FilmFigures): ScaleView => {
  const { stated, atDetector, magnification } = film.spacing ?? {};
  const spacing = stated ?? atDetector;
  if (spacing === undefined || Math.abs(spacing.rowMm - spacing.columnMm) > spacing.rowMm * 0.001)
    return { kind: "none" };
  // Spacing stated in the plane of the foot needs no correction; spacing at the detector needs the stated magnification.
  const factor = stated === undefined ? magnification : 1;
  const parsed =
    factor === undefined
      ? undefined
      : scaleSchema.safeParse({
          kind: "spacing",
          mmPerPx: spacing.rowMm,
          magnification: factor,
          // A factor in the file is the operator's estimate, not a measurement.
          ...(stated === undefined ? { relativeStandardUncertainty: uncalibratedScaleSd } : {}),
        });
  return parsed?.success === true ? parsed.data : { kind: "none" };
};

const footOf = (film: Film, given: Foot | undefined): Foot => {
  const side = film.tags.laterality;
  if (given === undefined)
    throw badField(
      "/foot",
      side === undefined
        ? "say which foot this is; the film does not"
        : `say which foot this is; the film says ${side === "L" ? "left" : "right"} but not front or hind`,
    );
  if (side !== undefined && !given.startsWith(side))
    throw badField(
      "/foot",
      `the film itself says ${side === "L" ? "left" : "right"}; look again before you overrule it`,
    );
  return given;
};

const takenAtOf = (film: Film, given: string | undefined, nowMs: number): Date => {
  if (given !== undefined) {
    assertNotFuture(given, nowMs, "/takenAt");
    return new Date(given);
  }
  const on = film.tags.acquiredOn;
  const at =
    on === undefined ? Number.NaN : Date.parse(`${on}T${film.tags.acquiredAtTime ?? "12:00:00"}Z`);
  if (!Number.isFinite(at))
    throw badField("/takenAt", "say when the film was taken; the file does not");
  return new Date(Math.min(at, nowMs));
};

/** Reads an uploaded film in a thread of its own that may die alone. @throws Problem when it cannot be read. */
export const readUploadedFilm = async (file: UploadedFile): Promise<Film> => {
  const result = await readFilmInWorker(file.bytes);
  if (result.ok) return result.value;
  const slug =
    result.reason === "too-large"
      ? "payload-too-large"
      : result.reason === "unknown-type"
        ? "unsupported-media"
        : "unreadable-film";
  throw new Problem(slug, result.detail, { errors: [{ pointer: "/file", detail: result.detail }] });
};

/** Keeps a film: the original bytes unchanged, a picture to look at and its grey values. */
export const add = async (
  work: Work,
  caseId: string,
  file: UploadedFile,
  film: Film,
  input: NewFilm,
): Promise<RadiographView> => {
  const { tx, actor, nowMs, blobs } = work;
  const found = await cases.readOpen(work, caseId);
  const foot = footOf(film, input.foot);
  const takenAt = takenAtOf(film, input.takenAt, nowMs);
  const original = await blobs.put(actor.practiceId, file.bytes);
  const preview = await blobs.put(
    actor.practiceId,
    await renderFilm(film, { format: "jpeg", maxSidePx: PREVIEW_PX }),
  );
  const pixels = await blobs.put(
    actor.practiceId,
    new Uint8Array(film.pixels.buffer, film.pixels.byteOffset, film.pixels.byteLength),
  );
  const id = newId();
  const { pixels: _, displayTable: __, ...about } = film;
  await tx.radiograph.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId: found.horse.id,
      caseId,
      foot,
      view: input.view,
      takenAt,
      fileName: file.fileName,
      mediaType: film.source === "dicom" ? "application/dicom" : `image/${film.source}`,
      sha256: original.sha256,
      sizeBytes: file.bytes.length,
      blobKey: original.key,
      previewKey: preview.key,
      pixelsKey: pixels.key,
      widthPx: film.widthPx,
      heightPx: film.heightPx,
      bitsStored: film.bitsStored,
      film: JSON.parse(JSON.stringify(about)) as object,
      scale: statedScale(film, await filmFigures(work)),
      wedgeDegrees: input.wedgeDegrees,
      beamCentring: input.beamCentring,
      shod: input.shod === "true",
      groundLineOn: input.groundLineOn,
      positionCard: input.positionCard
        .split(",")
        .map((key) => key.trim())
        .filter((key) => key !== ""),
      addedBy: actor.personId,
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "film.added",
    subjectType: "radiograph",
    subjectId: id,
    horseId: found.horse.id,
    payload: { foot, view: input.view, sha256: original.sha256 },
  });
  await recordEvent(work, {
    horseId: found.horse.id,
    caseId,
    kind: "film",
    title: `Film taken: ${foot}, ${input.view}`,
    at: takenAt.getTime(),
    refType: "radiograph",
    refId: id,
    forOwner: "X-ray pictures were taken.",
  });
  work.announce("queue");
  return read(work, id);
};

export const lock = async (work: Work, id: string, seen: number): Promise<store.RadiographRow> => {
  const version = await store.lockRadiograph(work.tx, id);
  if (version === null) throw notFound("film");
  assertVersion(seen, version);
  const row = await findRow(work, id);
  await cases.readOpen(work, row.caseId);
  return row;
};

/** Corrects what is known of a film. Once measured, side and view stay; a new side needs a new confirmation. */
export const change = async (
  work: Work,
  id: string,
  seen: number,
  input: FilmChange,
): Promise<RadiographView> => {
  const row = await lock(work, id, seen);
  const turns =
    (input.foot !== undefined && input.foot !== row.foot) ||
    (input.view !== undefined && input.view !== row.view);
  if (turns && row.sideConfirmedAt !== null)
    throw new Problem(
      "record-sealed",
      "A second person has confirmed this side; upload the film again if it is wrong.",
    );
  const laterality = (row.film as { tags?: { laterality?: string } }).tags?.laterality;
  if (input.foot !== undefined && laterality !== undefined && !input.foot.startsWith(laterality))
    throw badField("/foot", `the film itself says ${laterality === "L" ? "left" : "right"}`);
  await work.tx.radiograph.updateMany({
    where: { id },
    data: { ...defined(input), version: seen + 1 },
  });
  work.audit({
    event: "film.changed",
    subjectType: "radiograph",
    subjectId: id,
    horseId: row.horseId,
    payload: changeOf(row, input),
  });
  const changed = await findRow(work, id);
  const [latest] = await store.findLandmarkSets(work.tx, { radiographIds: [id], latestOnly: true });
  // Marks stay where they are; what follows from them is worked out again under the new facts.
  if (latest !== undefined)
    await keepSet(work, changed, latest.points, "worked out again after a correction of the film");
  work.announce("queue");
  return read(work, id);
};

/** Left and right are confirmed by somebody other than the person who added the film. */
export const confirmSide = async (
  work: Work,
  id: string,
  seen: number,
  foot: Foot,
): Promise<RadiographView> => {
  const row = await lock(work, id, seen);
  if (row.addedBy.id === work.actor.personId)
    throw new Problem("conflict", "A second person confirms the side: you added this film.");
  const marks = await store.findLandmarkSets(work.tx, { radiographIds: [id] });
  if (marks.some((set) => set.placedBy.id === work.actor.personId))
    throw new Problem("conflict", "A second person confirms the side: you marked this film.");
  if (row.sideConfirmedAt !== null)
    throw new Problem(
      "conflict",
      `${row.sideConfirmedBy?.name ?? "Somebody"} confirmed the side already.`,
    );
  if (foot !== row.foot)
    throw badField(
      "/foot",
      `the film is filed as ${row.foot}; if that is wrong, ask the vet to correct it first`,
    );
  await work.tx.radiograph.updateMany({
    where: { id },
    data: {
      sideConfirmedBy: work.actor.personId,
      sideConfirmedAt: new Date(work.nowMs),
      version: seen + 1,
    },
  });
  work.audit({
    event: "film.side-confirmed",
    subjectType: "radiograph",
    subjectId: id,
    horseId: row.horseId,
    payload: { foot },
  });
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: "film",
    title: `Side confirmed: ${foot}`,
    refType: "radiograph",
    refId: id,
  });
  work.announce("queue");
  return read(work, id);
};

export const animalOf = async ({ tx, actor }: Work, horseId: string) => {
  const horse = await tx.horse.findUniqueOrThrow({
    where: { practiceId_id: { practiceId: actor.practiceId, id: horseId } },
  });
  return horse.type as "horse" | "pony" | "donkey";
};

export type { RadiographRow } from "./store.ts";

/** Every measured film of a horse with its latest marks, oldest first. */
export const measuredFilms = async (
  work: Work,
  horseId: string,
  foot?: Foot,
): Promise<{ row: store.RadiographRow; set: LandmarkSetView; measured: MeasuredFilm }[]> => {
  const rows = await store.findRadiographs(work.tx, {
    horseId,
    ...(foot === undefined ? {} : { foot }),
  });
  const sets = await store.findLandmarkSets(work.tx, {
    radiographIds: rows.map((row) => row.id),
    latestOnly: true,
  });
  return rows
    .flatMap((row) => {
      const found = sets.find((one) => one.radiographId === row.id);
      if (found === undefined) return [];
      const set = viewLandmarkSet(found);
      return [{ row, set, measured: measuredFilm(row, set.measurements) }];
    })
    .toReversed();
};

const measureAndCheck = async (
  work: Work,
  row: store.RadiographRow,
  points: NewSet["points"],
): Promise<{ measurements: readonly Measurement[]; findings: readonly Finding[] }> => {
  const figures = await filmFigures(work);
  const measurements = measureFilm(row, await animalOf(work, row.horseId), points, figures);
  const earlier = (await measuredFilms(work, row.horseId, row.foot))
    .filter((one) => one.row.id !== row.id && one.row.view === row.view)
    .map((one) => one.measured);
  return {
    measurements,
    findings: checkMarks(row, points, measuredFilm(row, measurements), earlier, figures.limits),
  };
};

/** What a set of landmarks would give and raise, before it is kept. */
export const checkSet = async (
  work: Work,
  radiographId: string,
  points: NewSet["points"],
): Promise<z.input<typeof checkLandmarks.response>> => {
  const row = await findRow(work, radiographId);
  assertLandmarks(row.view, points);
  const { measurements, findings } = await measureAndCheck(work, row, points);
  return {
    measurements: measurements.map(viewMeasurement),
    findings: [...findings],
    mayBeKept: isAllowed(findings),
  };
};

const keepSet = async (
  work: Work,
  row: store.RadiographRow,
  points: NewSet["points"],
  note: string | null,
): Promise<LandmarkSetView> => {
  const { tx, actor, nowMs } = work;
  const { measurements, findings } = await measureAndCheck(work, row, points);
  if (!isAllowed(findings))
    throw ruleViolated(
      findings.find((finding) => finding.outcome === "block")?.detail ??
        "These marks cannot be right.",
      findings,
    );
  const id = newId();
  await tx.landmarkSet.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId: row.horseId,
      radiographId: row.id,
      number: await store.nextSetNumber(tx, row.id),
      points,
      placedBy: actor.personId,
      placedAt: new Date(nowMs),
      note,
      measurements: JSON.parse(JSON.stringify(measurements.map(viewMeasurement))) as object[],
      findings: JSON.parse(JSON.stringify(findings)) as object[],
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "film.measured",
    subjectType: "radiograph",
    subjectId: row.id,
    horseId: row.horseId,
    payload: { setId: id, points },
  });
  const [stored] = (await store.findLandmarkSets(tx, { radiographIds: [row.id] })).filter(
    (one) => one.id === id,
  );
  if (stored === undefined) throw new Error("the landmarks just written are not there");
  return viewLandmarkSet(stored);
};

/** Keeps a set of landmarks and measures from it. Marks that contradict the rigid bone are refused. */
export const placeSet = async (
  work: Work,
  radiographId: string,
  input: NewSet,
): Promise<LandmarkSetView> => {
  if ((await store.lockRadiograph(work.tx, radiographId)) === null) throw notFound("film");
  const row = await findRow(work, radiographId);
  await cases.readOpen(work, row.caseId);
  assertLandmarks(row.view, input.points);
  const set = await keepSet(work, row, input.points, input.note ?? null);
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: "film",
    title: `Film measured: ${row.foot}, ${row.view}`,
    refType: "radiograph",
    refId: row.id,
    data: { setNumber: set.number },
  });
  work.announce("queue");
  return set;
};

export const listSets = async (
  work: Work,
  radiographId: string,
): Promise<{ items: LandmarkSetView[] }> => {
  await findRow(work, radiographId);
  return {
    items: (await store.findLandmarkSets(work.tx, { radiographIds: [radiographId] })).map(
      viewLandmarkSet,
    ),
  };
};

/** The newest set of each film, for pages that show many films. */
export const latestSets = async (
  work: Work,
  radiographIds: readonly string[],
): Promise<LandmarkSetView[]> =>
  (await store.findLandmarkSets(work.tx, { radiographIds, latestOnly: true })).map(viewLandmarkSet);
