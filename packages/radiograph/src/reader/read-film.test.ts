import { afterAll, describe, expect, it, vi } from "vitest";
import { defaultReadLimits, type RefusalReason } from "../film/read-result.ts";
import { randomStream } from "../phantom/random.ts";
import { mutated } from "../testing/mutate.ts";
import { scratch } from "../testing/outside-tools.ts";
import { specimens } from "../testing/specimens.ts";
import { readFilm } from "./read-film.ts";

// Other programs are started here, and a busy machine starts them slowly.
vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 });

const folder = scratch();
afterAll(folder.remove);

const reasons: ReadonlySet<RefusalReason> = new Set([
  "too-large",
  "unknown-type",
  "damaged",
  "unsupported-compression",
  "unsupported-pixels",
  "no-pixels",
  "too-many-frames",
  "dimensions",
  "nested-too-deep",
  "too-many-elements",
]);

describe("reading any film", () => {
  it("tells DICOM, PNG and JPEG apart by their content", async () => {
    for (const [name, bytes] of await specimens(folder)) {
      const result = await readFilm(bytes);
      const expected = name.startsWith("PNG") ? "png" : name === "JPEG" ? "jpeg" : "dicom";
      expect(result.ok && result.value.source).toBe(expected);
    }
  });

  it("answers three thousand damaged files with a film or a reason, and never throws", async () => {
    const files = [...(await specimens(folder)).values()];
    const random = randomStream(20_261_014);
    let refused = 0;
    for (let index = 0; index < 3_000; index += 1) {
      const result = await readFilm(mutated(files[index % files.length]!, random));
      if (result.ok) {
        const { widthPx, heightPx, pixels, bitsStored } = result.value;
        expect(pixels.length).toBe(widthPx * heightPx);
        expect(pixels.length).toBeLessThanOrEqual(defaultReadLimits.maxPixels);
        expect(pixels.every((value) => value < 2 ** bitsStored)).toBe(true);
      } else {
        refused += 1;
        expect(reasons).toContain(result.reason);
        expect(result.detail.length).toBeGreaterThan(10);
      }
    }
    // The damage is real: most files must have been refused, and some are still readable.
    expect(refused).toBeGreaterThan(1_000);
    expect(refused).toBeLessThan(3_000);
  });
});
