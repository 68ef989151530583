import {
  code,
  decimal,
  dicomDate,
  dicomFile,
  dicomTime,
  newUid,
  patientModule,
  type PatientTags,
} from "../dicom/dicom-file.ts";
import type { FilmReference } from "./film-reference.ts";

/** A straight line on the film; whole numbers are pixel centres. */
export interface ReportedLine {
  readonly from: { readonly x: number; readonly y: number };
  readonly to: { readonly x: number; readonly y: number };
}

/** One measure as it stands in the record. */
export interface ReportedMeasurement {
  readonly key: string;
  readonly label: string;
  readonly value: number;
  readonly unit: "mm" | "deg" | "ratio" | "%";
  readonly standardUncertainty: number;
  readonly line?: ReportedLine;
}

/** What one report says. Dates are `YYYY-MM-DD`, times `HH:MM:SS`, local as on the film; names as people write them. */
export interface StructuredReport {
  readonly patient: PatientTags;
  /** Absent when the film did not come as DICOM: then no picture is referred to. */
  readonly film?: FilmReference;
  readonly side: "L" | "R";
  readonly isHindLimb: boolean;
  readonly filmTakenOn: string;
  readonly filmTakenAtTime: string;
  readonly placedBy: string;
  readonly writtenOn: string;
  readonly writtenAtTime: string;
  /** Identity of this set of marks; stays the same each time the same set is written out. */
  readonly trackingId: string;
  readonly trackingUid: string;
  readonly sopInstanceUid?: string;
  readonly seriesInstanceUid?: string;
  readonly measurements: readonly ReportedMeasurement[];
  readonly cautions: readonly string[];
}

/** source: DICOM PS3.3 A.35.2, Enhanced SR. */
const enhancedStructuredReport = "1.2.840.10008.5.1.4.1.1.88.22";
/** 95 % coverage of a normal distribution. source: JCGM 100:2008 §6.3. */
const coverageFactor = 1.96;

/** Measures of the hoof that no public vocabulary names; declared in every report. */
export const privateCodingScheme = {
  designator: "99HEELWARD",
  uid: "2.25.92180543337520414563412708155612038917",
} as const;

type Item = object;

const item = (
  relationship:
    | "CONTAINS"
    | "HAS OBS CONTEXT"
    | "HAS CONCEPT MOD"
    | "HAS PROPERTIES"
    | "INFERRED FROM"
    | "SELECTED FROM",
  valueType: string,
  concept: object | undefined,
  rest: object,
): Item => ({
  RelationshipType: relationship,
  ValueType: valueType,
  ...(concept === undefined ? {} : { ConceptNameCodeSequence: [concept] }),
  ...rest,
});

const dcm = (value: string, meaning: string): object => code(value, "DCM", meaning);
const sct = (value: string, meaning: string): object => code(value, "SCT", meaning);

const coded = (
  relationship: Parameters<typeof item>[0],
  concept: object,
  value: object,
  rest: object = {},
): Item => item(relationship, "CODE", concept, { ConceptCodeSequence: [value], ...rest });

const text = (relationship: Parameters<typeof item>[0], concept: object, value: string): Item =>
  item(relationship, "TEXT", concept, { TextValue: value });

const container = (
  relationship: Parameters<typeof item>[0],
  concept: object,
  content: readonly Item[],
  template?: string,
): Item =>
  item(relationship, "CONTAINER", concept, {
    ContinuityOfContent: "SEPARATE",
    ...(template === undefined
      ? {}
      : { ContentTemplateSequence: [{ MappingResource: "DCMR", TemplateIdentifier: template }] }),
    ContentSequence: content,
  });

/** source: UCUM, as named in DICOM PS3.16 CID 7460, 7461 and 7464. */
const UNITS = {
  mm: code("mm", "UCUM", "mm"),
  deg: code("deg", "UCUM", "degrees"),
  ratio: code("{ratio}", "UCUM", "ratio"),
  "%": code("%", "UCUM", "Percent"),
} as const;

const measured = (value: number, unit: ReportedMeasurement["unit"]): object => ({
  MeasuredValueSequence: [
    {
      NumericValue: decimal(value),
      FloatingPointValue: value,
      MeasurementUnitsCodeSequence: [UNITS[unit]],
    },
  ],
});

const imageReference = (film: FilmReference): object => ({
  ReferencedSOPSequence: [
    { ReferencedSOPClassUID: film.sopClassUid, ReferencedSOPInstanceUID: film.sopInstanceUid },
  ],
});

/** At most 16 characters of the permitted kind (PS3.5 §6.2, SH): long keys are shortened from within. */
const codeValueOf = (key: string): string => {
  if (key.length <= 16) return key;
  let sum = 0;
  for (const letter of key) sum = (sum * 31 + letter.charCodeAt(0)) % 46_656;
  return `${key.slice(0, 13)}${sum.toString(36).padStart(3, "0")}`;
};

const numberItem = (one: ReportedMeasurement, film: FilmReference | undefined): Item =>
  item(
    "CONTAINS",
    "NUM",
    code(codeValueOf(one.key), privateCodingScheme.designator, one.label.slice(0, 64)),
    {
      ...measured(one.value, one.unit),
      ContentSequence: [
        item(
          "HAS PROPERTIES",
          "NUM",
          sct("371884006", "+/-, range of measurement uncertainty"),
          measured(coverageFactor * one.standardUncertainty, one.unit),
        ),
        ...(one.line === undefined || film === undefined
          ? []
          : [
              item("INFERRED FROM", "SCOORD", dcm("121055", "Path"), {
                GraphicType: "POLYLINE",
                // DICOM counts from the corner of the first pixel, the record from its centre (PS3.3 C.18.6.1.1).
                GraphicData: [
                  one.line.from.x + 0.5,
                  one.line.from.y + 0.5,
                  one.line.to.x + 0.5,
                  one.line.to.y + 0.5,
                ],
                ContentSequence: [item("SELECTED FROM", "IMAGE", undefined, imageReference(film))],
              }),
            ]),
      ],
    },
  );

