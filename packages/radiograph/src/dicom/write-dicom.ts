import type { Film } from "../film/film.ts";
import {
  code,
  decimal,
  dicomDate,
  dicomFile,
  dicomTime,
  newUid,
  patientModule,
  type PatientTags,
} from "./dicom-file.ts";

/** What the film shows and whose it is; dates are `YYYY-MM-DD`, times `HH:MM:SS`. */
export interface WriteDicomTags extends PatientTags {
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
  return dicomFile({
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
  });
};
