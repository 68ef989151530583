import { pathToFileURL } from "node:url";
import { describe, expect, it, vi } from "vitest";
import { writeDicom } from "../dicom/write-dicom.ts";
import { filmAsPng16 } from "../raster/render-film.ts";
import { sampleTags, smallFilm } from "../testing/films.ts";
import { scratch } from "../testing/outside-tools.ts";
import { defaultWorkerLimits, readFilmInWorker } from "./read-film-in-worker.ts";
import { readRasterInProcess } from "./read-raster-in-process.ts";

// Threads are started here, and a busy machine starts them slowly.
vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 });

const film = smallFilm();
const bytes = writeDicom(film, sampleTags);

describe("reading a film in a thread of its own", () => {
  it("gives the same film as reading here, and leaves the caller's bytes alone", async () => {
    const before = bytes.slice();
    const result = await readFilmInWorker(bytes);
    expect(result.ok && result.value.pixels).toEqual(film.pixels);
    expect(result.ok && result.value.tags.patientName).toBe("Marl Hopper");
    expect(bytes).toEqual(before);
  });

  it("reads PNG there too, from a view into a larger buffer", async () => {
    const png = await filmAsPng16(film);
    const larger = new Uint8Array(png.length + 100);
    larger.set(png, 50);
    const result = await readFilmInWorker(larger.subarray(50, 50 + png.length));
    expect(result.ok && result.value.pixels).toEqual(film.pixels);
  });

  it("answers a refusal for bytes that are no film", async () => {
    expect(await readFilmInWorker(new Uint8Array(3000))).toMatchObject({
      ok: false,
      reason: "unknown-type",
    });
  });

  it("ends a thread that takes too long, and says so", async () => {
    const limits = { ...defaultWorkerLimits, timeLimitMs: 1 };
    expect(await readFilmInWorker(bytes, limits)).toMatchObject({
      ok: false,
      reason: "out-of-time",
    });
  });

  it("survives a thread that runs out of memory", async () => {
    // Two million different entries, read without the usual ceiling on entries.
    const count = 2_000_000;
    const metaEnd = 144 + new DataView(bytes.buffer).getUint32(140, true);
    const many = new Uint8Array(metaEnd + 8 * count);
    many.set(bytes.subarray(0, metaEnd));
    const view = new DataView(many.buffer);
    for (let index = 0; index < count; index += 1) {
      const at = metaEnd + 8 * index;
      view.setUint16(at, 0x0009 + 2 * (index >> 16), true);
      view.setUint16(at + 2, index & 0xffff, true);
      many.set([0x4c, 0x4f], at + 4);
    }
    const read = { ...defaultWorkerLimits.read, maxStructureReads: Number.MAX_SAFE_INTEGER };
    const limits = { ...defaultWorkerLimits, read, heapMb: 2 };
    expect(await readFilmInWorker(many, limits)).toMatchObject({
      ok: false,
      reason: "out-of-memory",
    });
    expect((await readFilmInWorker(bytes)).ok).toBe(true);
  });

  it("does not copy a file over the byte limit", async () => {
    const limits = {
      ...defaultWorkerLimits,
      read: { ...defaultWorkerLimits.read, maxBytes: 1000 },
    };
    expect(await readFilmInWorker(bytes, limits)).toMatchObject({ ok: false, reason: "too-large" });
  });

  it("survives native code that crashes, hangs or takes too much while it reads a picture", async () => {
    const png = await filmAsPng16(film);
    const folder = scratch();
    const program = (name: string, text: string): URL =>
      pathToFileURL(folder.write(name, new TextEncoder().encode(text)));
    const limits = { ...defaultWorkerLimits, timeLimitMs: 3_000 };
    // The signal that a native fault ends a process with.
    const crash = program("crash.mjs", 'process.kill(process.pid, "SIGSEGV");');
    expect(await readRasterInProcess(png, limits, crash)).toMatchObject({
      ok: false,
      reason: "decoder-stopped",
    });
    const hang = program("hang.mjs", "setInterval(() => {}, 1000);");
    expect(await readRasterInProcess(png, { ...limits, timeLimitMs: 300 }, hang)).toMatchObject({
      ok: false,
      reason: "out-of-time",
    });
    folder.remove();
    expect(await readRasterInProcess(png, { ...limits, processMb: 8 })).toMatchObject({
      ok: false,
      reason: "out-of-memory",
    });
    expect((await readFilmInWorker(png)).ok).toBe(true);
  });
});
