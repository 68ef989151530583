import { RefusedFile } from "../film/read-result.ts";

/** What a compressed picture says of itself, read before any decoder is given it. */
export interface CodestreamHeader {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly components: number;
  readonly precisionBits: number;
  readonly isSigned: boolean;
  /** JPEG process as the low nibble of the frame marker; absent for JPEG 2000. */
  readonly frameMarker?: number;
}

const damaged = (what: string): RefusedFile =>
  new RefusedFile("damaged", `The compressed picture is damaged: ${what}.`);

const startOfImage = 0xffd8;
const startOfScan = 0xffda;
const endOfImage = 0xffd9;

/** Frame markers: SOF0–SOF15 without DHT (c4), JPG (c8) and DAC (cc), and SOF55 of JPEG-LS (f7). */
const isFrameMarker = (marker: number): boolean =>
  marker === 0xfff7 ||
  (marker >= 0xffc0 && marker <= 0xffcf && ![0xffc4, 0xffc8, 0xffcc].includes(marker));

/**
 * Reads the frame header of a JPEG or JPEG-LS stream.
 * source: ITU-T T.81 §B.2.2 and ITU-T T.87 annex C.
 */
export const readJpegHeader = (data: Uint8Array): CodestreamHeader => {
  const view = new DataView(data.buffer, data.byteOffset, data.byteLength);
  if (data.length < 4 || view.getUint16(0) !== startOfImage) throw damaged("no start marker");
  let position = 2;
  while (position + 4 <= data.length) {
    const marker = view.getUint16(position);
    if (marker === 0xffff) {
      position += 1;
      continue;
    }
    if (marker < 0xff00 || marker === startOfScan || marker === endOfImage) break;
    const length = view.getUint16(position + 2);
    if (isFrameMarker(marker)) {
      if (position + 10 > data.length) break;
      return {
        precisionBits: view.getUint8(position + 4),
        heightPx: view.getUint16(position + 5),
        widthPx: view.getUint16(position + 7),
        components: view.getUint8(position + 9),
        isSigned: false,
        frameMarker: marker,
      };
    }
    if (length < 2) break;
    position += 2 + length;
  }
  throw damaged("no frame header");
};

const codestreamStart = (data: Uint8Array): number => {
  if (data[0] === 0xff && data[1] === 0x4f) return 0;
  // Some senders wrap the codestream in a JP2 file; the codestream begins at SOC followed by SIZ.
  const searched = Math.min(data.length - 4, 4096);
  for (let index = 0; index < searched; index += 1) {
    if (
      data[index] === 0xff &&
      data[index + 1] === 0x4f &&
      data[index + 2] === 0xff &&
      data[index + 3] === 0x51
    ) {
      return index;
    }
  }
  throw damaged("no JPEG 2000 codestream");
};

/** More tiles than this is no film but an attack on the decoder's memory; house rule. */
const maxTiles = 4096;

/**
 * Reads the SIZ segment of a JPEG 2000 codestream.
 * source: ITU-T T.800 §A.5.1.
 */
export const readJpeg2000Header = (data: Uint8Array): CodestreamHeader => {
  const start = codestreamStart(data);
  const view = new DataView(data.buffer, data.byteOffset, data.byteLength);
  if (start + 45 > data.length || view.getUint16(start + 2) !== 0xff51) throw damaged("no size");
  const at = (offset: number): number => view.getUint32(start + offset);
  const right = at(8);
  const bottom = at(12);
  const left = at(16);
  const top = at(20);
  const tileWidth = at(24);
  const tileHeight = at(28);
  const components = view.getUint16(start + 40);
  if (tileWidth === 0 || tileHeight === 0 || right <= left || bottom <= top) throw damaged("size");
  const tiles = Math.ceil((right - left) / tileWidth) * Math.ceil((bottom - top) / tileHeight);
  if (tiles > maxTiles) throw damaged("too many tiles");
  const depth = view.getUint8(start + 42);
  const isSubsampled = view.getUint8(start + 43) !== 1 || view.getUint8(start + 44) !== 1;
  if (isSubsampled) throw damaged("subsampled");
  return {
    widthPx: right - left,
    heightPx: bottom - top,
    components,
    precisionBits: (depth & 0x7f) + 1,
    isSigned: (depth & 0x80) !== 0,
  };
};
