import type { DataSet, Element } from "dicom-parser";
import { RefusedFile } from "../film/read-result.ts";
import { bytesOfElement } from "./structure.ts";

/** A modality or VOI lookup table. source: DICOM PS3.3 C.11.1.1 and C.11.2.1.1. */
export interface LookupTable {
  /** Input value that the first entry belongs to; lower inputs take the first entry. */
  readonly firstInput: number;
  readonly outputBits: number;
  readonly entries: Uint16Array;
}

const wordsOf = (item: DataSet, bytes: Uint8Array, element: Element): Uint16Array => {
  const data = bytesOfElement(bytes, element);
  const parser = element.parser ?? item.byteArrayParser;
  return Uint16Array.from({ length: data.length >> 1 }, (_, index) =>
    parser.readUint16(bytes, element.dataOffset + 2 * index),
  );
};

/**
 * Reads the first table of a LUT sequence, or nothing where the sequence is absent.
 * `isInputSigned` says how to read the first input value.
 */
export const readLookupTable = (
  dataSet: DataSet,
  bytes: Uint8Array,
  sequenceTag: "x00283000" | "x00283010",
  isInputSigned: boolean,
): LookupTable | undefined => {
  const item = dataSet.elements[sequenceTag]?.items?.[0]?.dataSet;
  const descriptor = item?.elements["x00283002"];
  const data = item?.elements["x00283006"];
  if (item === undefined || descriptor === undefined || data === undefined) return undefined;
  const [countWord, firstWord, outputBits] = [0, 1, 2].map(
    (at) => item.uint16("x00283002", at) ?? 0,
  );
  const count = countWord === 0 ? 65_536 : countWord!;
  if (outputBits! < 8 || outputBits! > 16) {
    throw new RefusedFile("damaged", `A lookup table of ${outputBits} bits is not allowed.`);
  }
  const isPackedInBytes = data.length < 2 * count;
  const entries = isPackedInBytes
    ? Uint16Array.from(bytesOfElement(bytes, data))
    : wordsOf(item, bytes, data).subarray(0, count);
  if (entries.length < count) throw new RefusedFile("damaged", "A lookup table ends early.");
  const firstInput = isInputSigned && firstWord! > 32_767 ? firstWord! - 65_536 : firstWord!;
  return { firstInput, outputBits: outputBits!, entries: entries.subarray(0, count) };
};

/** The table's answer for one input, clamped at both ends. */
export const lookUp = (table: LookupTable, input: number): number => {
  const index = Math.min(
    table.entries.length - 1,
    Math.max(0, Math.round(input - table.firstInput)),
  );
  return table.entries[index] ?? 0;
};
