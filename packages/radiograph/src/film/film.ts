/** What kind of file a film came from. */
export type FilmSource = "dicom" | "png" | "jpeg" | "phantom";

/** Distance between the centres of neighbouring pixels, in millimetres. */
export interface PixelPitch {
  /** Down the film: from one row to the next. */
  readonly rowMm: number;
  /** Across the film: from one column to the next. */
  readonly columnMm: number;
}

/**
 * Every statement the file makes about millimetres. Nothing here is corrected: which of them
 * may be used, and how uncertain it is, is for the measuring rules to judge.
 */
export interface FilmSpacing {
  /** Stated distance in the plane of the foot or of the detector, see `calibration` (0028,0030). */
  readonly stated?: PixelPitch;
  /** Distance on the face of the detector, before any magnification is taken out (0018,1164). */
  readonly atDetector?: PixelPitch;
  /** Source–detector distance over source–object distance (0018,1114). */
  readonly magnification?: number;
  /** GEOMETRY: corrected for assumed depth; FIDUCIAL: measured from an object of known size (0028,0A02). */
  readonly calibration?: "GEOMETRY" | "FIDUCIAL";
  readonly calibrationNote?: string;
  readonly sourceToDetectorMm?: number;
  readonly sourceToObjectMm?: number;
}

/**
 * A brightness ramp in units of {@link Film.pixels}: `centre` is shown half bright, the ramp is
 * `width` wide. `linear` clips at both ends, `sigmoid` bends as in DICOM PS3.3 C.11.2.1.3.1.
 */
export interface FilmWindow {
  readonly shape: "linear" | "sigmoid";
  readonly centre: number;
  readonly width: number;
}

/** Descriptive entries of the file; each is absent when the file does not say. */
export interface FilmTags {
  readonly sopInstanceUid?: string;
  readonly studyInstanceUid?: string;
  readonly seriesInstanceUid?: string;
  readonly modality?: string;
  /** Left or right limb, as the file states it. */
  readonly laterality?: "L" | "R";
  /** Projection as written, e.g. `LM`, `LATERAL`, `DP`. */
  readonly viewPosition?: string;
  /** Coded view in words, e.g. `lateral`. */
  readonly viewMeaning?: string;
  readonly bodyPart?: string;
  /** Local date on the machine that took the film (`YYYY-MM-DD`). */
  readonly acquiredOn?: string;
  /** Local time on that machine (`HH:MM:SS`). */
  readonly acquiredAtTime?: string;
  readonly patientName?: string;
  readonly patientId?: string;
  readonly responsiblePerson?: string;
  readonly species?: string;
  readonly manufacturer?: string;
  readonly burnedInAnnotation?: boolean;
}

/**
 * One radiograph, whatever file it came from. `pixels` run row by row from the top left, and a
 * higher value is always shown brighter (bone is bright), whatever the polarity of the file.
 */
export interface Film {
  readonly source: FilmSource;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Pixel values lie in `0 … 2^bitsStored − 1`. */
  readonly bitsStored: number;
  readonly pixels: Uint16Array;
  readonly spacing?: FilmSpacing;
  /** The window that the file asks for. */
  readonly window?: FilmWindow;
  /** Display value 0–65535 for each pixel value, where the file brings a lookup table instead of a window. */
  readonly displayTable?: Uint16Array;
  readonly tags: FilmTags;
}