const observerContext = (report: StructuredReport): readonly Item[] => [
  coded(
    "HAS CONCEPT MOD",
    dcm("121049", "Language of Content Item and Descendants"),
    code("en-GB", "RFC5646", "English (United Kingdom)"),
  ),
  coded("HAS OBS CONTEXT", dcm("121005", "Observer Type"), dcm("121006", "Person")),
  item("HAS OBS CONTEXT", "PNAME", dcm("121008", "Person Observer Name"), {
    PersonName: [{ Alphabetic: report.placedBy }],
  }),
  coded(
    "HAS CONCEPT MOD",
    dcm("121058", "Procedure reported"),
    sct("363679005", "Imaging procedure"),
  ),
];

const measurementGroup = (report: StructuredReport): Item =>
  container(
    "CONTAINS",
    dcm("125007", "Measurement Group"),
    [
      text("HAS OBS CONTEXT", dcm("112039", "Tracking Identifier"), report.trackingId),
      item("HAS OBS CONTEXT", "UIDREF", dcm("112040", "Tracking Unique Identifier"), {
        UID: report.trackingUid,
      }),
      coded(
        "HAS CONCEPT MOD",
        sct("363698007", "Finding Site"),
        report.isHindLimb ? sct("416804009", "Hindfoot") : sct("419176008", "Forefoot"),
        {
          ContentSequence: [
            coded(
              "HAS CONCEPT MOD",
              sct("272741003", "Laterality"),
              report.side === "L" ? sct("7771000", "Left") : sct("24028007", "Right"),
            ),
          ],
        },
      ),
      ...report.measurements.map((one) => numberItem(one, report.film)),
      ...report.cautions.map((caution) => text("CONTAINS", dcm("121106", "Comment"), caution)),
    ],
    "1501",
  );

const evidence = (film: FilmReference): object => ({
  CurrentRequestedProcedureEvidenceSequence: [
    {
      StudyInstanceUID: film.studyInstanceUid,
      ReferencedSeriesSequence: [
        { SeriesInstanceUID: film.seriesInstanceUid, ...imageReference(film) },
      ],
    },
  ],
});

/**
 * Writes one set of measures as a DICOM structured report: template 1500 with one measurement group
 * (1501), units of UCUM, ± as the 95 % half-width, and for DICOM films the line of each measure on
 * the picture. Not marked as verified: the service's own signature is not a DICOM signature.
 * source: DICOM PS3.3 A.35.2, PS3.16 TID 1500; checked by an independent validator in the tests.
 */
export const writeStructuredReport = (report: StructuredReport): Uint8Array => {
  const { film } = report;
  const written = dicomDate(report.writtenOn);
  const at = dicomTime(report.writtenAtTime);
  return dicomFile({
    SpecificCharacterSet: "ISO_IR 192",
    SOPClassUID: enhancedStructuredReport,
    SOPInstanceUID: report.sopInstanceUid ?? newUid(),
    CodingSchemeIdentificationSequence: [
      {
        CodingSchemeDesignator: privateCodingScheme.designator,
        CodingSchemeUID: privateCodingScheme.uid,
        CodingSchemeName: "Measures of the equine foot",
        CodingSchemeResponsibleOrganization: "Heelward",
      },
    ],
    StudyInstanceUID: film?.studyInstanceUid ?? newUid(),
    SeriesInstanceUID: report.seriesInstanceUid ?? newUid(),
    StudyDate: dicomDate(film?.studyOn ?? report.filmTakenOn),
    StudyTime: dicomTime(film?.studyAtTime ?? report.filmTakenAtTime),
    StudyID: film?.studyId ?? "",
    AccessionNumber: film?.accessionNumber ?? "",
    ReferringPhysicianName: "",
    Manufacturer: "Heelward",
    ...patientModule({
      ...report.patient,
      horseName: film?.patientName ?? report.patient.horseName,
      horseId: film?.patientId ?? report.patient.horseId,
    }),
    Modality: "SR",
    SeriesNumber: "1",
    ReferencedPerformedProcedureStepSequence: [],
    InstanceNumber: "1",
    ContentDate: written,
    ContentTime: at,
    CompletionFlag: "COMPLETE",
    VerificationFlag: "UNVERIFIED",
    PerformedProcedureCodeSequence: [],
    ...(film === undefined ? {} : evidence(film)),
    ValueType: "CONTAINER",
    ConceptNameCodeSequence: [dcm("126000", "Imaging Measurement Report")],
    ContinuityOfContent: "SEPARATE",
    ContentTemplateSequence: [{ MappingResource: "DCMR", TemplateIdentifier: "1500" }],
    ContentSequence: [
      ...observerContext(report),
      ...(film === undefined
        ? []
        : [
            container(
              "CONTAINS",
              dcm("111028", "Image Library"),
              [
                container("CONTAINS", dcm("126200", "Image Library Group"), [
                  item("CONTAINS", "IMAGE", undefined, imageReference(film)),
                ]),
              ],
              "1600",
            ),
          ]),
      container("CONTAINS", dcm("126010", "Imaging Measurements"), [measurementGroup(report)]),
    ],
  });
};
