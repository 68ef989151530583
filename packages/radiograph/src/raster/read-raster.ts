import sharp, { type Metadata, type Sharp } from "sharp";
import type { Film } from "../film/film.ts";
import {
  asReadResult,
  checkByteCount,
  checkDimensions,
  defaultReadLimits,
  RefusedFile,
  type ReadLimits,
  type ReadResult,
} from "../film/read-result.ts";

const pngMark = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a];
const jpegMark = [0xff, 0xd8, 0xff];

const beginsWith = (bytes: Uint8Array, mark: readonly number[]): boolean =>
  mark.every((byte, index) => bytes[index] === byte);

/** Which picture format the first bytes announce, whatever the file is called. */
export const rasterTypeOf = (bytes: Uint8Array): "png" | "jpeg" | undefined => {
  if (beginsWith(bytes, pngMark)) return "png";
  return beginsWith(bytes, jpegMark) ? "jpeg" : undefined;
};

/** The decoder with every ceiling set: damage fails, pixels are counted before they are unpacked. */
const openRaster = (bytes: Uint8Array, limits: ReadLimits): Sharp =>
  sharp(bytes, {
    failOn: "error",
    limitInputPixels: limits.maxPixels,
    ignoreIcc: true,
    animated: false,
  });

const checkRaster = async (bytes: Uint8Array, limits: ReadLimits): Promise<Metadata> => {
  checkByteCount(bytes.length, limits);
  const type = rasterTypeOf(bytes);
  if (type === undefined) {
    throw new RefusedFile("unknown-type", "This is neither a PNG nor a JPEG picture.");
  }
  const metadata = await openRaster(bytes, limits).metadata();
  if (metadata.format !== type)
    throw new RefusedFile("damaged", "The picture is not what it says.");
  checkDimensions(metadata.width, metadata.height, limits);
  return metadata;
};

/**
 * Reads a PNG or JPEG as a film: turned the right way up by its EXIF entry, colour reduced to
 * grey, 16-bit PNG kept at 16 bits. Nothing else of the file's metadata survives, and print
 * densities are not taken for a scale. Never throws.
 */
export const readRaster = (
  bytes: Uint8Array,
  limits: ReadLimits = defaultReadLimits,
): Promise<ReadResult<Film>> =>
  asReadResult(async () => {
    const metadata = await checkRaster(bytes, limits);
    const isDeep = metadata.depth === "ushort";
    const { data, info } = await openRaster(bytes, limits)
      .autoOrient()
      .removeAlpha()
      .toColourspace(isDeep ? "grey16" : "b-w")
      .raw({ depth: isDeep ? "ushort" : "uchar" })
      .toBuffer({ resolveWithObject: true });
    if (info.channels !== 1) throw new RefusedFile("unsupported-pixels", "Only grey is read.");
    const count = info.width * info.height;
    const pixels = isDeep
      ? new Uint16Array(data.buffer.slice(data.byteOffset, data.byteOffset + 2 * count))
      : Uint16Array.from(data);
    return {
      source: metadata.format === "png" ? "png" : "jpeg",
      widthPx: info.width,
      heightPx: info.height,
      bitsStored: isDeep ? 16 : 8,
      pixels,
      tags: {},
    };
  });

/**
 * The same picture without EXIF, position, comments and colour profile, turned the right way up.
 * PNG is rewritten without loss at its own depth; JPEG is packed again at high quality.
 */
export const withoutMetadata = (
  bytes: Uint8Array,
  limits: ReadLimits = defaultReadLimits,
): Promise<ReadResult<Uint8Array>> =>
  asReadResult(async () => {
    const { format } = await checkRaster(bytes, limits);
    const upright = openRaster(bytes, limits).autoOrient();
    const written =
      format === "png" ? upright.png() : upright.jpeg({ quality: 95, chromaSubsampling: "4:4:4" });
    return new Uint8Array(await written.toBuffer());
  });
