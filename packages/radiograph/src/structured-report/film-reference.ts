import { parseStructure } from "../dicom/structure.ts";
import { defaultReadLimits, type ReadLimits } from "../film/read-result.ts";

/** What a report must repeat of a film so that an archive files both together. */
export interface FilmReference {
  readonly sopClassUid: string;
  readonly sopInstanceUid: string;
  readonly studyInstanceUid: string;
  readonly seriesInstanceUid: string;
  readonly studyId: string;
  readonly accessionNumber: string;
  /** `YYYY-MM-DD` and `HH:MM:SS`, absent when the film does not say. */
  readonly studyOn?: string;
  readonly studyAtTime?: string;
  readonly patientId?: string;
  readonly patientName?: string;
}

const present = (value: string | undefined): string | undefined =>
  value === undefined || value.trim() === "" ? undefined : value.trim();

/**
 * The identifiers of a DICOM film, or undefined when the bytes are no DICOM or lack one of the
 * four identifiers. Never throws.
 */
export const filmReferenceOf = (
  bytes: Uint8Array,
  limits: ReadLimits = defaultReadLimits,
): FilmReference | undefined => {
  let text: (tag: string) => string | undefined;
  try {
    const { dataSet } = parseStructure(bytes, limits);
    text = (tag) => present(dataSet.string(tag));
  } catch {
    return undefined;
  }
  const [sopClassUid, sopInstanceUid, studyInstanceUid, seriesInstanceUid] = [
    text("x00080016"),
    text("x00080018"),
    text("x0020000d"),
    text("x0020000e"),
  ];
  if (!sopClassUid || !sopInstanceUid || !studyInstanceUid || !seriesInstanceUid) return undefined;
  const day = /^(\d{4})(\d{2})(\d{2})$/.exec(text("x00080020") ?? "");
  const clock = /^(\d{2})(\d{2})(\d{2})/.exec(text("x00080030") ?? "");
  const [patientId, patientName] = [text("x00100020"), text("x00100010")];
  return {
    sopClassUid,
    sopInstanceUid,
    studyInstanceUid,
    seriesInstanceUid,
    studyId: text("x00200010") ?? "",
    accessionNumber: text("x00080050") ?? "",
    ...(day === null ? {} : { studyOn: `${day[1]}-${day[2]}-${day[3]}` }),
    ...(clock === null ? {} : { studyAtTime: `${clock[1]}:${clock[2]}:${clock[3]}` }),
    ...(patientId === undefined ? {} : { patientId }),
    ...(patientName === undefined ? {} : { patientName }),
  };
};
