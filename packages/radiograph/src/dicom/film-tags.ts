import type { DataSet } from "dicom-parser";
import type { FilmSpacing, FilmTags, PixelPitch } from "../film/film.ts";

const maxTextLength = 256;

const textOf = (dataSet: DataSet, tag: string): string | undefined => {
  const value = dataSet.string(tag)?.trim().slice(0, maxTextLength);
  return value === undefined || value === "" ? undefined : value;
};

const firstItem = (dataSet: DataSet, tag: string): DataSet | undefined =>
  dataSet.elements[tag]?.items?.[0]?.dataSet;

/** Copies the entries that are present; `exactOptionalPropertyTypes` wants absent, not undefined. */
const present = <T extends object>(entries: { [K in keyof T]: T[K] | undefined }): T =>
  Object.fromEntries(Object.entries(entries).filter(([, value]) => value !== undefined)) as T;

const positive = (value: number | undefined): number | undefined =>
  value !== undefined && Number.isFinite(value) && value > 0 ? value : undefined;

const pitchOf = (dataSet: DataSet, tag: string): PixelPitch | undefined => {
  const rowMm = positive(dataSet.floatString(tag, 0));
  const columnMm = positive(dataSet.floatString(tag, 1));
  return rowMm === undefined || columnMm === undefined ? undefined : { rowMm, columnMm };
};

/** Everything the file states about millimetres. source: DICOM PS3.3 10.7 and C.8.11.7. */
export const readSpacing = (dataSet: DataSet): FilmSpacing | undefined => {
  const calibration = textOf(dataSet, "x00280a02");
  const spacing = present<FilmSpacing>({
    stated: pitchOf(dataSet, "x00280030"),
    atDetector: pitchOf(dataSet, "x00181164"),
    magnification: positive(dataSet.floatString("x00181114")),
    calibration: calibration === "GEOMETRY" || calibration === "FIDUCIAL" ? calibration : undefined,
    calibrationNote: textOf(dataSet, "x00280a04"),
    sourceToDetectorMm: positive(dataSet.floatString("x00181110")),
    sourceToObjectMm: positive(dataSet.floatString("x00181111")),
  });
  return Object.keys(spacing).length === 0 ? undefined : spacing;
};

const lateralityOf = (dataSet: DataSet): "L" | "R" | undefined => {
  const value = textOf(dataSet, "x00200062") ?? textOf(dataSet, "x00200060");
  return value === "L" || value === "R" ? value : undefined;
};

/** `YYYYMMDD` (or the old `YYYY.MM.DD`) as `YYYY-MM-DD`. */
const dateOf = (dataSet: DataSet): string | undefined => {
  const raw = ["x00080022", "x00080023", "x0008002a", "x00080020"]
    .map((tag) => textOf(dataSet, tag))
    .find((value) => value !== undefined);
  const match = raw?.replaceAll(".", "").match(/^(\d{4})(0[1-9]|1[0-2])(0[1-9]|[12]\d|3[01])/);
  return match ? `${match[1]}-${match[2]}-${match[3]}` : undefined;
};

const timeOf = (dataSet: DataSet): string | undefined => {
  const raw = textOf(dataSet, "x00080032") ?? textOf(dataSet, "x00080033");
  const match = raw?.replaceAll(":", "").match(/^([01]\d|2[0-3])([0-5]\d)([0-5]\d)?/);
  return match ? `${match[1]}:${match[2]}:${match[3] ?? "00"}` : undefined;
};

/** The descriptive entries of a film. */
export const readTags = (dataSet: DataSet): FilmTags => {
  const view = firstItem(dataSet, "x00540220");
  const burnedIn = textOf(dataSet, "x00280301");
  return present<FilmTags>({
    sopInstanceUid: textOf(dataSet, "x00080018"),
    studyInstanceUid: textOf(dataSet, "x0020000d"),
    seriesInstanceUid: textOf(dataSet, "x0020000e"),
    modality: textOf(dataSet, "x00080060"),
    laterality: lateralityOf(dataSet),
    viewPosition: textOf(dataSet, "x00185101"),
    viewMeaning: view && textOf(view, "x00080104"),
    bodyPart: textOf(dataSet, "x00180015"),
    acquiredOn: dateOf(dataSet),
    acquiredAtTime: timeOf(dataSet),
    patientName: textOf(dataSet, "x00100010"),
    patientId: textOf(dataSet, "x00100020"),
    responsiblePerson: textOf(dataSet, "x00102297"),
    species: textOf(dataSet, "x00102201"),
    manufacturer: textOf(dataSet, "x00080070"),
    burnedInAnnotation: burnedIn === undefined ? undefined : burnedIn === "YES",
  });
};
