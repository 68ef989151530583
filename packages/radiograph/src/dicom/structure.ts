import { createRequire } from "node:module";
import type { ByteArrayParser, DataSet, Element } from "dicom-parser";
import { RefusedFile, type ReadLimits } from "../film/read-result.ts";
import {
  bigEndianTransferSyntax,
  implicitTransferSyntax,
  refusedTransferSyntaxes,
} from "./transfer-syntax.ts";

const dicomParser = createRequire(import.meta.url)("dicom-parser") as typeof import("dicom-parser");

const preambleBytes = 128;
const metaStart = preambleBytes + 4;
const longFormVrs = new Set(["OB", "OD", "OF", "OL", "OV", "OW", "SQ", "UC", "UN", "UR", "UT"]);

/** One entry of the file meta group. */
interface MetaEntry {
  readonly element: number;
  readonly start: number;
  readonly dataStart: number;
  readonly end: number;
}

/** The parsed file: its transfer syntax and its top-level entries. */
export interface DicomStructure {
  readonly bytes: Uint8Array;
  readonly transferSyntax: string;
  readonly meta: readonly MetaEntry[];
  readonly dataSetStart: number;
  readonly dataSet: DataSet;
}

/** True when the bytes carry the `DICM` mark of a DICOM file (PS3.10 §7.1). */
export const looksLikeDicom = (bytes: Uint8Array): boolean =>
  bytes.length > metaStart &&
  bytes[128] === 0x44 &&
  bytes[129] === 0x49 &&
  bytes[130] === 0x43 &&
  bytes[131] === 0x4d;

const asciiAt = (bytes: Uint8Array, start: number, end: number): string =>
  String.fromCharCode(...bytes.subarray(start, Math.min(end, start + 128)))
    .replaceAll("\0", "")
    .trim();

/** Group 2 is always explicit little endian; read here so that a hostile header stays bounded. */
const readMeta = (bytes: Uint8Array): { meta: readonly MetaEntry[]; dataSetStart: number } => {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const meta: MetaEntry[] = [];
  let position = metaStart;
  while (position + 8 <= bytes.length && view.getUint16(position, true) === 0x0002) {
    if (meta.length >= 64)
      throw new RefusedFile("too-many-elements", "The file header is too long.");
    const vr = asciiAt(bytes, position + 4, position + 6);
    const isLong = longFormVrs.has(vr);
    if (isLong && position + 12 > bytes.length) break;
    const length = isLong ? view.getUint32(position + 8, true) : view.getUint16(position + 6, true);
    const dataStart = position + (isLong ? 12 : 8);
    const end = dataStart + length;
    if (end > bytes.length) throw new RefusedFile("damaged", "The file header runs past the end.");
    meta.push({ element: view.getUint16(position + 2, true), start: position, dataStart, end });
    position = end;
  }
  return { meta, dataSetStart: position };
};

const countingParser = (parser: ByteArrayParser, maxReads: number): ByteArrayParser => {
  let left = maxReads;
  const spend = (): void => {
    left -= 1;
    if (left < 0) {
      throw new RefusedFile("too-many-elements", "The file has more entries than a film has.");
    }
  };
  return {
    ...parser,
    readUint16: (bytes, position) => {
      spend();
      return parser.readUint16(bytes, position);
    },
    readUint32: (bytes, position) => {
      spend();
      return parser.readUint32(bytes, position);
    },
  };
};

const checkDepth = (dataSet: DataSet, depthLeft: number): void => {
  for (const element of Object.values(dataSet.elements)) {
    for (const item of element.items ?? []) {
      if (depthLeft === 0) {
        throw new RefusedFile("nested-too-deep", "Sequences are nested too deep.");
      }
      if (item.dataSet !== undefined) checkDepth(item.dataSet, depthLeft - 1);
    }
  }
};

const emptyDataSet = (parser: ByteArrayParser, bytes: Uint8Array): DataSet => {
  const { DataSet: Constructor } = dicomParser as unknown as {
    DataSet: new (parser: ByteArrayParser, bytes: Uint8Array, elements: object) => DataSet;
  };
  return new Constructor(parser, bytes, {});
};

const parseInto = (
  dataSet: DataSet,
  parser: ByteArrayParser,
  start: number,
  isImplicit: boolean,
): void => {
  const stream = new dicomParser.ByteStream(parser, dataSet.byteArray, start);
  try {
    if (isImplicit) dicomParser.parseDicomDataSetImplicit(dataSet, stream);
    else dicomParser.parseDicomDataSetExplicit(dataSet, stream);
  } catch (error) {
    // The parser recurses into sequences; running out of stack is its way of saying "too deep".
    if (error instanceof RangeError) {
      throw new RefusedFile("nested-too-deep", "Sequences are nested too deep.");
    }
    if (error instanceof RefusedFile) throw error;
    throw new RefusedFile("damaged", "The file ends early or its entries contradict each other.");
  }
};

/**
 * Parses the structure of a DICOM file under limits on reads and nesting.
 * Throws {@link RefusedFile} or whatever the parser throws; callers wrap it.
 */
export const parseStructure = (bytes: Uint8Array, limits: ReadLimits): DicomStructure => {
  if (!looksLikeDicom(bytes)) throw new RefusedFile("unknown-type", "This is not a DICOM file.");
  const { meta, dataSetStart } = readMeta(bytes);
  const syntaxEntry = meta.find((entry) => entry.element === 0x0010);
  if (syntaxEntry === undefined) {
    throw new RefusedFile("damaged", "The file does not say how it is encoded.");
  }
  const transferSyntax = asciiAt(bytes, syntaxEntry.dataStart, syntaxEntry.end);
  const refusal = refusedTransferSyntaxes[transferSyntax];
  if (refusal !== undefined) throw new RefusedFile("unsupported-compression", refusal);
  const isBigEndian = transferSyntax === bigEndianTransferSyntax;
  const parser = countingParser(
    isBigEndian ? dicomParser.bigEndianByteArrayParser : dicomParser.littleEndianByteArrayParser,
    limits.maxStructureReads,
  );
  const dataSet = emptyDataSet(parser, bytes);
  parseInto(dataSet, parser, dataSetStart, transferSyntax === implicitTransferSyntax);
  checkDepth(dataSet, limits.maxSequenceDepth);
  return { bytes, transferSyntax, meta, dataSetStart, dataSet };
};

/** The bytes of an element; throws when they would run past the end of the file. */
export const bytesOfElement = (bytes: Uint8Array, element: Element): Uint8Array => {
  const end = element.dataOffset + element.length;
  if (end > bytes.length)
    throw new RefusedFile("damaged", "An entry runs past the end of the file.");
  return bytes.subarray(element.dataOffset, end);
};
