import { afterAll, describe, expect, it, vi } from "vitest";
import { writeDicom } from "../dicom/write-dicom.ts";
import { sampleTags, smallFilm } from "../testing/films.ts";
import { run, runPython, scratch } from "../testing/outside-tools.ts";
import { filmReferenceOf } from "./film-reference.ts";
import { writeStructuredReport, type StructuredReport } from "./write-structured-report.ts";

// Other programs are started here, and a busy machine starts them slowly.
vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 });

const folder = scratch();
afterAll(folder.remove);

const filmBytes = writeDicom(smallFilm(), sampleTags);
const film = filmReferenceOf(filmBytes)!;

const report: StructuredReport = {
  patient: sampleTags,
  film,
  side: "L",
  isHindLimb: false,
  filmTakenOn: "2026-06-20",
  filmTakenAtTime: "10:15:00",
  placedBy: "Vera Brónagh Vet",
  writtenOn: "2026-06-20",
  writtenAtTime: "11:00:00",
  trackingId: "LF lateromedial, set 2",
  trackingUid: "2.25.4711",
  measurements: [
    {
      key: "soleDepthTip",
      label: "Sole depth under the tip",
      value: 13.046_518_273_645_1,
      unit: "mm",
      standardUncertainty: 0.412_345_678,
      line: { from: { x: 40, y: 50.25 }, to: { x: 40, y: 90 } },
    },
    {
      key: "palmarAngleGround",
      label: "Palmar angle to the ground",
      value: -1 / 3,
      unit: "deg",
      standardUncertainty: 0.7,
    },
    {
      key: "hornLamellarDistalRatio",
      label: "Wall-to-bone distance, bottom, over solar length",
      value: 0.361,
      unit: "ratio",
      standardUncertainty: 0.01,
    },
    {
      key: "foreProportion",
      label: "Share of the foot ahead of the centre",
      value: 62.5,
      unit: "%",
      standardUncertainty: 1.25,
    },
  ],
  cautions: ["Position card not complete: frog pin", "No diagnosis: a vet weighs these figures"],
};

/** dciodvfy speaks on standard error and may exit with 1 on warnings alone. */
const errorsOf = (path: string): readonly string[] => {
  const said = run("sh", ["-c", 'dciodvfy "$1" 2>&1 || true', "sh", path]);
  expect(said).toContain("EnhancedSR");
  return said.split("\n").filter((line) => line.startsWith("Error"));
};

describe("writing a structured report", () => {
  // Reference: dciodvfy, which checks modules, content items and template 1500 against the standard.
  it("writes what the validator finds no error in, with and without a DICOM film behind it", () => {
    expect(errorsOf(folder.write("with.dcm", writeStructuredReport(report)))).toEqual([]);
    const { film: _, ...without } = report;
    expect(errorsOf(folder.write("without.dcm", writeStructuredReport(without)))).toEqual([]);
  });

  it("is read by dcmtk as a document tree with the very numbers and units", () => {
    const said = run("dsrdump", ["+Pc", folder.write("dump.dcm", writeStructuredReport(report))]);
    expect(said).not.toMatch(/^[EFW]:/m);
    expect(said).toContain('"13.0465182736451" (mm,UCUM,"mm")');
    expect(said).toContain('"-0.3333333333333" (deg,UCUM,"degrees")');
    expect(said).toContain('"0.361" ({ratio},UCUM,"ratio")');
    expect(said).toContain('"62.5" (%,UCUM,"Percent")');
    expect(said).toContain("Vera Brónagh Vet");
  });

  it("gives pydicom the full floating-point values, ± and lines from the pixel corner", () => {
    const script = `
import json, sys, pydicom
d = pydicom.dcmread(sys.argv[1])
group = d.ContentSequence[-1].ContentSequence[0].ContentSequence
nums = [i for i in group if i.ValueType == "NUM"]
line = nums[0].ContentSequence[1]
print(json.dumps({
  "values": [n.MeasuredValueSequence[0].FloatingPointValue for n in nums],
  "ranges": [n.ContentSequence[0].MeasuredValueSequence[0].FloatingPointValue for n in nums],
  "codes": [n.ConceptNameCodeSequence[0].CodeValue for n in nums],
  "line": list(line.GraphicData),
  "image": line.ContentSequence[0].ReferencedSOPSequence[0].ReferencedSOPInstanceUID,
  "study": d.StudyInstanceUID, "patient": [str(d.PatientName), d.PatientID],
  "scheme": d.CodingSchemeIdentificationSequence[0].CodingSchemeDesignator,
}))`;
    const seen = runPython<{
      readonly values: number[];
      readonly ranges: number[];
      readonly codes: string[];
      readonly line: number[];
      readonly image: string;
      readonly study: string;
      readonly patient: string[];
      readonly scheme: string;
    }>(script, [folder.write("read.dcm", writeStructuredReport(report))]);
    expect(seen.values).toEqual(report.measurements.map((one) => one.value));
    expect(seen.ranges).toEqual(report.measurements.map((one) => 1.96 * one.standardUncertainty));
    expect(seen.line).toEqual([40.5, 50.75, 40.5, 90.5]);
    expect(seen.image).toBe(sampleTags.sopInstanceUid);
    expect(seen.study).toBe(sampleTags.studyInstanceUid);
    expect(seen.patient).toEqual([sampleTags.horseName, sampleTags.horseId]);
    expect(seen.scheme).toBe("99HEELWARD");
    expect(seen.codes.every((code) => code.length <= 16)).toBe(true);
    expect(new Set(seen.codes).size).toBe(seen.codes.length);
  });
});

describe("the film a report refers to", () => {
  it("is not invented for bytes that are no DICOM", () => {
    expect(filmReferenceOf(new Uint8Array(4000))).toBeUndefined();
    expect(filmReferenceOf(filmBytes.subarray(0, 300))).toBeUndefined();
  });
});
