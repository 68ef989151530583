import { RefusedFile } from "../film/read-result.ts";

const damaged = (what: string): RefusedFile =>
  new RefusedFile("damaged", `The JPEG lossless picture is damaged: ${what}.`);

/** Canonical Huffman code in the form of T.81 §F.2.2.3, with a table for short codes in front. */
interface HuffmanTable {
  /** `length << 8 | symbol` for every 8-bit prefix that a code of up to 8 bits decides, else 0. */
  readonly short: Uint16Array;
  readonly maxCode: Int32Array;
  readonly offset: Int32Array;
  readonly symbols: Uint8Array;
}

const shortBits = 8;

const buildTable = (counts: Uint8Array, symbols: Uint8Array): HuffmanTable => {
  const short = new Uint16Array(1 << shortBits);
  const maxCode = new Int32Array(17).fill(-1);
  const offset = new Int32Array(17);
  let code = 0;
  let index = 0;
  for (let length = 1; length <= 16; length += 1) {
    const count = counts[length - 1]!;
    offset[length] = index - code;
    for (let taken = 0; taken < count; taken += 1, code += 1, index += 1) {
      if (code >= 1 << length) throw damaged("impossible code table");
      if (length > shortBits) continue;
      const first = code << (shortBits - length);
      short.fill((length << 8) | symbols[index]!, first, first + (1 << (shortBits - length)));
    }
    if (count > 0) maxCode[length] = code - 1;
    code <<= 1;
  }
  return { short, maxCode, offset, symbols };
};

const readTables = (segment: Uint8Array, tables: Map<number, HuffmanTable>): void => {
  let position = 0;
  while (position + 17 <= segment.length) {
    const identity = segment[position]!;
    const counts = segment.subarray(position + 1, position + 17);
    const total = counts.reduce((sum, count) => sum + count, 0);
    const end = position + 17 + total;
    if (end > segment.length) throw damaged("code table cut short");
    tables.set(identity & 0x0f, buildTable(counts, segment.subarray(position + 17, end)));
    position = end;
  }
};

interface Scan {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly precisionBits: number;
  readonly predictor: number;
  readonly pointTransform: number;
  readonly restartInterval: number;
  readonly table: HuffmanTable;
  readonly dataStart: number;
}

const readScan = (data: Uint8Array): Scan => {
  const view = new DataView(data.buffer, data.byteOffset, data.byteLength);
  const tables = new Map<number, HuffmanTable>();
  let frame: { widthPx: number; heightPx: number; precisionBits: number } | undefined;
  let restartInterval = 0;
  let position = 2;
  while (position + 4 <= data.length) {
    const marker = view.getUint16(position);
    if (marker === 0xffff) {
      position += 1;
      continue;
    }
    const length = view.getUint16(position + 2);
    const end = position + 2 + length;
    if (marker < 0xffc0 || length < 2 || end > data.length) break;
    const segment = data.subarray(position + 4, end);
    if (marker === 0xffc4) readTables(segment, tables);
    if (marker === 0xffdd && segment.length >= 2) restartInterval = view.getUint16(position + 4);
    if (marker === 0xffc3) {
      if (segment.length < 9 || segment[5] !== 1) throw damaged("not a single grey picture");
      frame = {
        precisionBits: segment[0]!,
        heightPx: view.getUint16(position + 5),
        widthPx: view.getUint16(position + 7),
      };
    }
    if (marker === 0xffda) {
      if (segment.length < 6 || frame === undefined || segment[0] !== 1) break;
      const table = tables.get(segment[2]! >> 4);
      const predictor = segment[3]!;
      const pointTransform = segment[5]! & 0x0f;
      const { precisionBits } = frame;
      if (
        table === undefined ||
        predictor < 1 ||
        predictor > 7 ||
        precisionBits < 2 ||
        precisionBits > 16 ||
        pointTransform >= precisionBits
      ) {
        break;
      }
      return { ...frame, predictor, pointTransform, restartInterval, table, dataStart: end };
    }
    position = end;
  }
  throw damaged("no readable scan");
};

/** Bits of the entropy-coded segment, most significant first, with stuffed zero bytes removed. */
interface BitReader {
  readonly peek8: () => number;
  readonly take: (count: number) => number;
  readonly skipToRestart: () => void;
}

/** Zero bytes that may be made up after the end; the last code may lean on padding, no more. */
const paddingBytes = 4;

