import type { Element } from "dicom-parser";
import {
  asReadResult,
  checkByteCount,
  defaultReadLimits,
  type ReadLimits,
  type ReadResult,
} from "../film/read-result.ts";
import { parseStructure, type DicomStructure } from "./structure.ts";
import { bigEndianTransferSyntax, implicitTransferSyntax } from "./transfer-syntax.ts";

/** Entries that must stay but may be empty (type 2 of the patient and study modules). */
const emptied = new Set([
  "x00080050", // accession number
  "x00080090", // referring physician
  "x00100010", // patient's name
  "x00100020", // patient id
  "x00100030", // birth date
  "x00102297", // responsible person
  "x00102299", // responsible organization
  "x00200010", // study id
]);

/**
 * Sequences that describe the picture and carry no names. Every other sequence is dropped whole:
 * a sequence may hold people, addresses or requests at any depth.
 */
const keptSequences = new Set([
  "x00082218", // anatomic region
  "x00089215", // derivation code
  "x00102202", // species
  "x00102293", // breed
  "x00102294", // breed registration stays only if empty
  "x00283000", // modality table
  "x00283010", // display table
  "x00400555", // acquisition context stays only if empty
  "x00540220", // view
]);
const keptOnlyWhenEmpty = new Set(["x00102294", "x00400555"]);

/** Patient entries that do not identify: sex, species, breed, neutered, orientation type. */
const keptPatientEntries = new Set([
  "x00100040",
  "x00102201",
  "x00102203",
  "x00102210",
  "x00102292",
]);

/** Places, people, machines by serial number, and free text, outside group 0010. */
const removed = new Set([
  "x00080080",
  "x00080081",
  "x00080092",
  "x00080094",
  "x00081010",
  "x00081030",
  "x00081040",
  "x00081048",
  "x00081050",
  "x00081060",
  "x00081070",
  "x0008103e",
  "x00081080",
  "x00082111",
  "x00084000",
  "x00181000",
  "x00181004",
  "x00181007",
  "x00181030",
  "x00181400",
  "x00184000",
  "x00204000",
  "x00321032",
  "x00321060",
  "x00324000",
  "x00380010",
  "x00400006",
  "x00400007",
  "x00400241",
  "x00400242",
  "x00400253",
  "x00400254",
  "x00400280",
  "x00402016",
  "x00402017",
]);

const metaKept = new Set([0x0001, 0x0002, 0x0003, 0x0010, 0x0012, 0x0013]);

type Fate = "keep" | "empty" | "drop";

const fateOf = (element: Element): Fate => {
  const { tag } = element;
  const group = Number.parseInt(tag.slice(1, 5), 16);
  if (emptied.has(tag)) return "empty";
  // Private entries, stale group lengths, curves, overlays and trailing padding may hide text.
  if (group % 2 === 1 || tag.endsWith("0000")) return "drop";
  if ((group >= 0x5000 && group <= 0x501e) || (group >= 0x6000 && group <= 0x601e)) return "drop";
  if (group === 0xfffc || group === 0x4008 || group === 0x0400) return "drop";
  if (removed.has(tag) || tag === "x00120062" || tag === "x00120063") return "drop";
  if (element.items !== undefined || element.vr === "SQ") {
    if (keptOnlyWhenEmpty.has(tag)) return (element.items ?? []).length === 0 ? "keep" : "drop";
    return keptSequences.has(tag) ? "keep" : "drop";
  }
  if (group === 0x0010) return keptPatientEntries.has(tag) ? "keep" : "drop";
  return "keep";
};

interface Encoding {
  readonly isBigEndian: boolean;
  readonly isImplicit: boolean;
}

const tagBytes = (tag: string, { isBigEndian }: Encoding): number[] => {
  const bytes = [1, 3, 5, 7].map((at) => Number.parseInt(tag.slice(at, at + 2), 16));
  return isBigEndian ? bytes : [bytes[1]!, bytes[0]!, bytes[3]!, bytes[2]!];
};

