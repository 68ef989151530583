export { filmReferenceOf, type FilmReference } from "./film-reference.ts";
export {
  privateCodingScheme,
  writeStructuredReport,
  type ReportedLine,
  type ReportedMeasurement,
  type StructuredReport,
} from "./write-structured-report.ts";
