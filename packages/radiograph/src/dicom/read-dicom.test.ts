import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { afterAll, describe, expect, it, vi } from "vitest";
import {
  encoders,
  run,
  runPython,
  scratch,
  unpackWithTool,
  viewAllWithPydicom,
  viewWithPydicom,
} from "../testing/outside-tools.ts";
import { sampleTags, smallFilm } from "../testing/films.ts";
import { defaultReadLimits } from "../film/read-result.ts";
import { filmOfDicom, readDicom, readDicomFilm, type DicomImage } from "./read-dicom.ts";
import { writeDicom } from "./write-dicom.ts";

// Other programs are started here, and a busy machine starts them slowly.
vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 });

const require = createRequire(import.meta.url);
const folder = scratch();
afterAll(folder.remove);

const readGood = async (bytes: Uint8Array): Promise<DicomImage> => {
  const result = await readDicom(bytes);
  if (!result.ok) throw new Error(`${result.reason}: ${result.detail}`);
  return result.value;
};

/**
 * Rewrites our file in a form that we never write ourselves; pydicom does it.
 * Arguments after the paths are Python statements on `d` (dataset) and `a` (pixel array).
 */
const rewriteScript = `
import sys, json, numpy as np, pydicom
from pydicom.dataset import Dataset
from pydicom.sequence import Sequence
d = pydicom.dcmread(sys.argv[1]); a = d.pixel_array.copy()
exec(sys.argv[3])
d.save_as(sys.argv[2]); print("{}")
`;
const rewritten = (
  name: string,
  film: Parameters<typeof writeDicom>[0],
  statements: string,
): string => {
  const source = folder.write("plain.dcm", writeDicom(film, sampleTags));
  runPython(rewriteScript, [source, folder.path(name), statements]);
  return folder.path(name);
};

const asSigned = `
a = a.astype(np.int32) - 2048; d.PixelRepresentation = 1
d.PixelData = a.astype('<i2').tobytes()
`;
const asEightBit = `
d.PixelData = (a >> 4).astype(np.uint8).tobytes(); d['PixelData'].VR = 'OB'
d.BitsAllocated = 8; d.BitsStored = 8; d.HighBit = 7
`;

