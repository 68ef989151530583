import { afterAll, describe, expect, it, vi } from "vitest";
import { readDicomFilm } from "../dicom/read-dicom.ts";
import { writeDicom } from "../dicom/write-dicom.ts";
import { sampleTags, smallFilm } from "../testing/films.ts";
import { run, scratch } from "../testing/outside-tools.ts";
import {
  applyWindow,
  defaultWindow,
  inverted,
  windowFromPercentiles,
  windowTable,
} from "./window-level.ts";

// Other programs are started here, and a busy machine starts them slowly.
vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 });

const folder = scratch();
afterAll(folder.remove);

/** Grey bytes of a binary PGM file. */
const pgmPixels = (bytes: Uint8Array): Uint8Array => {
  const text = new TextDecoder("latin1").decode(bytes.subarray(0, 200));
  const header = /^P5\s+(#[^\n]*\n\s*)*\d+\s+\d+\s+\d+\s/.exec(text);
  return bytes.subarray(header![0].length);
};

describe("window and level", () => {
  it("shows a film as DCMTK does, to within one grey level", async () => {
    const film = {
      ...smallFilm(),
      window: { shape: "linear", centre: 1900, width: 2600 } as const,
    };
    const path = folder.write("film.dcm", writeDicom(film, sampleTags));
    // DCMTK's +Ww is the LINEAR function: half a unit higher and one unit wider than our ramp.
    run("dcm2pnm", ["+op", "+Ww", "1900.5", "2601", path, folder.path("film.pgm")]);
    const reference = pgmPixels(folder.read("film.pgm"));
    const read = await readDicomFilm(folder.read("film.dcm"));
    if (!read.ok) throw new Error(read.detail);
    const shown = applyWindow(read.value, defaultWindow(read.value));
    const worst = shown.reduce(
      (most, value, at) => Math.max(most, Math.abs(value - reference[at]!)),
      0,
    );
    expect(shown.length).toBe(reference.length);
    expect(worst).toBeLessThanOrEqual(1);
  });

  it("is black below the ramp, white above and half grey in the middle", () => {
    const table = windowTable(12, { shape: "linear", centre: 2000, width: 1000 });
    expect([table[0], table[1500], table[2000], table[2500], table[4095]]).toEqual([
      0, 0, 128, 255, 255,
    ]);
  });

  it("bends a sigmoid as PS3.3 C.11.2.1.3.1 says", () => {
    const table = windowTable(12, { shape: "sigmoid", centre: 2000, width: 1000 });
    // 255 / (1 + exp(−4 (x − c) / w)), worked by hand at c, c + w/2 and c − w/2.
    expect([table[2000], table[2500], table[1500]]).toEqual([128, 225, 30]);
  });

  it("chooses a window that a few dead pixels do not stretch", () => {
    const film = smallFilm();
    const pixels = film.pixels.slice();
    pixels.fill(4095, 0, 20);
    pixels.fill(0, 20, 40);
    const plain = windowFromPercentiles(film);
    const spotted = windowFromPercentiles({ ...film, pixels });
    expect(Math.abs(plain.centre - spotted.centre)).toBeLessThan(60);
    expect(Math.abs(plain.width - spotted.width)).toBeLessThan(120);
  });

  it("gives the film back when it is inverted twice", () => {
    const film = { ...smallFilm(), window: { shape: "linear", centre: 700, width: 90 } as const };
    expect(inverted(inverted(film))).toEqual(film);
    expect(inverted(film).pixels[7]).toBe(4095 - film.pixels[7]!);
  });
});
