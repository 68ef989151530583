export { type DicomImage, filmOfDicom, readDicom, readDicomFilm } from "./read-dicom.ts";
export { looksLikeDicom } from "./structure.ts";
export { stripIdentity } from "./strip-identity.ts";
export { newUid, type PatientTags } from "./dicom-file.ts";
export { writeDicom, type WriteDicomTags } from "./write-dicom.ts";
