import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { PHOTO_LIMITS, shrinkPhoto } from "./shrink-photo.ts";

// Processes are started here, and a busy machine starts them slowly.
const SLOW_MS = 30_000;
let folder = "";
let photo = new Uint8Array();

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "heelward-photo-"));
  photo = new Uint8Array(
    await sharp({ create: { width: 3000, height: 1500, channels: 3, background: "#8a6" } })
      .jpeg()
      // Orientation 6: the camera was held upright (Exif 2.32, tag 0x0112).
      .withExif({ IFD0: { Make: "Maker of phones" }, IFD3: { GPSLatitudeRef: "N" } })
      .withMetadata({ orientation: 6 })
      .toBuffer(),
  );
});
afterAll(() => rmSync(folder, { recursive: true }));

const program = (name: string, text: string): URL => {
  const path = join(folder, name);
  writeFileSync(path, text);
  return pathToFileURL(path);
};

describe("a photo in a process of its own", () => {
  it(
    "comes back upright, small and without where and with what it was taken",
    async () => {
      const kept = await shrinkPhoto(photo);
      const read = await sharp(kept).metadata();
      expect(read).toMatchObject({ format: "jpeg", width: 1200, height: 2400 });
      expect(read.exif).toBeUndefined();
    },
    SLOW_MS,
  );

  it(
    "is refused when it is damaged or has more pixels than one photo may have",
    async () => {
      expect(await shrinkPhoto(photo.slice(0, 400))).toBeUndefined();
      expect(await shrinkPhoto(photo, { ...PHOTO_LIMITS, largestPx: 1_000_000 })).toBeUndefined();
    },
    SLOW_MS,
  );

  it(
    "takes nothing with it when its process crashes, hangs or grows too large",
    async () => {
      // The signal that a native fault ends a process with.
      const crash = program("crash.mjs", 'process.kill(process.pid, "SIGSEGV");');
      expect(await shrinkPhoto(photo, PHOTO_LIMITS, crash)).toBeUndefined();
      const hang = program("hang.mjs", "setInterval(() => {}, 1000);");
      expect(await shrinkPhoto(photo, { ...PHOTO_LIMITS, timeLimitMs: 300 }, hang)).toBeUndefined();
      expect(await shrinkPhoto(photo, { ...PHOTO_LIMITS, memoryMb: 8 })).toBeUndefined();
      expect(await shrinkPhoto(photo)).toBeInstanceOf(Uint8Array);
    },
    SLOW_MS,
  );
});
