import { afterAll, describe, expect, it, vi } from "vitest";
import { sampleTags, smallFilm } from "../testing/films.ts";
import { run, runPython, scratch, viewWithPydicom } from "../testing/outside-tools.ts";
import { readDicom } from "./read-dicom.ts";
import { stripIdentity } from "./strip-identity.ts";
import { writeDicom } from "./write-dicom.ts";

// Other programs are started here, and a busy machine starts them slowly.
vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 });

const folder = scratch();
afterAll(folder.remove);

/** Names put into every kind of place where films are known to carry them; pydicom writes them. */
const secretScript = `
import sys, pydicom
from pydicom.dataset import Dataset
from pydicom.sequence import Sequence
d = pydicom.dcmread(sys.argv[1])
d.PatientComments = "SECRETcomment"; d.PatientAddress = "SECRETaddress"; d.OtherPatientIDs = "SECRETother"
d.InstitutionAddress = "SECRETtown"; d.ReferringPhysicianName = "SECRETvet"; d.OperatorsName = "SECRETnurse"
d.StationName = "SECRETstation"; d.DeviceSerialNumber = "SECRETserial"; d.ImageComments = "SECRETimage"
d.StudyDescription = "SECRETstudy"; d.SeriesDescription = "SECRETseries"; d.StudyID = "SECRETid"
r = Dataset(); r.RequestedProcedureDescription = "SECRETrequest"
d.RequestAttributesSequence = Sequence([r])
p = Dataset(); q = Dataset(); q.CodeMeaning = "SECRETdeep"; q.CodeValue = "1"; q.CodingSchemeDesignator = "99X"
p.PersonIdentificationCodeSequence = Sequence([q]); p.InstitutionName = "SECRETplace"
d.ReferringPhysicianIdentificationSequence = Sequence([p])
b = d.private_block(0x0009, "SECRET MAKER", create=True); b.add_new(1, "LO", "SECRETprivate")
d.add_new(0x60000022, "LO", "SECREToverlay"); d.add_new(0xfffcfffc, "OB", b"SECRETpadding ")
d.file_meta.SourceApplicationEntityTitle = "SECRETAE"
d.save_as(sys.argv[2]); print("{}")
`;

const plain = folder.write("plain.dcm", writeDicom(smallFilm(), sampleTags));
runPython(secretScript, [plain, folder.path("secret.dcm")]);
const known = ["SECRET", "Marl Hopper", "Isaura", "H07", "Wrackline", "20110401"];
const holds = (bytes: Uint8Array, text: string): boolean => Buffer.from(bytes).includes(text);

describe("taking names off a film", () => {
  const forms = [
    ["explicit little endian", "dcmconv", ["+te"]],
    ["implicit little endian", "dcmconv", ["+ti"]],
    ["explicit big endian", "dcmconv", ["+tb"]],
    ["explicit with lengths in sequences", "dcmconv", ["+te", "+e"]],
    ["JPEG lossless", "dcmcjpeg", ["+e1"]],
  ] as const;
  for (const [name, program, options] of forms) {
    it(`leaves no name and every pixel in ${name}`, async () => {
      run(program, [...options, folder.path("secret.dcm"), folder.path("form.dcm")]);
      const before = folder.read("form.dcm");
      expect(known.filter((text) => holds(before, text))).toEqual(known);
      const result = await stripIdentity(before);
      if (!result.ok) throw new Error(result.detail);
      expect(known.filter((text) => holds(result.value, text))).toEqual([]);
      const images = [await readDicom(before), await readDicom(result.value)].map((one) => {
        if (!one.ok) throw new Error(one.detail);
        return one.value;
      });
      expect(images[1]!.pixels).toEqual(images[0]!.pixels);
      expect(images[1]!.spacing).toEqual(images[0]!.spacing);
      expect(images[1]!.tags).toMatchObject({ laterality: "L", sopInstanceUid: "2.25.1001" });
      // DCMTK must read the copy without complaint, and state that names were removed.
      const dump = run("dcmdump", ["-Un", folder.write("stripped.dcm", result.value)]);
      expect(dump).toMatch(/PatientIdentityRemoved/);
      expect(dump).not.toMatch(/^[EW]:/m);
    });
  }

  it("keeps our own films valid", async () => {
    const result = await stripIdentity(folder.read("plain.dcm"));
    if (!result.ok) throw new Error(result.detail);
    const path = folder.write("ours.dcm", result.value);
    const report = run("sh", ["-c", 'dciodvfy "$1" 2>&1 || true', "sh", path]);
    expect(report).toContain("DXImageForPresentation");
    expect(report.split("\n").filter((line) => line.startsWith("Error"))).toEqual([]);
    expect(viewWithPydicom(path).pixels).toEqual(Array.from(smallFilm().pixels));
  });

  it("refuses what it cannot take apart", async () => {
    expect((await stripIdentity(new Uint8Array(500))).ok).toBe(false);
  });
});
