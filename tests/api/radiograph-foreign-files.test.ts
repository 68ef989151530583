import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { bytesFrom } from "../support/films.ts";
import { toolFolder, toolSays } from "../support/outside-tools.ts";
import { startTestService, type TestService } from "../support/service.ts";
import { uploadFilm } from "../support/uploads.ts";

// Files that scanners and other people's programs wrote: a registry package's test pictures and the
// samples that come with pydicom. No X-ray plate of a horse is among them; the format is the same.
const scanner = join(
  dirname(createRequire(import.meta.url).resolve("jpeg-lossless-decoder-js/package.json")),
  "tests/data",
);
const samples = "/usr/lib/python3/dist-packages/pydicom/data/test_files";
const FILES = [
  { path: `${scanner}/jpeg_lossless_sel1.dcm`, unpack: ["dcmdjpeg"] },
  { path: `${scanner}/jpeg_lossless_sel7.dcm`, unpack: ["dcmdjpeg"] },
  { path: `${samples}/CT_small.dcm`, unpack: ["dcmconv"] },
  { path: `${samples}/MR_small_bigendian.dcm`, unpack: ["dcmconv", "+te"] },
  { path: `${samples}/MR_small_RLE.dcm`, unpack: ["dcmdrle"] },
  { path: `${samples}/MR_small_jpeg_ls_lossless.dcm`, unpack: ["dcmdjpls"] },
  { path: `${samples}/MR_small_jp2klossless.dcm`, unpack: ["gdcmconv", "--raw"] },
] as const;

const script = `
import json, sys, pydicom
d = pydicom.dcmread(sys.argv[1])
print(json.dumps({"values": d.pixel_array.astype(int).ravel().tolist(), "rows": int(d.Rows), "columns": int(d.Columns),
  "spacing": [float(v) for v in d.PixelSpacing], "study": str(d.StudyInstanceUID)}))`;
interface Seen {
  readonly values: readonly number[];
  readonly rows: number;
  readonly columns: number;
  readonly spacing: readonly [number, number];
  readonly study: string;
}

let service: TestService;
let caseId: string;
const folder = toolFolder();

beforeAll(async () => {
  service = await startTestService();
  caseId = (await service.vet.send("post", "/cases", { horseId: service.horseId, phase: "acute" }))
    .body.id;
});
afterAll(async () => {
  folder.remove();
  await service.close();
});

describe("a DICOM file that nobody here wrote", () => {
  for (const { path, unpack } of FILES)
    it(`comes through the service as dcmtk or gdcm and pydicom read it: ${path.split("/").at(-1)}`, async () => {
      const [program, ...options] = unpack;
      toolSays(program, ...options, path, folder.path("plain.dcm"));
      const seen = JSON.parse(
        toolSays("/usr/bin/python3", "-W", "ignore", "-c", script, folder.path("plain.dcm")),
      ) as Seen;
      const bytes = readFileSync(path);
      const added = await uploadFilm(service, caseId, bytes, {
        foot: "LF",
        takenAt: "2026-10-13T10:00:00Z",
      });
      expect(added.status).toBe(201);
      expect(added.body).toMatchObject({
        widthPx: seen.columns,
        heightPx: seen.rows,
        mediaType: "application/dicom",
      });
      expect(added.body.film.spacing.stated).toEqual({
        rowMm: seen.spacing[0],
        columnMm: seen.spacing[1],
      });
      expect(added.body.film.tags.studyInstanceUid).toBe(seen.study);
      const pixels = await bytesFrom(service.farrier, `/radiographs/${added.body.id}/pixels`);
      const values = new Uint16Array(new Uint8Array(pixels.bytes).buffer);
      // Signed values are lifted by one whole number, the same for all; nothing else may differ.
      const lift = values[0]! - seen.values[0]!;
      expect(values.length).toBe(seen.values.length);
      expect(values.every((value, index) => value === seen.values[index]! + lift)).toBe(true);
      const original = await bytesFrom(service.vet, `/radiographs/${added.body.id}/original`);
      expect(Buffer.compare(original.bytes, bytes)).toBe(0);
    });

  it("is refused with a reason when nothing here reads it faithfully", async () => {
    const lossy = await uploadFilm(service, caseId, readFileSync(`${samples}/JPEG-lossy.dcm`), {
      foot: "LF",
      takenAt: "2026-10-13T10:00:00Z",
    });
    expect(lossy.status).toBe(422);
    const colour = await uploadFilm(
      service,
      caseId,
      readFileSync(`${scanner}/jpeg_lossless_sel1-rgb.dcm`),
      { foot: "LF", takenAt: "2026-10-13T10:00:00Z" },
    );
    expect(colour.status).toBe(422);
    const several = await uploadFilm(
      service,
      caseId,
      readFileSync(`${scanner}/jpeg_lossless_sel1-8bit.dcm`),
      { foot: "LF", takenAt: "2026-10-13T10:00:00Z" },
    );
    expect(several.status).toBe(422);
    expect(several.body.detail).toMatch(/picture/);
  });
});
