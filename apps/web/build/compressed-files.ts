import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";
import type { Plugin } from "vite";

/** What gains from being packed; fonts and pictures are packed already. */
const TEXT = /\.(?:js|css|html|svg|webmanifest|wasm)$/u;
/** Smaller files fit into one packet as they are. */
const LEAST_BYTES = 1_024;

const filesBelow = (folder: string): readonly string[] =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name));

/**
 * Packs every text of the finished dashboard once, as tightly as it goes, beside the file itself:
 * the service sends what the browser takes and packs nothing while somebody waits.
 */
export const compressedFiles = (): Plugin => {
  let outDir = "";
  return {
    name: "heelward-compressed-files",
    apply: "build",
    configResolved: (config) => {
      outDir = config.build.outDir.startsWith("/")
        ? config.build.outDir
        : join(config.root, config.build.outDir);
    },
    closeBundle: {
      // After the service worker, which lists the files and is packed with them.
      order: "post",
      sequential: true,
      handler: () => {
        for (const path of filesBelow(outDir).filter((one) => TEXT.test(one))) {
          const bytes = readFileSync(path);
          if (bytes.length < LEAST_BYTES) continue;
          const params = {
            [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length,
            [constants.BROTLI_PARAM_QUALITY]: constants.BROTLI_MAX_QUALITY,
          };
          writeFileSync(`${path}.br`, brotliCompressSync(bytes, { params }));
          writeFileSync(`${path}.gz`, gzipSync(bytes, { level: constants.Z_BEST_COMPRESSION }));
        }
      },
    },
  };
};
