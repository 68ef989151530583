import { parentPort, workerData } from "node:worker_threads";
import type { ReadLimits } from "../film/read-result.ts";
import { readFilm } from "../reader/read-film.ts";

const { bytes, limits } = workerData as { readonly bytes: Uint8Array; readonly limits: ReadLimits };

const result = await readFilm(bytes, limits);
parentPort?.postMessage(result, result.ok ? [result.value.pixels.buffer as ArrayBuffer] : []);
