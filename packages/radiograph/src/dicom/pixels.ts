import type { Element } from "dicom-parser";
import { checkDimensions, RefusedFile, type ReadLimits } from "../film/read-result.ts";
import { readJpeg2000Header, readJpegHeader, type CodestreamHeader } from "./codestream-header.ts";
import { decodeJpegLossless } from "./jpeg-lossless.ts";
import { decodeRle } from "./rle.ts";
import { bytesOfElement, type DicomStructure } from "./structure.ts";
import { packingOfTransferSyntax, type PixelPacking } from "./transfer-syntax.ts";
import { decodeWithWasm } from "./wasm-codec.ts";

/** The Image Pixel module as far as a grey film needs it. */
export interface PixelFormat {
  readonly rows: number;
  readonly columns: number;
  readonly bitsAllocated: 8 | 16;
  readonly bitsStored: number;
  readonly highBit: number;
  readonly isSigned: boolean;
  readonly photometric: "MONOCHROME1" | "MONOCHROME2";
}

const refusePixels = (detail: string): RefusedFile => new RefusedFile("unsupported-pixels", detail);

/** Reads and checks the Image Pixel module. source: DICOM PS3.3 C.7.6.3. */
export const readPixelFormat = ({ dataSet }: DicomStructure, limits: ReadLimits): PixelFormat => {
  if (dataSet.elements["x7fe00010"] === undefined) {
    throw new RefusedFile("no-pixels", "There is no picture in this file.");
  }
  const rows = dataSet.uint16("x00280010") ?? 0;
  const columns = dataSet.uint16("x00280011") ?? 0;
  checkDimensions(columns, rows, limits);
  const frames = dataSet.intString("x00280008") ?? 1;
  if (frames !== 1) {
    throw new RefusedFile("too-many-frames", `The file holds ${frames} pictures; one is expected.`);
  }
  const photometric = dataSet.string("x00280004") ?? "";
  if (photometric !== "MONOCHROME1" && photometric !== "MONOCHROME2") {
    throw refusePixels(`Only grey films are read; this one is ${photometric.slice(0, 32)}.`);
  }
  if ((dataSet.uint16("x00280002") ?? 1) !== 1) throw refusePixels("Only grey films are read.");
  const bitsAllocated = dataSet.uint16("x00280100") ?? 0;
  const bitsStored = dataSet.uint16("x00280101") ?? bitsAllocated;
  const highBit = dataSet.uint16("x00280102") ?? bitsStored - 1;
  if (bitsAllocated !== 8 && bitsAllocated !== 16) {
    throw refusePixels(`Pixels of ${bitsAllocated} bits are not read.`);
  }
  if (bitsStored < 8 || bitsStored > bitsAllocated) {
    throw refusePixels(`Pixels with ${bitsStored} stored bits are not read.`);
  }
  if (highBit < bitsStored - 1 || highBit >= bitsAllocated) {
    throw new RefusedFile("damaged", "The pixel bits contradict each other.");
  }
  const isSigned = dataSet.uint16("x00280103") === 1;
  return { rows, columns, bitsAllocated, bitsStored, highBit, isSigned, photometric };
};

const nativeWords = (data: Uint8Array, format: PixelFormat, isSwapped: boolean): Uint16Array => {
  const count = format.rows * format.columns;
  const neededBytes = count * (format.bitsAllocated / 8);
  if (data.length < neededBytes) {
    throw new RefusedFile(
      "damaged",
      `The picture ends early: ${data.length} of ${neededBytes} bytes are there.`,
    );
  }
  const words = new Uint16Array(count);
  if (format.bitsAllocated === 8) {
    // Big-endian files store 8-bit pixels as 16-bit words, so neighbours change places.
    for (let index = 0; index < count; index += 1)
      words[index] = data[index ^ (isSwapped ? 1 : 0)]!;
    return words;
  }
  const low = isSwapped ? 1 : 0;
  const high = 1 - low;
  for (let index = 0; index < count; index += 1) {
    words[index] = data[2 * index + low]! | (data[2 * index + high]! << 8);
  }
  return words;
};

const fragmentsOf = (structure: DicomStructure, element: Element): Uint8Array => {
  const { bytes } = structure;
  const parts = (element.fragments ?? []).map(({ position, length }) => {
    // The parser takes a broken item for a last fragment; an honest one begins with the item tag.
    const isItem = bytes[position - 8] === 0xfe && bytes[position - 5] === 0xe0;
    if (!isItem || position + length > bytes.length) {
      throw new RefusedFile("damaged", "The compressed picture ends early.");
    }
    return bytes.subarray(position, position + length);
  });
  if (parts.length === 0) throw new RefusedFile("no-pixels", "The compressed picture is empty.");
  if (parts.length === 1) return parts[0]!;
  const joined = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let position = 0;
  for (const part of parts) {
    joined.set(part, position);
    position += part.length;
  }
  return joined;
};

