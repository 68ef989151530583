/**
 * Why a file was refused.
 * - `too-large`: more bytes than allowed
 * - `unknown-type`: the first bytes match no kind of film that can be read
 * - `damaged`: the file contradicts itself or ends early
 * - `unsupported-compression`: a compression that no decoder here reads faithfully
 * - `unsupported-pixels`: colour, floating point or a bit depth outside 8–16
 * - `no-pixels`: there is no picture in it
 * - `too-many-frames`: more than one picture
 * - `dimensions`: a side or the area is over the limit, or zero
 * - `nested-too-deep`: sequences inside sequences beyond the limit
 * - `too-many-elements`: more entries than an honest film has
 * - `out-of-time`, `out-of-memory`: the decoder was stopped
 * - `decoder-stopped`: the decoder ended without an answer
 */
export type RefusalReason =
  | "too-large"
  | "unknown-type"
  | "damaged"
  | "unsupported-compression"
  | "unsupported-pixels"
  | "no-pixels"
  | "too-many-frames"
  | "dimensions"
  | "nested-too-deep"
  | "too-many-elements"
  | "out-of-time"
  | "out-of-memory"
  | "decoder-stopped";

/** A file that will not be read, with one plain sentence for the person who sent it. */
export interface Refusal {
  readonly ok: false;
  readonly reason: RefusalReason;
  readonly detail: string;
}

/** What was read, or why not. Reading never throws. */
export type ReadResult<T> = { readonly ok: true; readonly value: T } | Refusal;

/** Ceilings that hold before anything is allocated. */
export interface ReadLimits {
  readonly maxBytes: number;
  readonly maxSidePx: number;
  readonly maxPixels: number;
  /** Working memory of a decompressor. */
  readonly maxDecoderBytes: number;
  readonly maxSequenceDepth: number;
  /** 16- and 32-bit words that the structure parser may read; an honest film needs a few thousand. */
  readonly maxStructureReads: number;
}

/**
 * House rule: three to four times the largest plates on sale (about 4300 × 4300 at 16 bit),
 * so no honest film meets a ceiling.
 */
export const defaultReadLimits: ReadLimits = {
  maxBytes: 160 * 2 ** 20,
  maxSidePx: 12_000,
  maxPixels: 64_000_000,
  maxDecoderBytes: 1024 * 2 ** 20,
  maxSequenceDepth: 12,
  maxStructureReads: 600_000,
};

/** Carries a refusal out of nested readers; caught at the door of each public reader. */
export class RefusedFile extends Error {
  readonly reason: RefusalReason;

  constructor(reason: RefusalReason, detail: string) {
    super(detail);
    this.name = "RefusedFile";
    this.reason = reason;
  }
}

/**
 * Runs a reader and turns whatever it throws into a {@link Refusal}; parsers and decoders of
 * third parties throw strings, numbers and errors alike.
 */
export const asReadResult = async <T>(read: () => T | Promise<T>): Promise<ReadResult<T>> => {
  try {
    return { ok: true, value: await read() };
  } catch (error) {
    if (error instanceof RefusedFile) {
      return { ok: false, reason: error.reason, detail: error.message };
    }
    const message = error instanceof Error ? error.message : String(error);
    return {
      ok: false,
      reason: "damaged",
      detail: `The file is damaged: ${message.slice(0, 200)}`,
    };
  }
};

/** Refuses sides and areas that are zero, fractional or over the limits, before memory is taken. */
export const checkDimensions = (widthPx: number, heightPx: number, limits: ReadLimits): void => {
  const sides = [widthPx, heightPx];
  if (
    sides.some((side) => !Number.isInteger(side) || side < 1 || side > limits.maxSidePx) ||
    widthPx * heightPx > limits.maxPixels
  ) {
    throw new RefusedFile(
      "dimensions",
      `The picture is ${widthPx} × ${heightPx} pixels; the limit is ${limits.maxSidePx} a side and ${limits.maxPixels} in all.`,
    );
  }
};

/** Refuses more bytes than the limit. */
export const checkByteCount = (byteCount: number, limits: ReadLimits): void => {
  if (byteCount > limits.maxBytes) {
    throw new RefusedFile(
      "too-large",
      `The file has ${byteCount} bytes; the limit is ${limits.maxBytes}.`,
    );
  }
};
