import sharp from "sharp";
import { afterAll, describe, expect, it, vi } from "vitest";
import { defaultReadLimits } from "../film/read-result.ts";
import { smallFilm } from "../testing/films.ts";
import { runPython, scratch } from "../testing/outside-tools.ts";
import { readRaster, withoutMetadata } from "./read-raster.ts";
import { filmAsPng16, renderFilm } from "./render-film.ts";

// Other programs are started here, and a busy machine starts them slowly.
vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 });

const folder = scratch();
afterAll(folder.remove);

const film = smallFilm();

const readGood = async (bytes: Uint8Array) => {
  const result = await readRaster(bytes);
  if (!result.ok) throw new Error(`${result.reason}: ${result.detail}`);
  return result.value;
};

describe("PNG films", () => {
  it("keep 16 bits, as Pillow reads them", async () => {
    const bytes = await filmAsPng16(film);
    const script =
      "import json,sys; from PIL import Image; i=Image.open(sys.argv[1]); print(json.dumps([i.mode, list(i.getdata())]))";
    const [mode, values] = runPython<[string, number[]]>(script, [folder.write("a.png", bytes)]);
    expect(mode).toMatch(/^I/);
    expect(values).toEqual(Array.from(film.pixels));
    const back = await readGood(bytes);
    expect(back).toMatchObject({ source: "png", bitsStored: 16, widthPx: 151, heightPx: 126 });
    expect(back.pixels).toEqual(film.pixels);
  });

  it("are read whatever the writer: 8 and 16 bit, grey, with see-through, in colour (Pillow)", async () => {
    const script = `
import sys, json, numpy as np; from PIL import Image
a = (np.arange(60 * 40) % 251).astype(np.uint8).reshape(40, 60); out = sys.argv[1]
Image.fromarray(a).save(out + "/l.png")
Image.fromarray(np.dstack([a, np.full_like(a, 7)]), "LA").save(out + "/la.png")
Image.fromarray(np.dstack([a, a, a])).save(out + "/rgb.png")
Image.fromarray(a.astype(np.uint16) * 257).save(out + "/l16.png")
print(json.dumps(a.ravel().tolist()))`;
    const expected = runPython<number[]>(script, [folder.path(".")]);
    for (const name of ["l.png", "la.png", "rgb.png"]) {
      const read = await readGood(folder.read(name));
      expect(Array.from(read.pixels)).toEqual(expected);
      expect(read.bitsStored).toBe(8);
    }
    const deep = await readGood(folder.read("l16.png"));
    expect(Array.from(deep.pixels)).toEqual(expected.map((value) => value * 257));
  });
});

describe("JPEG films", () => {
  it("stand the right way up for all eight EXIF orientations, as Pillow turns them", async () => {
    const script = `
import sys, json, numpy as np; from PIL import Image, ImageOps
y, x = np.mgrid[0:40, 0:64]; a = (x * 3 + y * 1.5).astype(np.uint8); out = []
for o in range(1, 9):
    e = Image.Exif(); e[0x0112] = o; p = f"{sys.argv[1]}/o{o}.jpg"
    Image.fromarray(a).save(p, quality=95, exif=e)
    t = ImageOps.exif_transpose(Image.open(p)); out.append([t.width, t.height, list(t.getdata())])
print(json.dumps(out))`;
    const turned = runPython<[number, number, number[]][]>(script, [folder.path(".")]);
    for (const [index, [width, height, values]] of turned.entries()) {
      const read = await readGood(folder.read(`o${index + 1}.jpg`));
      expect([read.widthPx, read.heightPx]).toEqual([width, height]);
      const worst = Math.max(...values.map((value, at) => Math.abs(value - read.pixels[at]!)));
      expect(worst).toBeLessThanOrEqual(1);
    }
  });

  it("lose position, camera and comments when asked, and nothing of the picture", async () => {
    const script = `
import sys, json; from PIL import Image
i = Image.new("L", (32, 24), 90); e = Image.Exif(); e[0x010F] = "CAMERA"; e[0x0112] = 6
e.get_ifd(0x8825)[1] = "N"; e[0x8825] = {1: "N", 2: (53.0, 12.0, 50.0), 3: "W", 4: (9.0, 2.0, 27.0)}
i.save(sys.argv[1], exif=e, comment=b"OWNER"); print("{}")`;
    runPython(script, [folder.path("gps.jpg")]);
    const before = folder.read("gps.jpg");
    expect(Buffer.from(before).includes("CAMERA")).toBe(true);
    const result = await withoutMetadata(before);
    if (!result.ok) throw new Error(result.detail);
    const check =
      "import json,sys; from PIL import Image; i=Image.open(sys.argv[1]); print(json.dumps([len(i.getexif()), i.info.get('comment') is None, i.width, i.height]))";
    const path = folder.write("clean.jpg", result.value);
    expect(runPython(check, [path])).toEqual([0, true, 24, 32]);
  });
});

describe("refusing pictures", () => {
  it("refuses a small file that unpacks to more pixels than allowed", async () => {
    const bomb = await sharp({
      create: { width: 9_000, height: 9_000, channels: 3, background: "#000" },
    })
      .png({ compressionLevel: 9 })
      .toBuffer();
    expect(bomb.length).toBeLessThan(400_000);
    expect((await readRaster(bomb)).ok).toBe(false);
  });

  it("refuses sides over the limit, cut files and other formats", async () => {
    const bytes = await filmAsPng16(film);
    const narrow = { ...defaultReadLimits, maxSidePx: 140 };
    expect(await readRaster(bytes, narrow)).toMatchObject({ ok: false, reason: "dimensions" });
    const half = bytes.slice(0, bytes.length >> 1);
    expect(await readRaster(half)).toMatchObject({ ok: false, reason: "damaged" });
    const gif = new TextEncoder().encode("GIF89a and something");
    expect(await readRaster(gif)).toMatchObject({ ok: false, reason: "unknown-type" });
    const svg = new TextEncoder().encode('<svg xmlns="http://www.w3.org/2000/svg"/>');
    expect(await readRaster(svg)).toMatchObject({ ok: false, reason: "unknown-type" });
  });
});

describe("showing films", () => {
  it("makes a small picture of the asked size without enlarging", async () => {
    const small = await sharp(await renderFilm(film, { format: "jpeg", maxSidePx: 64 })).metadata();
    expect([small.format, small.width, small.height]).toEqual(["jpeg", 64, 53]);
    const same = await sharp(await renderFilm(film, { format: "png", maxSidePx: 999 })).metadata();
    expect([same.format, same.width, same.height, same.depth]).toEqual(["png", 151, 126, "uchar"]);
  });
});