const shortElement = (tag: string, vr: string, text: string, encoding: Encoding): Uint8Array => {
  const value = [...new TextEncoder().encode(text.padEnd(text.length + (text.length % 2), " "))];
  const length = value.length;
  const size = encoding.isBigEndian ? [0, length] : [length, 0];
  const header = encoding.isImplicit
    ? [length, 0, 0, 0]
    : [vr.charCodeAt(0), vr.charCodeAt(1), ...size];
  return Uint8Array.from([...tagBytes(tag, encoding), ...header, ...value]);
};

const vrOfEmptied = (element: Element): string => {
  if (element.vr !== undefined) return element.vr;
  return "LO";
};

const strippedDataSet = (structure: DicomStructure): Uint8Array[] => {
  const { bytes, dataSet, transferSyntax, dataSetStart } = structure;
  const encoding: Encoding = {
    isBigEndian: transferSyntax === bigEndianTransferSyntax,
    isImplicit: transferSyntax === implicitTransferSyntax,
  };
  const statement = [
    shortElement("x00120062", "CS", "YES", encoding),
    shortElement("x00120063", "LO", "Patient, owner and practice entries removed", encoding),
  ];
  const elements = Object.values(dataSet.elements).toSorted((a, b) => a.dataOffset - b.dataOffset);
  const parts: Uint8Array[] = [];
  let start = dataSetStart;
  let isStated = false;
  for (const element of elements) {
    // The parser reports where data begin and end; the header is what lies since the last end.
    const end = Math.min(bytes.length, endOf(element));
    if (!isStated && element.tag > "x00120063") {
      parts.push(...statement);
      isStated = true;
    }
    const fate = fateOf(element);
    if (fate === "keep") parts.push(bytes.subarray(start, end));
    if (fate === "empty") parts.push(shortElement(element.tag, vrOfEmptied(element), "", encoding));
    start = end;
  }
  return isStated ? parts : [...parts, ...statement];
};

/** Sequences and items of undefined length end with an 8-byte delimiter that the length leaves out. */
const endOf = (element: Element): number => {
  const isSequence = element.items !== undefined;
  const delimiter = isSequence && element.hadUndefinedLength === true ? 8 : 0;
  return element.dataOffset + element.length + delimiter;
};

const strippedMeta = ({ bytes, meta }: DicomStructure): Uint8Array[] => {
  const kept = meta
    .filter(({ element }) => metaKept.has(element))
    .map(({ start, end }) => bytes.subarray(start, end));
  const length = kept.reduce((sum, part) => sum + part.length, 0);
  const groupLength = new Uint8Array(12);
  const view = new DataView(groupLength.buffer);
  view.setUint16(0, 0x0002, true);
  view.setUint8(4, 0x55);
  view.setUint8(5, 0x4c);
  view.setUint16(6, 4, true);
  view.setUint32(8, length, true);
  return [groupLength, ...kept];
};

/**
 * A copy without horse, owner, people, places, private entries and free text; the pixels are
 * carried over byte for byte in the same compression, and spacing, view and side stay. Unique
 * identifiers stay too, so that the copy can be traced back by whoever holds the original. Text
 * burned into the picture cannot be removed here: look at `burnedInAnnotation` and at the film.
 * source: the basic profile of DICOM PS3.15 annex E, with UIDs, dates and device kind retained.
 */
export const stripIdentity = (
  bytes: Uint8Array,
  limits: ReadLimits = defaultReadLimits,
): Promise<ReadResult<Uint8Array>> =>
  asReadResult(() => {
    checkByteCount(bytes.length, limits);
    const structure = parseStructure(bytes, limits);
    const preamble = new Uint8Array(132);
    preamble.set([0x44, 0x49, 0x43, 0x4d], 128);
    const parts = [preamble, ...strippedMeta(structure), ...strippedDataSet(structure)];
    const copy = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
    let position = 0;
    for (const part of parts) {
      copy.set(part, position);
      position += part.length;
    }
    return copy;
  });
