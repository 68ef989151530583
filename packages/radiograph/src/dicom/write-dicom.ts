import { randomUUID } from "node:crypto";
import { createRequire } from "node:module";
import type { Film } from "../film/film.ts";

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

/** What the film shows and whose it is; dates are `YYYY-MM-DD`, times `HH:MM:SS`. */
export interface WriteDicomTags {
  readonly horseName: string;
  readonly horseId: string;
  readonly ownerName?: string;
  readonly breed?: string;
  /** Sex as DICOM writes it: `M` stallion, `F` mare, `O` other, with neutered stated apart. */
  readonly sex?: "M" | "F" | "O";
  readonly isNeutered?: boolean;
  readonly bornOn?: string;
  readonly takenOn: string;
  readonly takenAtTime: string;
  readonly side: "L" | "R";
  readonly view: "lateromedial" | "dorsopalmar";
  readonly isHindLimb?: boolean;
  readonly institution?: string;
  readonly sopInstanceUid?: string;
  readonly studyInstanceUid?: string;
  readonly seriesInstanceUid?: string;
}

const digitalXRayForPresentation = "1.2.840.10008.5.1.4.1.1.1.1";
const explicitLittleEndian = "1.2.840.10008.1.2.1";
/** Our own root is the UUID form, so the implementation is named by a fixed UUID. */
const implementationClassUid = "2.25.254961310893061906127811405513086283197";

const dicomDate = (date: string): string => date.replaceAll("-", "");
const dicomTime = (time: string): string => time.replaceAll(":", "");

const code = (value: string, scheme: string, meaning: string): object => ({
  CodeValue: value,
  CodingSchemeDesignator: scheme,
  CodeMeaning: meaning,
});

/** source: DICOM PS3.16 CID 7484, views for animals. */
const viewCode = ({ view, isHindLimb }: WriteDicomTags): object => {
  if (view === "lateromedial") return code("399352003", "SCT", "Lateromedial");
  return isHindLimb === true
    ? code("399335002", "SCT", "Dorsoplantar")
    : code("441505008", "SCT", "Dorsopalmar");
};

/** source: DICOM PS3.16 CID 7483, regions of animals. */
const regionCode = ({ isHindLimb }: WriteDicomTags): object =>
  isHindLimb === true ? code("416804009", "SCT", "Hindfoot") : code("419176008", "SCT", "Forefoot");

