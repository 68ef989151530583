export { type DicomImage, filmOfDicom, readDicom, readDicomFilm } from "./read-dicom.ts";
export { looksLikeDicom } from "./structure.ts";
export { stripIdentity } from "./strip-identity.ts";
export { newUid, writeDicom, type WriteDicomTags } from "./write-dicom.ts";
