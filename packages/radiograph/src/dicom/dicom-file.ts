import { randomUUID } from "node:crypto";
import { createRequire } from "node:module";

interface Dcmjs {
  readonly data: {
    readonly DicomMetaDictionary: {
      readonly denaturalizeDataset: (dataset: object) => object;
    };
    readonly DicomDict: new (meta: object) => { dict: object; write: () => ArrayBuffer };
  };
}

const dcmjs = createRequire(import.meta.url)("dcmjs") as Dcmjs;

/**
 * A new identifier of the UUID form. source: DICOM PS3.5 §B.2 (root 2.25, at most 39 digits).
 */
export const newUid = (): string => `2.25.${BigInt(`0x${randomUUID().replaceAll("-", "")}`)}`;

/** Whose animal it is, as DICOM names it. Dates are `YYYY-MM-DD`. */
export interface PatientTags {
  readonly horseName: string;
  readonly horseId: string;
  readonly ownerName?: string;
  readonly breed?: string;
  /** Sex as DICOM writes it: `M` stallion, `F` mare, `O` other, with neutered stated apart. */
  readonly sex?: "M" | "F" | "O";
  readonly isNeutered?: boolean;
  readonly bornOn?: string;
}

const explicitLittleEndian = "1.2.840.10008.1.2.1";
/** Our own root is the UUID form, so the implementation is named by a fixed UUID. */
const implementationClassUid = "2.25.254961310893061906127811405513086283197";

export const dicomDate = (date: string): string => date.replaceAll("-", "");
export const dicomTime = (time: string): string => time.replaceAll(":", "");

/** One entry of a code sequence. */
export const code = (value: string, scheme: string, meaning: string): object => ({
  CodeValue: value,
  CodingSchemeDesignator: scheme,
  CodeMeaning: meaning,
});

export const patientModule = (tags: PatientTags): object => ({
  PatientName: [{ Alphabetic: tags.horseName }],
  PatientID: tags.horseId,
  PatientBirthDate: tags.bornOn === undefined ? "" : dicomDate(tags.bornOn),
  PatientSex: tags.sex ?? "",
  PatientSpeciesDescription: "Equine species",
  PatientSpeciesCodeSequence: [code("35354009", "SCT", "Equus caballus")],
  PatientBreedDescription: tags.breed ?? "",
  PatientBreedCodeSequence: [],
  BreedRegistrationSequence: [],
  PatientSexNeutered:
    tags.isNeutered === undefined ? "" : tags.isNeutered ? "ALTERED" : "UNALTERED",
  ResponsiblePerson: [{ Alphabetic: tags.ownerName ?? "" }],
  ...(tags.ownerName === undefined ? {} : { ResponsiblePersonRole: "OWNER" }),
  ResponsibleOrganization: "",
});

/** A decimal string of at most 16 characters (PS3.5 §6.2, DS). */
export const decimal = (value: number): string => {
  for (let digits = 15; digits > 0; digits -= 1) {
    const text = String(Number(value.toPrecision(digits)));
    if (text.length <= 16) return text;
  }
  return "0";
};

/** A data set as a file: explicit little endian, with the file meta group before it. */
export const dicomFile = <
  T extends { readonly SOPClassUID: string; readonly SOPInstanceUID: string },
>(
  dataset: T,
): Uint8Array => {
  const meta = {
    "00020001": { vr: "OB", Value: [new Uint8Array([0, 1]).buffer] },
    "00020002": { vr: "UI", Value: [dataset.SOPClassUID] },
    "00020003": { vr: "UI", Value: [dataset.SOPInstanceUID] },
    "00020010": { vr: "UI", Value: [explicitLittleEndian] },
    "00020012": { vr: "UI", Value: [implementationClassUid] },
    "00020013": { vr: "SH", Value: ["HEELWARD"] },
  };
  const file = new dcmjs.data.DicomDict(meta);
  file.dict = dcmjs.data.DicomMetaDictionary.denaturalizeDataset(dataset);
  return new Uint8Array(file.write());
};
