import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { RefusedFile } from "../film/read-result.ts";

const require = createRequire(import.meta.url);

/** The decoders that come as WebAssembly, with where to find them. */
const codecs = {
  "jpeg-ls": { package: "@cornerstonejs/codec-charls", decoder: "JpegLSDecoder" },
  "jpeg-2000": { package: "@cornerstonejs/codec-openjpeg", decoder: "J2KDecoder" },
  "jpeg-baseline": { package: "@cornerstonejs/codec-libjpeg-turbo-8bit", decoder: "JPEGDecoder" },
} as const;

export type WasmCodec = keyof typeof codecs;

interface Decoder {
  readonly getEncodedBuffer: (length: number) => Uint8Array;
  readonly decode: () => void;
  readonly getDecodedBuffer: () => Uint8Array;
}

type WasmModule = object;

interface WasmInstance {
  readonly exports: Readonly<Record<string, unknown>>;
}

interface WasmMemory {
  readonly buffer: ArrayBuffer;
  grow: (pages: number) => number;
}

/** The part of the platform's WebAssembly that is used; its own types come only with the browser's. */
declare const WebAssembly: {
  readonly Module: new (bytes: Uint8Array) => WasmModule;
  readonly Instance: new (module: WasmModule, imports: object) => WasmInstance;
  readonly Memory: new () => WasmMemory;
};

type Instantiate = (imports: object, receive: (instance: WasmInstance) => void) => object;

type Factory = (options: {
  readonly print: () => void;
  readonly printErr: () => void;
  readonly instantiateWasm: Instantiate;
}) => Promise<Record<string, new () => Decoder>>;

const compiled = new Map<WasmCodec, WasmModule>();

const moduleOf = (codec: WasmCodec): WasmModule => {
  const known = compiled.get(codec);
  if (known !== undefined) return known;
  const path = require.resolve(`${codecs[codec].package}/decodewasm`);
  const module = new WebAssembly.Module(readFileSync(path));
  compiled.set(codec, module);
  return module;
};

/** The codecs grow their memory through JavaScript; growth past the ceiling fails like any lack of memory. */
const capMemory = (instance: WasmInstance, maxBytes: number): void => {
  for (const item of Object.values(instance.exports)) {
    if (!(item instanceof WebAssembly.Memory)) continue;
    const grow = item.grow.bind(item);
    item.grow = (pages) => {
      if (item.buffer.byteLength + pages * 65_536 > maxBytes) {
        throw new RangeError("decoder memory ceiling");
      }
      return grow(pages);
    };
  }
};

/**
 * Decodes one picture in an instance of its own, so that a failed decode can neither leak into
 * the next one nor leave a broken decoder behind. Returns the decoder's bytes (8-bit, or 16-bit
 * little endian). Throws whatever the decoder throws.
 */
export const decodeWithWasm = async (
  codec: WasmCodec,
  data: Uint8Array,
  maxMemoryBytes: number,
): Promise<Uint8Array> => {
  const factory = require(`${codecs[codec].package}/decodewasmjs`) as Factory;
  const module = moduleOf(codec);
  const decoders = await factory({
    print: () => undefined,
    printErr: () => undefined,
    instantiateWasm: (imports, receive) => {
      const instance = new WebAssembly.Instance(module, imports);
      capMemory(instance, maxMemoryBytes);
      receive(instance);
      return instance.exports;
    },
  });
  const Decoder = decoders[codecs[codec].decoder];
  if (Decoder === undefined) throw new RefusedFile("decoder-stopped", "The decoder is missing.");
  const decoder = new Decoder();
  decoder.getEncodedBuffer(data.length).set(data);
  try {
    decoder.decode();
  } catch (error) {
    // C++ exceptions surface as bare numbers or opaque objects.
    const message = error instanceof Error ? error.message : "the decoder gave up";
    throw new RefusedFile("damaged", `The compressed picture is damaged: ${message}.`);
  }
  const decoded = decoder.getDecodedBuffer();
  // Copied: the memory belongs to the instance, which is dropped here.
  return new Uint8Array(new Uint8Array(decoded.buffer, decoded.byteOffset, decoded.byteLength));
};
