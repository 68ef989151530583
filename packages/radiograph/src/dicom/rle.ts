import { RefusedFile } from "../film/read-result.ts";

const headerBytes = 64;

/** Unpacks one PackBits segment into `target`; returns how many bytes it wrote. */
const unpackSegment = (segment: Uint8Array, target: Uint8Array): number => {
  let from = 0;
  let to = 0;
  while (from < segment.length && to < target.length) {
    const control = segment[from]!;
    from += 1;
    if (control === 128) continue;
    if (control < 128) {
      const literal = segment.subarray(from, from + Math.min(control + 1, target.length - to));
      target.set(literal, to);
      to += literal.length;
      from += control + 1;
    } else {
      if (from >= segment.length) break;
      const end = Math.min(target.length, to + 257 - control);
      target.fill(segment[from]!, to, end);
      to = end;
      from += 1;
    }
  }
  return to;
};

/**
 * Unpacks one DICOM RLE frame of single-sample pixels into 16-bit words (8-bit pixels are
 * widened). source: DICOM PS3.5 annex G.
 */
export const decodeRle = (
  data: Uint8Array,
  pixelCount: number,
  bytesPerPixel: 1 | 2,
): Uint16Array => {
  if (data.length < headerBytes) throw new RefusedFile("damaged", "The RLE header is cut short.");
  const view = new DataView(data.buffer, data.byteOffset, data.byteLength);
  const segments = view.getUint32(0, true);
  if (segments !== bytesPerPixel) {
    throw new RefusedFile("damaged", `RLE has ${segments} segments where ${bytesPerPixel} belong.`);
  }
  const words = new Uint16Array(pixelCount);
  const plane = new Uint8Array(pixelCount);
  for (let segment = 0; segment < segments; segment += 1) {
    const start = view.getUint32(4 + 4 * segment, true);
    const isLast = segment === segments - 1;
    const end = isLast ? data.length : view.getUint32(8 + 4 * segment, true);
    if (start < headerBytes || end < start || end > data.length) {
      throw new RefusedFile("damaged", "An RLE segment lies outside the picture.");
    }
    if (unpackSegment(data.subarray(start, end), plane) < pixelCount) {
      throw new RefusedFile("damaged", "An RLE segment ends early.");
    }
    // Most significant byte first.
    for (let index = 0; index < pixelCount; index += 1) {
      words[index] = (words[index]! << 8) | plane[index]!;
    }
  }
  return words;
};
