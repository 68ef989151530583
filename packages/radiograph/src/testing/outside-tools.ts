import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

/** The distribution's interpreter: pydicom, numpy and Pillow come as its packages. */
const python = "/usr/bin/python3";

/** Runs a program and gives its output, both streams, whatever its exit code. */
export const run = (program: string, args: readonly string[]): string => {
  try {
    return execFileSync(program, args, { encoding: "utf8", stdio: "pipe", maxBuffer: 2 ** 26 });
  } catch (error) {
    const { stdout, stderr } = error as { readonly stdout?: string; readonly stderr?: string };
    throw new Error(`${program} ${args.join(" ")} failed: ${stdout ?? ""}${stderr ?? ""}`, {
      cause: error,
    });
  }
};

/** Runs a Python script; its standard output is read as JSON. */
export const runPython = <T>(script: string, args: readonly string[]): T =>
  JSON.parse(
    execFileSync(python, ["-W", "ignore", "-c", script, ...args], {
      encoding: "utf8",
      maxBuffer: 2 ** 28,
    }),
  ) as T;

/** A folder of its own for one test file. */
export interface Scratch {
  readonly path: (name: string) => string;
  readonly write: (name: string, bytes: Uint8Array) => string;
  readonly read: (name: string) => Uint8Array;
  readonly remove: () => void;
}

export const scratch = (): Scratch => {
  const folder = mkdtempSync(join(tmpdir(), "film-"));
  const path = (name: string): string => join(folder, name);
  return {
    path,
    write: (name, bytes) => {
      writeFileSync(path(name), bytes);
      return path(name);
    },
    read: (name) => new Uint8Array(readFileSync(path(name))),
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
};

/** What pydicom says of an uncompressed (or RLE) file. */
export interface PydicomView {
  readonly pixels: readonly number[];
  readonly rows: number;
  readonly columns: number;
  readonly pixelSpacing: readonly number[] | null;
  readonly imagerPixelSpacing: readonly number[] | null;
  readonly transferSyntax: string;
}

const pydicomScript = `
import json, sys, pydicom
def view(path):
    d = pydicom.dcmread(path)
    spacing = lambda k: [float(v) for v in d[k].value] if k in d and d[k].value is not None else None
    return {"pixels": d.pixel_array.astype(int).ravel().tolist(), "rows": int(d.Rows), "columns": int(d.Columns),
      "pixelSpacing": spacing("PixelSpacing"), "imagerPixelSpacing": spacing("ImagerPixelSpacing"),
      "transferSyntax": str(d.file_meta.TransferSyntaxUID)}
print(json.dumps([view(path) for path in sys.argv[1:]]))
`;

/** One view for each path, from one run of the interpreter. */
export const viewAllWithPydicom = (paths: readonly string[]): readonly PydicomView[] =>
  runPython<readonly PydicomView[]>(pydicomScript, paths);

export const viewWithPydicom = (path: string): PydicomView => viewAllWithPydicom([path])[0]!;

/** How each transfer syntax is made from an uncompressed file, and which tool made it. */
export const encoders: readonly {
  readonly name: string;
  readonly transferSyntax: string;
  readonly program: string;
  readonly options: readonly string[];
}[] = [
  {
    name: "explicit little endian",
    transferSyntax: "1.2.840.10008.1.2.1",
    program: "dcmconv",
    options: ["+te"],
  },
  {
    name: "implicit little endian",
    transferSyntax: "1.2.840.10008.1.2",
    program: "dcmconv",
    options: ["+ti"],
  },
  {
    name: "explicit big endian",
    transferSyntax: "1.2.840.10008.1.2.2",
    program: "dcmconv",
    options: ["+tb"],
  },
  { name: "RLE", transferSyntax: "1.2.840.10008.1.2.5", program: "dcmcrle", options: [] },
  {
    name: "RLE of a second maker",
    transferSyntax: "1.2.840.10008.1.2.5",
    program: "gdcmconv",
    options: ["--rle"],
  },
  {
    name: "JPEG lossless, first order",
    transferSyntax: "1.2.840.10008.1.2.4.70",
    program: "dcmcjpeg",
    options: ["+e1"],
  },
  {
    name: "JPEG lossless of a second maker",
    transferSyntax: "1.2.840.10008.1.2.4.70",
    program: "gdcmconv",
    options: ["--jpeg"],
  },
  ...[1, 2, 3, 4, 5, 6, 7].map((predictor) => ({
    name: `JPEG lossless, predictor ${predictor}`,
    transferSyntax: "1.2.840.10008.1.2.4.57",
    program: "dcmcjpeg",
    options: ["+el", "+sv", String(predictor)],
  })),
  { name: "JPEG-LS", transferSyntax: "1.2.840.10008.1.2.4.80", program: "dcmcjpls", options: [] },
  {
    name: "JPEG-LS of a second maker",
    transferSyntax: "1.2.840.10008.1.2.4.80",
    program: "gdcmconv",
    options: ["--jpegls"],
  },
  {
    name: "JPEG-LS near lossless",
    transferSyntax: "1.2.840.10008.1.2.4.81",
    program: "dcmcjpls",
    options: ["+en", "+md", "2"],
  },
  {
    name: "JPEG 2000",
    transferSyntax: "1.2.840.10008.1.2.4.90",
    program: "gdcmconv",
    options: ["--j2k"],
  },
  {
    name: "JPEG 2000 lossy",
    transferSyntax: "1.2.840.10008.1.2.4.91",
    program: "gdcmconv",
    options: ["--j2k", "--lossy", "-q", "60"],
  },
];

/** Unpacks any of the above into explicit little endian with a tool that is not ours. */
export const unpackWithTool = (transferSyntax: string, from: string, to: string): void => {
  const lastPart = transferSyntax.split(".").at(-1) ?? "";
  if (["57", "70", "50"].includes(lastPart)) run("dcmdjpeg", ["+cn", from, to]);
  else if (["80", "81"].includes(lastPart)) run("dcmdjpls", [from, to]);
  else if (transferSyntax === "1.2.840.10008.1.2.5") run("dcmdrle", [from, to]);
  else if (["90", "91"].includes(lastPart)) run("gdcmconv", ["--raw", from, to]);
  else run("dcmconv", ["+te", from, to]);
};