const patientModule = (tags: WriteDicomTags): object => ({
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

const spacingModule = (film: Film): object => {
  const { atDetector, stated, magnification, calibration, calibrationNote } = film.spacing ?? {};
  return {
    ImagerPixelSpacing: atDetector === undefined ? ["1", "1"] : pitchText(atDetector),
    ...(stated && { PixelSpacing: pitchText(stated) }),
    ...(stated && calibration && { PixelSpacingCalibrationType: calibration }),
    ...(stated &&
      calibration && {
        PixelSpacingCalibrationDescription: calibrationNote ?? "Object of known size in the plane",
      }),
    ...(magnification && { EstimatedRadiographicMagnificationFactor: decimal(magnification) }),
    ...(film.spacing?.sourceToDetectorMm && {
      DistanceSourceToDetector: decimal(film.spacing.sourceToDetectorMm),
    }),
    ...(film.spacing?.sourceToObjectMm && {
      DistanceSourceToPatient: decimal(film.spacing.sourceToObjectMm),
    }),
  };
};

/** A decimal string of at most 16 characters (PS3.5 §6.2, DS). */
const decimal = (value: number): string => {
  for (let digits = 15; digits > 0; digits -= 1) {
    const text = String(Number(value.toPrecision(digits)));
    if (text.length <= 16) return text;
  }
  return "0";
};

const pitchText = ({ rowMm, columnMm }: { rowMm: number; columnMm: number }): readonly string[] => [
  decimal(rowMm),
  decimal(columnMm),
];

const windowModule = (film: Film): object => {
  const top = 2 ** film.bitsStored - 1;
  const { centre, width, shape } = film.window ?? {
    centre: top / 2,
    width: top,
    shape: "linear" as const,
  };
  return {
    WindowCenter: decimal(centre),
    WindowWidth: decimal(width),
    VOILUTFunction: shape === "sigmoid" ? "SIGMOID" : "LINEAR_EXACT",
  };
};

const imageModule = (film: Film): object => ({
  SamplesPerPixel: 1,
  PhotometricInterpretation: "MONOCHROME2",
  Rows: film.heightPx,
  Columns: film.widthPx,
  BitsAllocated: 16,
  BitsStored: film.bitsStored,
  HighBit: film.bitsStored - 1,
  PixelRepresentation: 0,
  PixelIntensityRelationship: "LOG",
  PixelIntensityRelationshipSign: 1,
  RescaleIntercept: "0",
  RescaleSlope: "1",
  RescaleType: "US",
  PresentationLUTShape: "IDENTITY",
  LossyImageCompression: "00",
  BurnedInAnnotation: "NO",
  ...windowModule(film),
});

const seriesModule = (tags: WriteDicomTags): object => ({
  Modality: "DX",
  PresentationIntentType: "FOR PRESENTATION",
  ImageType: ["ORIGINAL", "PRIMARY", ""],
  SeriesNumber: "1",
  InstanceNumber: "1",
  ImageLaterality: tags.side,
  AnatomicalOrientationType: "QUADRUPED",
  PatientOrientation: tags.view === "lateromedial" ? ["CR", "D"] : ["L", "D"],
  AnatomicRegionSequence: [regionCode(tags)],
  ViewCodeSequence: [{ ...viewCode(tags), ViewModifierCodeSequence: [] }],
  PositionerType: "NONE",
  DetectorType: "DIRECT",
  AcquisitionContextSequence: [],
});

/**
 * Writes a film as a DICOM Digital X-Ray picture for presentation (16 bits allocated, explicit
 * little endian, uncompressed). The film's values go out unchanged as MONOCHROME2.
 * source: DICOM PS3.3 A.26; checked by an independent validator in the tests.
 */
export const writeDicom = (film: Film, tags: WriteDicomTags): Uint8Array => {
  const sopInstanceUid = tags.sopInstanceUid ?? newUid();
  const date = dicomDate(tags.takenOn);
  const time = dicomTime(tags.takenAtTime);
  const dataset = {
    _vrMap: { PixelData: "OW" },
    SpecificCharacterSet: "ISO_IR 192",
    SOPClassUID: digitalXRayForPresentation,
    SOPInstanceUID: sopInstanceUid,
    StudyInstanceUID: tags.studyInstanceUid ?? newUid(),
    SeriesInstanceUID: tags.seriesInstanceUid ?? newUid(),
    StudyDate: date,
    StudyTime: time,
    SeriesDate: date,
    SeriesTime: time,
    AcquisitionDate: date,
    AcquisitionTime: time,
    ContentDate: date,
    ContentTime: time,
    StudyID: "1",
    AccessionNumber: "",
    ReferringPhysicianName: "",
    Manufacturer: "",
    InstitutionName: tags.institution ?? "",
    ...patientModule(tags),
    ...seriesModule(tags),
    ...imageModule(film),
    ...spacingModule(film),
    PixelData: [film.pixels.slice().buffer],
  };
  const meta = {
    "00020001": { vr: "OB", Value: [new Uint8Array([0, 1]).buffer] },
    "00020002": { vr: "UI", Value: [digitalXRayForPresentation] },
    "00020003": { vr: "UI", Value: [sopInstanceUid] },
    "00020010": { vr: "UI", Value: [explicitLittleEndian] },
    "00020012": { vr: "UI", Value: [implementationClassUid] },
    "00020013": { vr: "SH", Value: ["HEELWARD"] },
  };
  const file = new dcmjs.data.DicomDict(meta);
  file.dict = dcmjs.data.DicomMetaDictionary.denaturalizeDataset(dataset);
  return new Uint8Array(file.write());
};
