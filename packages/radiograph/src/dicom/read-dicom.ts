import type { DataSet } from "dicom-parser";
import type { Film, FilmSpacing, FilmTags, FilmWindow } from "../film/film.ts";
import {
  asReadResult,
  checkByteCount,
  defaultReadLimits,
  type ReadLimits,
  type ReadResult,
} from "../film/read-result.ts";
import { readSpacing, readTags } from "./film-tags.ts";
import { lookUp, readLookupTable, type LookupTable } from "./lookup-table.ts";
import { readPixelFormat, readPixels, type PixelFormat } from "./pixels.ts";
import { parseStructure } from "./structure.ts";

/** The window as the file states it, in units after rescale. */
interface VoiWindow {
  readonly function: "LINEAR" | "LINEAR_EXACT" | "SIGMOID";
  readonly centre: number;
  readonly width: number;
}

/** A grey picture exactly as stored, with the transforms that lead to the screen. */
export interface DicomImage extends PixelFormat {
  readonly transferSyntax: string;
  /** Stored values, row by row: signed files give `Int16Array`. */
  readonly pixels: Uint16Array | Int16Array;
  readonly rescaleSlope: number;
  readonly rescaleIntercept: number;
  readonly modalityTable?: LookupTable;
  readonly voiWindow?: VoiWindow;
  readonly voiTable?: LookupTable;
  readonly spacing?: FilmSpacing;
  readonly tags: FilmTags;
}

const windowOf = (dataSet: DataSet): VoiWindow | undefined => {
  const centre = dataSet.floatString("x00281050", 0);
  const width = dataSet.floatString("x00281051", 0);
  if (centre === undefined || width === undefined) return undefined;
  if (!Number.isFinite(centre) || !Number.isFinite(width) || width <= 0) return undefined;
  const stated = dataSet.string("x00281056");
  const isKnown = stated === "SIGMOID" || stated === "LINEAR_EXACT";
  return { function: isKnown ? stated : "LINEAR", centre, width };
};

const finiteOr = (value: number | undefined, otherwise: number): number =>
  value !== undefined && Number.isFinite(value) ? value : otherwise;

/**
 * Reads one grey DICOM picture: MONOCHROME1/2, 8–16 bit, signed or not, uncompressed, RLE, JPEG
 * lossless, JPEG-LS, JPEG 2000 or 8-bit JPEG. Never throws: anything else comes back as a refusal
 * with its reason. Runs in this thread; give strangers' files to `readFilmInWorker`.
 */
export const readDicom = (
  bytes: Uint8Array,
  limits: ReadLimits = defaultReadLimits,
): Promise<ReadResult<DicomImage>> =>
  asReadResult(async () => {
    checkByteCount(bytes.length, limits);
    const structure = parseStructure(bytes, limits);
    const { dataSet, transferSyntax } = structure;
    const format = readPixelFormat(structure, limits);
    const modalityTable = readLookupTable(dataSet, bytes, "x00283000", format.isSigned);
    const slope = finiteOr(dataSet.floatString("x00281053"), 1);
    const rescaleIntercept = finiteOr(dataSet.floatString("x00281052"), 0);
    const isVoiSigned = format.isSigned || rescaleIntercept < 0;
    const voiTable = readLookupTable(dataSet, bytes, "x00283010", isVoiSigned);
    const voiWindow = windowOf(dataSet);
    const spacing = readSpacing(dataSet);
    return {
      ...format,
      transferSyntax,
      pixels: await readPixels(structure, format, limits),
      rescaleSlope: slope === 0 ? 1 : slope,
      rescaleIntercept,
      ...(modalityTable && { modalityTable }),
      ...(voiWindow && { voiWindow }),
      ...(voiTable && { voiTable }),
      ...(spacing && { spacing }),
      tags: readTags(dataSet),
    };
  });

/** How film values follow from stored values: `film = inverts ? top − (stored + offset) : stored + offset`. */
interface FilmScale {
  readonly bits: number;
  readonly top: number;
  readonly offset: number;
  readonly inverts: boolean;
  readonly slope: number;
  readonly intercept: number;
}

const filmScaleOf = (image: DicomImage): FilmScale => {
  const isMono1 = image.photometric === "MONOCHROME1";
  const table = image.modalityTable;
  if (table !== undefined) {
    const bits = table.outputBits;
    return { bits, top: 2 ** bits - 1, offset: 0, inverts: isMono1, slope: 1, intercept: 0 };
  }
  return {
    bits: image.bitsStored,
    top: 2 ** image.bitsStored - 1,
    offset: image.isSigned ? 2 ** (image.bitsStored - 1) : 0,
    // A falling rescale turns the polarity round as MONOCHROME1 does; both together cancel.
    inverts: isMono1 !== image.rescaleSlope < 0,
    slope: image.rescaleSlope,
    intercept: image.rescaleIntercept,
  };
};

const filmWindowOf = (voi: VoiWindow, scale: FilmScale): FilmWindow => {
  // LINEAR is the exact ramp half a unit lower and one unit narrower (PS3.3 C.11.2.1.2.1).
  const isLinear = voi.function === "LINEAR";
  const centre = isLinear ? voi.centre - 0.5 : voi.centre;
  const width = isLinear ? Math.max(voi.width - 1, 1e-6) : voi.width;
  const stored = (centre - scale.intercept) / scale.slope + scale.offset;
  return {
    shape: voi.function === "SIGMOID" ? "sigmoid" : "linear",
    centre: scale.inverts ? scale.top - stored : stored,
    width: width / Math.abs(scale.slope),
  };
};

const displayTableOf = (table: LookupTable, scale: FilmScale, isMono1: boolean): Uint16Array => {
  const outputTop = 2 ** table.outputBits - 1;
  return Uint16Array.from({ length: 2 ** scale.bits }, (_, value) => {
    const stored = (scale.inverts ? scale.top - value : value) - scale.offset;
    const share = Math.min(1, lookUp(table, scale.slope * stored + scale.intercept) / outputTop);
    return Math.round(65_535 * (isMono1 ? 1 - share : share));
  });
};

/** Turns stored values into a {@link Film}: no sign, bone bright, window in film units. */
export const filmOfDicom = (image: DicomImage): Film => {
  const scale = filmScaleOf(image);
  const { top, offset, inverts } = scale;
  const table = image.modalityTable;
  const stored = image.pixels;
  const pixels = new Uint16Array(stored.length);
  for (let index = 0; index < stored.length; index += 1) {
    const value =
      table === undefined ? stored[index]! + offset : Math.min(top, lookUp(table, stored[index]!));
    pixels[index] = inverts ? top - value : value;
  }
  const isMono1 = image.photometric === "MONOCHROME1";
  return {
    source: "dicom",
    widthPx: image.columns,
    heightPx: image.rows,
    bitsStored: scale.bits,
    pixels,
    ...(image.spacing && { spacing: image.spacing }),
    ...(image.voiWindow && { window: filmWindowOf(image.voiWindow, scale) }),
    ...(image.voiTable && { displayTable: displayTableOf(image.voiTable, scale, isMono1) }),
    tags: image.tags,
  };
};

/** Reads a DICOM file straight into a {@link Film}. */
export const readDicomFilm = async (
  bytes: Uint8Array,
  limits: ReadLimits = defaultReadLimits,
): Promise<ReadResult<Film>> => {
  const image = await readDicom(bytes, limits);
  return image.ok ? asReadResult(() => filmOfDicom(image.value)) : image;
};
