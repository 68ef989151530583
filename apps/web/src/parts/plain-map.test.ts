import { describe, expect, it } from "vitest";
import { plainMap } from "./plain-map.ts";

const FRAME = { width: 420, height: 320, edge: 40 };

describe("a plain map", () => {
  it("keeps north up, east right, one scale both ways and everything on the sheet", () => {
    const { places, pxPerKm } = plainMap(
      [
        { lat: 53, lon: -9 },
        { lat: 53.2, lon: -9 },
        { lat: 53, lon: -8.7 },
      ],
      FRAME,
    );
    const [south, north, east] = places;
    if (south === undefined || north === undefined || east === undefined) throw new Error("lost");
    expect(north.y).toBeLessThan(south.y);
    expect(east.x).toBeGreaterThan(south.x);
    // source: a degree of latitude is 111.2 km on a sphere of 6371 km; of longitude by the cosine
    expect((south.y - north.y) / pxPerKm).toBeCloseTo(22.24, 1);
    expect((east.x - south.x) / pxPerKm).toBeCloseTo(
      0.3 * 111.2 * Math.cos((53.1 * Math.PI) / 180),
      1,
    );
    for (const { x, y } of places) {
      expect(x).toBeGreaterThanOrEqual(FRAME.edge - 1);
      expect(x).toBeLessThanOrEqual(FRAME.width - FRAME.edge + 1);
      expect(y).toBeGreaterThanOrEqual(FRAME.edge - 1);
      expect(y).toBeLessThanOrEqual(FRAME.height - FRAME.edge + 1);
    }
  });

  it("puts a single place in the middle and still has a scale", () => {
    const map = plainMap([{ lat: 53, lon: -9 }], FRAME);
    expect(map.places).toEqual([{ x: 210, y: 160 }]);
    expect(map.scaleKm).toBeGreaterThan(0);
  });
});