describe("reading DICOM pixels", () => {
  const film = smallFilm();
  const source = folder.write("source.dcm", writeDicom(film, sampleTags));

  // References: DCMTK and GDCM packed and unpacked each file, pydicom read it.
  encoders.forEach(({ transferSyntax, program, options }, index) => {
    run(program, [...options, source, folder.path(`packed-${index}.dcm`)]);
    unpackWithTool(
      transferSyntax,
      folder.path(`packed-${index}.dcm`),
      folder.path(`unpacked-${index}.dcm`),
    );
  });
  const references = viewAllWithPydicom(
    encoders.map((_, index) => folder.path(`unpacked-${index}.dcm`)),
  );
  encoders.forEach(({ name, transferSyntax }, index) => {
    it(`reads ${name} to the last bit as other readers do`, async () => {
      const reference = references[index]!;
      const image = await readGood(folder.read(`packed-${index}.dcm`));
      expect(image.transferSyntax).toBe(transferSyntax);
      expect([image.columns, image.rows]).toEqual([reference.columns, reference.rows]);
      expect(Array.from(image.pixels)).toEqual(reference.pixels);
    });
  });

  it("reads the raw values that dcmdump and gdcmraw take out of the file", async () => {
    const image = await readGood(folder.read("source.dcm"));
    run("gdcmraw", ["-i", source, "-o", folder.path("gdcm.raw")]);
    run("dcmdump", ["+W", folder.path("."), source]);
    const words = (bytes: Uint8Array): number[] =>
      Array.from(new Uint16Array(bytes.slice().buffer, 0, image.pixels.length));
    expect(words(folder.read("gdcm.raw"))).toEqual(Array.from(image.pixels));
    expect(words(folder.read("source.dcm.0.raw"))).toEqual(Array.from(image.pixels));
  });

  it("reads 8-bit lossy JPEG exactly as DCMTK unpacks it", async () => {
    const eight = rewritten("eight.dcm", film, asEightBit);
    run("dcmcjpeg", ["+eb", eight, folder.path("baseline.dcm")]);
    unpackWithTool(
      "1.2.840.10008.1.2.4.50",
      folder.path("baseline.dcm"),
      folder.path("plain8.dcm"),
    );
    const image = await readGood(folder.read("baseline.dcm"));
    expect(image.transferSyntax).toBe("1.2.840.10008.1.2.4.50");
    expect(Array.from(image.pixels)).toEqual(viewWithPydicom(folder.path("plain8.dcm")).pixels);
  });

  it("refuses 12-bit lossy JPEG with a reason a person can act on", async () => {
    run("dcmcjpeg", ["+ee", source, folder.path("extended.dcm")]);
    const result = await readDicom(folder.read("extended.dcm"));
    expect(result).toMatchObject({ ok: false, reason: "unsupported-compression" });
    expect(result.ok ? "" : result.detail).toContain("JPEG lossless");
  });

  const shapes: readonly [name: string, statements: string][] = [
    ["signed values", asSigned],
    ["8-bit values", asEightBit],
    [
      "values shifted to the top bits",
      "d.PixelData = (a << 4).astype('<u2').tobytes(); d.HighBit = 15",
    ],
  ];
  for (const [name, statements] of shapes) {
    for (const how of encoders.filter(
      ({ program }) => program === "dcmconv" || program === "dcmcrle",
    )) {
      it(`reads ${name} in ${how.name}`, async () => {
        const plain = rewritten("shape.dcm", film, statements);
        run(how.program, [...how.options, plain, folder.path("shape-packed.dcm")]);
        const image = await readGood(folder.read("shape-packed.dcm"));
        // pydicom does not move shifted values down, so the film's own values are the reference.
        const expected = name.startsWith("values shifted")
          ? Array.from(film.pixels)
          : viewWithPydicom(plain).pixels;
        expect(Array.from(image.pixels)).toEqual(expected);
      });
    }
  }

  it("reads signed JPEG lossless, JPEG-LS and JPEG 2000", async () => {
    const plain = rewritten("signed.dcm", film, asSigned);
    const expected = viewWithPydicom(plain).pixels;
    for (const [program, options] of [
      ["dcmcjpeg", ["+e1"]],
      ["gdcmconv", ["--jpegls"]],
      ["gdcmconv", ["--j2k"]],
    ] as const) {
      run(program, [...options, plain, folder.path("signed-packed.dcm")]);
      const image = await readGood(folder.read("signed-packed.dcm"));
      expect(Array.from(image.pixels)).toEqual(expected);
    }
  });

  it("reads a full 16 bits in every lossless packing", async () => {
    const deep = folder.write("deep.dcm", writeDicom(smallFilm({ bitsStored: 16 }), sampleTags));
    const expected = viewWithPydicom(deep).pixels;
    for (const { program, options } of encoders.filter((one) => !/lossy|near/.test(one.name))) {
      run(program, [...options, deep, folder.path("deep-packed.dcm")]);
      const image = await readGood(folder.read("deep-packed.dcm"));
      expect(Array.from(image.pixels)).toEqual(expected);
    }
  });
});

describe("what the file says about millimetres and sides", () => {
  it("gives the same spacing as pydicom, whichever entry carries it", async () => {
    const plain = rewritten(
      "spaced.dcm",
      smallFilm(),
      "d.PixelSpacing = [0.1451, 0.1449]; d.PixelSpacingCalibrationType = 'FIDUCIAL'; d.ImagerPixelSpacing = [0.1523, 0.1524]",
    );
    const image = await readGood(folder.read("spaced.dcm"));
    const reference = viewWithPydicom(plain);
    const { stated, atDetector } = image.spacing ?? {};
    expect([stated?.rowMm, stated?.columnMm]).toEqual(reference.pixelSpacing);
    expect([atDetector?.rowMm, atDetector?.columnMm]).toEqual(reference.imagerPixelSpacing);
    expect(image.spacing).toMatchObject({ calibration: "FIDUCIAL", magnification: 1.05 });
  });

  it("gives side, view, date and identifiers, and leaves out what is absent", async () => {
    const bytes = writeDicom(smallFilm(), { ...sampleTags, sopInstanceUid: "2.25.42" });
    expect((await readGood(bytes)).tags).toMatchObject({
      sopInstanceUid: "2.25.42",
      laterality: "L",
      acquiredOn: "2026-06-20",
      acquiredAtTime: "10:15:00",
      modality: "DX",
      patientName: "Marl Hopper",
    });
    expect((await readGood(bytes)).tags).not.toHaveProperty("viewPosition");
  });

  it("takes no nonsense for a spacing", async () => {
    rewritten(
      "nonsense.dcm",
      smallFilm(),
      "d.ImagerPixelSpacing = [0, -1]; del d.EstimatedRadiographicMagnificationFactor",
    );
    expect((await readGood(folder.read("nonsense.dcm"))).spacing).toBeUndefined();
  });
});