const bitReader = (data: Uint8Array, start: number): BitReader => {
  let position = start;
  let held = 0;
  let heldBits = 0;
  let madeUp = 0;
  const fill = (wanted: number): void => {
    while (heldBits < wanted) {
      let byte = data[position];
      if (byte === 0xff && data[position + 1] === 0) {
        position += 2;
      } else if (byte === undefined || byte === 0xff) {
        madeUp += 1;
        if (madeUp > paddingBytes) throw damaged("the data end early");
        byte = 0;
      } else {
        position += 1;
      }
      held = ((held << 8) | byte) & 0xffffff;
      heldBits += 8;
    }
  };
  return {
    peek8: () => {
      fill(8);
      return (held >> (heldBits - 8)) & 0xff;
    },
    take: (count) => {
      fill(count);
      heldBits -= count;
      return (held >> heldBits) & ((1 << count) - 1);
    },
    skipToRestart: () => {
      held = 0;
      heldBits = 0;
      madeUp = 0;
      while (data[position] === 0xff && data[position + 1] === 0xff) position += 1;
      const marker = data[position + 1];
      if (data[position] !== 0xff || marker === undefined || marker < 0xd0 || marker > 0xd7) {
        throw damaged("a restart marker is missing");
      }
      position += 2;
    },
  };
};

const readSymbol = (bits: BitReader, table: HuffmanTable): number => {
  const known = table.short[bits.peek8()]!;
  if (known !== 0) {
    bits.take(known >> 8);
    return known & 0xff;
  }
  let code = 0;
  for (let length = 1; length <= 16; length += 1) {
    code = (code << 1) | bits.take(1);
    if (code <= table.maxCode[length]!) {
      const symbol = table.symbols[code + table.offset[length]!];
      if (symbol !== undefined) return symbol;
    }
  }
  throw damaged("unknown code");
};

const readDifference = (bits: BitReader, table: HuffmanTable): number => {
  const size = readSymbol(bits, table);
  if (size === 0) return 0;
  if (size === 16) return 32_768;
  if (size > 16) throw damaged("impossible difference");
  const raw = bits.take(size);
  return raw < 1 << (size - 1) ? raw - (1 << size) + 1 : raw;
};

/** source: ITU-T T.81 table H.1. `a` is the neighbour to the left, `b` above, `c` above left. */
const predict = (predictor: number, a: number, b: number, c: number): number => {
  switch (predictor) {
    case 1:
      return a;
    case 2:
      return b;
    case 3:
      return c;
    case 4:
      return a + b - c;
    case 5:
      return a + ((b - c) >> 1);
    case 6:
      return b + ((a - c) >> 1);
    default:
      return (a + b) >> 1;
  }
};

/**
 * Decodes a single-component JPEG lossless picture (process 14, any predictor, Huffman).
 * The stream's own sides must already have been checked against the limits.
 * source: ITU-T T.81 annex H. Throws {@link RefusedFile} on any damage, early end included.
 */
export const decodeJpegLossless = (data: Uint8Array): Uint16Array => {
  const scan = readScan(data);
  const { widthPx, heightPx, predictor, pointTransform, restartInterval, table } = scan;
  const bits = bitReader(data, scan.dataStart);
  const pixels = new Uint16Array(widthPx * heightPx);
  const firstPrediction = 1 << (scan.precisionBits - pointTransform - 1);
  if (restartInterval % widthPx !== 0) throw damaged("restarts inside a row");
  const rowsPerRestart = restartInterval / widthPx;
  for (let row = 0; row < heightPx; row += 1) {
    const isRestart = rowsPerRestart > 0 && row > 0 && row % rowsPerRestart === 0;
    if (isRestart) bits.skipToRestart();
    const isFirstRow = row === 0 || isRestart;
    const start = row * widthPx;
    for (let column = 0; column < widthPx; column += 1) {
      const at = start + column;
      let prediction: number;
      if (isFirstRow) prediction = column === 0 ? firstPrediction : pixels[at - 1]!;
      else if (column === 0) prediction = pixels[at - widthPx]!;
      else {
        const above = at - widthPx;
        prediction = predict(predictor, pixels[at - 1]!, pixels[above]!, pixels[above - 1]!);
      }
      pixels[at] = prediction + readDifference(bits, table);
    }
  }
  return pointTransform === 0 ? pixels : pixels.map((value) => value << pointTransform);
};
