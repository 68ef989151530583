import { readDicomFilm } from "../dicom/read-dicom.ts";
import { looksLikeDicom } from "../dicom/structure.ts";
import type { Film } from "../film/film.ts";
import { defaultReadLimits, type ReadLimits, type ReadResult } from "../film/read-result.ts";
import { rasterTypeOf, readRaster } from "../raster/read-raster.ts";

/**
 * Reads a film from DICOM, PNG or JPEG bytes, told apart by their content. Never throws. Runs in
 * this thread; files from outside belong in `readFilmInWorker`.
 */
export const readFilm = async (
  bytes: Uint8Array,
  limits: ReadLimits = defaultReadLimits,
): Promise<ReadResult<Film>> => {
  if (looksLikeDicom(bytes)) return readDicomFilm(bytes, limits);
  if (rasterTypeOf(bytes) !== undefined) return readRaster(bytes, limits);
  return {
    ok: false,
    reason: "unknown-type",
    detail: "The file is neither DICOM nor PNG nor JPEG.",
  };
};