describe("turning stored values into a film", () => {
  const film = smallFilm();
  const filmOf = async (name: string, statements: string) => {
    rewritten(name, film, statements);
    return filmOfDicom(await readGood(folder.read(name)));
  };

  it("shows bone bright whatever the polarity", async () => {
    const mono1 = await filmOf(
      "mono1.dcm",
      "d.PixelData = (4095 - a).astype('<u2').tobytes(); d.PhotometricInterpretation = 'MONOCHROME1'",
    );
    expect(mono1.pixels).toEqual(film.pixels);
  });

  it("lets a falling rescale and MONOCHROME1 cancel", async () => {
    const both = await filmOf(
      "both.dcm",
      "d.RescaleSlope = '-1'; d.RescaleIntercept = '4095'; d.PhotometricInterpretation = 'MONOCHROME1'",
    );
    expect(both.pixels).toEqual(film.pixels);
  });

  it("lifts signed values to zero and keeps their order", async () => {
    const signed = await filmOf("signed-film.dcm", asSigned);
    expect(signed.pixels).toEqual(film.pixels);
    expect(signed.bitsStored).toBe(12);
  });

  it("brings the window through rescale, sign and polarity to the same brightness", async () => {
    const statements = `${asSigned}
d.RescaleSlope = '2'; d.RescaleIntercept = '100'; d.VOILUTFunction = 'LINEAR_EXACT'
d.WindowCenter = '100'; d.WindowWidth = '4096'`;
    // (value − 2048) × 2 + 100 = 100 half way up: film value 2048, ramp 2048 wide.
    expect((await filmOf("windowed.dcm", statements)).window).toEqual({
      shape: "linear",
      centre: 2048,
      width: 2048,
    });
  });

  it("applies a modality table and a display table entry by entry", async () => {
    const table = `
item = Dataset(); item.LUTDescriptor = [4096, 0, 16]; item.ModalityLUTType = 'US'
item.add_new(0x00283006, 'OW', (np.arange(4096) * 16).astype('<u2').tobytes())
d.ModalityLUTSequence = Sequence([item])
del d.RescaleSlope, d.RescaleIntercept, d.RescaleType
voi = Dataset(); voi.LUTDescriptor = [256, 1024, 8]
voi.add_new(0x00283006, 'OW', np.arange(256).astype('<u2').tobytes())
d.VOILUTSequence = Sequence([voi])`;
    const mapped = await filmOf("tables.dcm", table);
    expect(mapped.bitsStored).toBe(16);
    expect(Array.from(mapped.pixels)).toEqual(Array.from(film.pixels, (value) => value * 16));
    expect(mapped.displayTable?.[0]).toBe(0);
    expect(mapped.displayTable?.[1024 + 100]).toBe(Math.round((65_535 * 100) / 255));
    expect(mapped.displayTable?.[60_000]).toBe(65_535);
  });
});

describe("files that nobody here wrote", () => {
  // Scanner pictures shipped as test data of an npm package; DCMTK unpacks, pydicom reads.
  const paths = [1, 2, 3, 4, 5, 6, 7].map((predictor) =>
    require.resolve(`jpeg-lossless-decoder-js/tests/data/jpeg_lossless_sel${predictor}.dcm`),
  );
  paths.forEach((path, index) => run("dcmdjpeg", [path, folder.path(`sample-${index}.dcm`)]));
  const references = viewAllWithPydicom(
    paths.map((_, index) => folder.path(`sample-${index}.dcm`)),
  );
  paths.forEach((path, index) => {
    it(`reads a scanner's JPEG lossless picture with predictor ${index + 1}`, async () => {
      const reference = references[index]!;
      const image = await readGood(readFileSync(path));
      expect(Array.from(image.pixels)).toEqual(reference.pixels);
      const stated = image.spacing?.stated;
      expect([stated?.rowMm, stated?.columnMm]).toEqual(reference.pixelSpacing);
    });
  });

  it("agrees with pydicom on every grey single picture among pydicom's own samples", async () => {
    const script = `
import json, os, sys, pydicom
base = os.path.join(os.path.dirname(pydicom.__file__), "data", "test_files"); out = []
for n in sorted(os.listdir(base)):
    if not n.endswith('.dcm'): continue
    try:
        d = pydicom.dcmread(os.path.join(base, n))
        if str(d.file_meta.TransferSyntaxUID) in ("1.2.840.10008.1.2.1.99", "1.2.840.10008.1.2.4.51"): continue
        if d.SamplesPerPixel != 1 or int(d.get("NumberOfFrames", 1)) != 1 or d.BitsAllocated not in (8, 16) or d.BitsStored < 8: continue
        s = [float(v) for v in d.PixelSpacing] if "PixelSpacing" in d else None
        out.append({"path": os.path.join(base, n), "pixels": d.pixel_array.astype(int).ravel().tolist(), "spacing": s})
    except Exception: pass
print(json.dumps(out))`;
    interface Sample {
      readonly path: string;
      readonly pixels: readonly number[];
      readonly spacing: readonly number[] | null;
    }
    const known = runPython<readonly Sample[]>(script, []);
    expect(known.length).toBeGreaterThanOrEqual(10);
    for (const { path, pixels, spacing } of known) {
      const image = await readGood(readFileSync(path));
      expect(Array.from(image.pixels)).toEqual(pixels);
      const stated = image.spacing?.stated;
      expect(stated ? [stated.rowMm, stated.columnMm] : null).toEqual(spacing);
    }
  });
});

