import { createWriteStream } from "node:fs";
import { open, rename, rm } from "node:fs/promises";
import { PassThrough, Readable, type Writable } from "node:stream";
import { finished, pipeline } from "node:stream/promises";
import yauzl from "yauzl";
import yazl from "yazl";

/** A ZIP that is being written, one file after the other. */
export interface ArchiveWriter {
  /** Ends when the bytes have gone on their way, so that a slow taker slows the maker down. */
  readonly add: (path: string, bytes: Uint8Array) => Promise<void>;
  /** Writes the list of contents. */
  readonly finish: () => Promise<void>;
}

/** The same contents give the same bytes, whenever they are packed. */
const PACKED_AT = new Date("2000-01-01T00:00:00Z");
/** Compressed already, or too noisy to gain anything. */
const STORED = /\.(?:dcm|jpe?g|png|pdf)$|^blobs\//u;

/** Begins a ZIP (with its 64-bit form where needed) that flows into `output`. */
const writeZip = (output: Writable): ArchiveWriter => {
  const zip = new yazl.ZipFile();
  const flown = pipeline(zip.outputStream, output);
  // Whoever waits for the end is told; nobody else has to be.
  flown.catch(() => undefined);
  return {
    add: (path, bytes) =>
      Promise.race([
        flown,
        new Promise<void>((resolve, reject) => {
          const options = { mtime: PACKED_AT, mode: 0o100644, compress: !STORED.test(path) };
          zip.addReadStreamLazy(path, options, (give) => {
            const source = Readable.from([Buffer.from(bytes)], { objectMode: false });
            finished(source).then(resolve, reject);
            give(null, source);
          });
        }),
      ]),
    finish: async () => {
      zip.end();
      await flown;
    },
  };
};

/** Writes a ZIP as a file that appears whole or not at all, and is on the disk before this ends. */
export const writeZipFile = async <T>(
  path: string,
  fill: (zip: ArchiveWriter) => Promise<T>,
): Promise<T> => {
  const draft = `${path}.partial`;
  try {
    const zip = writeZip(createWriteStream(draft, { mode: 0o600, flush: true }));
    const result = await fill(zip);
    await zip.finish();
    const file = await open(draft);
    await file.sync();
    await file.close();
    await rename(draft, path);
    return result;
  } catch (error) {
    await rm(draft, { force: true });
    throw error;
  }
};

/** A ZIP as a stream, for sending; a failure on the way breaks the stream off. */
export const streamZip = (fill: (zip: ArchiveWriter) => Promise<void>): Readable => {
  const output = new PassThrough();
  const zip = writeZip(output);
  fill(zip)
    .then(() => zip.finish())
    .catch((error: unknown) =>
      output.destroy(error instanceof Error ? error : new Error(String(error))),
    );
  return output;
};

/** A ZIP to read from. */
export interface ArchiveReader {
  /** In the order of the list of contents; a path that stands there twice is here twice. */
  readonly paths: readonly string[];
  /** @throws when there is no such file, or its bytes do not fit its checksum. */
  readonly read: (path: string) => Promise<Buffer>;
  readonly close: () => void;
}

/** Larger single files are no part of an archive of ours. */
const LARGEST_BYTES = 2 ** 31 - 1;

/** Opens a ZIP by its list of contents. @throws when it is none or is cut short. */
export const openZip = async (source: string | Buffer): Promise<ArchiveReader> => {
  const zip = await new Promise<yauzl.ZipFile>((resolve, reject) => {
    const options = { lazyEntries: true, autoClose: false, validateEntrySizes: true } as const;
    const opened = (error: Error | null, file?: yauzl.ZipFile): void =>
      file === undefined ? reject(error ?? new Error("not a ZIP")) : resolve(file);
    if (typeof source === "string") yauzl.open(source, options, opened);
    else yauzl.fromBuffer(source, options, opened);
  });
  const entries: yauzl.Entry[] = [];
  await new Promise<void>((resolve, reject) => {
    zip.on("entry", (entry: yauzl.Entry) => {
      entries.push(entry);
      zip.readEntry();
    });
    zip.once("end", resolve);
    zip.once("error", reject);
    zip.readEntry();
  });
  const byPath = new Map(entries.map((entry) => [entry.fileName, entry]));
  return {
    paths: entries.map((entry) => entry.fileName),
    read: async (path) => {
      const entry = byPath.get(path);
      if (entry === undefined) throw new Error(`the archive holds no ${path}`);
      if (entry.uncompressedSize > LARGEST_BYTES) throw new Error(`${path} is too large`);
      return new Promise<Buffer>((resolve, reject) => {
        zip.openReadStream(entry, (error, stream) => {
          if (error !== null) {
            reject(error);
            return;
          }
          const chunks: Buffer[] = [];
          // Listened to directly: the library's streams from a file do not close after their end.
          stream.on("data", (chunk: Buffer) => void chunks.push(chunk));
          stream.once("error", reject);
          stream.once("end", () => resolve(Buffer.concat(chunks)));
        });
      });
    },
    close: () => zip.close(),
  };
};