const checkCodestream = (header: CodestreamHeader, format: PixelFormat): void => {
  if (header.widthPx !== format.columns || header.heightPx !== format.rows) {
    throw new RefusedFile(
      "damaged",
      `The compressed picture is ${header.widthPx} × ${header.heightPx}, the file says ${format.columns} × ${format.rows}.`,
    );
  }
  if (header.components !== 1) throw refusePixels("Only grey films are read.");
  if (header.precisionBits < 2 || header.precisionBits > format.bitsAllocated) {
    throw refusePixels(`The compressed picture has ${header.precisionBits} bits a pixel.`);
  }
};

const widened = (decoded: Uint8Array, header: CodestreamHeader, count: number): Uint16Array => {
  const bytesPerPixel = header.precisionBits > 8 ? 2 : 1;
  if (decoded.length < count * bytesPerPixel) {
    throw new RefusedFile("damaged", "The compressed picture ends early.");
  }
  if (bytesPerPixel === 2) return new Uint16Array(decoded.buffer, 0, count);
  const words = new Uint16Array(count);
  const extend = header.isSigned ? 0xff00 : 0;
  for (let index = 0; index < count; index += 1) {
    const value = decoded[index]!;
    words[index] = value & 0x80 ? value | extend : value;
  }
  return words;
};

const losslessMarker = 0xffc3;
const jpegLsMarker = 0xfff7;
const eightBitMarkers = [0xffc0, 0xffc1, 0xffc2];

/** Padding that may follow the end marker inside the last fragment. */
const mostPaddingBytes = 16;

/**
 * The stream up to its end marker (`ffd9` in all three formats). A stream without one is refused:
 * it is cut short, and the decoders would fill in grey or blur; the JPEG-LS decoder even counts
 * through four thousand million steps on some streams that stop within a byte or two of an `ff`.
 */
const upToEndMarker = (data: Uint8Array): Uint8Array => {
  for (let end = data.length; end >= 2 && end >= data.length - mostPaddingBytes; end -= 1) {
    if (data[end - 2] === 0xff && data[end - 1] === 0xd9) return data.subarray(0, end);
  }
  throw new RefusedFile("damaged", "The compressed picture ends early.");
};

const compressedWords = async (
  packing: PixelPacking,
  data: Uint8Array,
  format: PixelFormat,
  limits: ReadLimits,
): Promise<Uint16Array> => {
  const count = format.rows * format.columns;
  if (packing === "rle") return decodeRle(data, count, format.bitsAllocated === 8 ? 1 : 2);
  const header = packing === "jpeg-2000" ? readJpeg2000Header(data) : readJpegHeader(data);
  checkCodestream(header, format);
  const wrongKind = new RefusedFile(
    "damaged",
    "The compressed picture is of another kind than the file says.",
  );
  if (packing === "jpeg-lossless") {
    if (header.frameMarker !== losslessMarker) throw wrongKind;
    return decodeJpegLossless(data);
  }
  if (packing === "jpeg-ls" && header.frameMarker !== jpegLsMarker) throw wrongKind;
  if (packing === "jpeg-baseline") {
    if (!eightBitMarkers.includes(header.frameMarker ?? 0)) throw wrongKind;
    if (header.precisionBits !== 8) throw refusePixels("Only 8-bit lossy JPEG is read.");
  }
  if (packing === "native-little" || packing === "native-big") throw wrongKind;
  const decoded = await decodeWithWasm(packing, upToEndMarker(data), limits.maxDecoderBytes);
  return widened(decoded, header, count);
};

/** Keeps the stored bits of each word and extends the sign; anything above is overlay or padding. */
const storedValues = (words: Uint16Array, format: PixelFormat): Uint16Array | Int16Array => {
  const shift = format.highBit + 1 - format.bitsStored;
  if (format.isSigned) {
    const left = 32 - format.bitsStored - shift;
    const right = 32 - format.bitsStored;
    const values = new Int16Array(words.length);
    for (let index = 0; index < words.length; index += 1) {
      values[index] = (words[index]! << left) >> right;
    }
    return values;
  }
  const mask = 2 ** format.bitsStored - 1;
  if (shift === 0 && format.bitsStored === 16) return words;
  for (let index = 0; index < words.length; index += 1) {
    words[index] = (words[index]! >> shift) & mask;
  }
  return words;
};

/**
 * Unpacks the stored pixel values, before rescale and polarity.
 * Throws {@link RefusedFile}; the sides must have passed {@link readPixelFormat}.
 */
export const readPixels = async (
  structure: DicomStructure,
  format: PixelFormat,
  limits: ReadLimits,
): Promise<Uint16Array | Int16Array> => {
  const { transferSyntax, dataSet, bytes } = structure;
  const packing = packingOfTransferSyntax[transferSyntax];
  if (packing === undefined) {
    throw new RefusedFile(
      "unsupported-compression",
      `No decoder for transfer syntax ${transferSyntax.slice(0, 64)}.`,
    );
  }
  const element = dataSet.elements["x7fe00010"];
  if (element === undefined) throw new RefusedFile("no-pixels", "There is no picture.");
  if (packing === "native-little" || packing === "native-big") {
    const data = bytesOfElement(bytes, element);
    const isSwapped =
      packing === "native-big" && (format.bitsAllocated === 16 || element.vr === "OW");
    return storedValues(nativeWords(data, format, isSwapped), format);
  }
  const data = fragmentsOf(structure, element);
  return storedValues(await compressedWords(packing, data, format, limits), format);
};