describe("refusing what is not an honest film", () => {
  const film = smallFilm();
  const good = writeDicom(film, sampleTags);
  // Preamble and mark, then the group length entry, which says how long the rest of group 2 is.
  const metaEnd = 144 + new DataView(good.buffer).getUint32(140, true);

  it("refuses sides over the limit before anything is unpacked", async () => {
    const limits = { ...defaultReadLimits, maxSidePx: 150 };
    expect(await readDicom(good, limits)).toMatchObject({ ok: false, reason: "dimensions" });
    const area = { ...defaultReadLimits, maxPixels: 19_000 };
    expect(await readDicom(good, area)).toMatchObject({ ok: false, reason: "dimensions" });
  });

  it("refuses more bytes than allowed", async () => {
    const limits = { ...defaultReadLimits, maxBytes: good.length - 1 };
    expect(await readDicom(good, limits)).toMatchObject({ ok: false, reason: "too-large" });
  });

  it("refuses several pictures, colour and missing pictures, each by name", async () => {
    const cases = [
      ["d.NumberOfFrames = 2", "too-many-frames"],
      ["d.SamplesPerPixel = 3; d.PhotometricInterpretation = 'RGB'", "unsupported-pixels"],
      ["d.BitsAllocated = 32; d.BitsStored = 32; d.HighBit = 31", "unsupported-pixels"],
      ["del d.PixelData", "no-pixels"],
      ["d.Rows = 0", "dimensions"],
      ["d.Rows = 200", "damaged"],
      ["d.HighBit = 3", "damaged"],
    ] as const;
    for (const [statements, reason] of cases) {
      rewritten("refused.dcm", film, statements);
      expect(await readDicom(folder.read("refused.dcm"))).toMatchObject({
        ok: false,
        reason,
      });
    }
  });

  it("refuses sequences nested deeper than the limit, and endless nesting", async () => {
    const nest = `
def deep(n):
    item = Dataset()
    if n: item.ReferencedImageSequence = Sequence([deep(n - 1)])
    return item
d.ReferencedImageSequence = Sequence([deep(20)])`;
    rewritten("deep.dcm", film, nest);
    expect(await readDicom(folder.read("deep.dcm"))).toMatchObject({
      ok: false,
      reason: "nested-too-deep",
    });
    // A hundred thousand sequences of undefined length, each opening an item with the next.
    const level = [0x08, 0x00, 0x40, 0x11, 0x53, 0x51, 0, 0, 0xff, 0xff, 0xff, 0xff];
    const item = [0xfe, 0xff, 0x00, 0xe0, 0xff, 0xff, 0xff, 0xff];
    const bomb = Uint8Array.from([
      ...good.subarray(0, metaEnd),
      ...Array.from({ length: 100_000 }, () => [...level, ...item]).flat(),
    ]);
    expect((await readDicom(bomb)).ok).toBe(false);
  });

  it("refuses a file made of nothing but tiny entries", async () => {
    const entry = [0x09, 0x00, 0x00, 0x00, 0x4c, 0x4f, 0x00, 0x00];
    const many = new Uint8Array(good.length + 8 * 400_000);
    many.set(good.subarray(0, metaEnd));
    for (let index = 0; index < 400_000; index += 1) many.set(entry, metaEnd + 8 * index);
    expect(await readDicom(many)).toMatchObject({ ok: false, reason: "too-many-elements" });
  });

  it("refuses every shortened copy and never throws", async () => {
    for (let length = 0; length < good.length; length += 997) {
      expect((await readDicom(good.slice(0, length))).ok).toBe(false);
    }
    expect((await readDicomFilm(new Uint8Array(0))).ok).toBe(false);
  });

  it("refuses a compressed picture that ends early instead of showing half a foot", async () => {
    for (const { program, options } of encoders.filter((one) => one.program !== "dcmconv")) {
      folder.write("whole.dcm", good);
      run(program, [...options, folder.path("whole.dcm"), folder.path("early.dcm")]);
      const packed = folder.read("early.dcm");
      const result = await readDicom(
        packed.slice(0, packed.length - Math.floor(packed.length / 3)),
      );
      expect(result.ok).toBe(false);
    }
  });
});
