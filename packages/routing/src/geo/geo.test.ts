import fc from "fast-check";
import geodesic from "geographiclib-geodesic";
import { describe, expect, it } from "vitest";
import { calibrateDriving, type RecordedTrip } from "./calibrate-driving.ts";
import { driveTime, estimateDriveMatrix, greatCircleDriveTimes } from "./drive-times.ts";
import { geoUri } from "./geo-uri.ts";
import { greatCircleMetres, type GeoPoint } from "./great-circle.ts";

const point = fc.record({
  latDegrees: fc.double({ min: -89.9, max: 89.9, noNaN: true }),
  lonDegrees: fc.double({ min: -180, max: 180, noNaN: true }),
});

/** The invented practice and yards of the demo. */
const PLACES: Record<string, GeoPoint> = {
  BASE: { latDegrees: 53.214, lonDegrees: -9.041 },
  Y1: { latDegrees: 53.268, lonDegrees: -8.934 },
  Y2: { latDegrees: 53.151, lonDegrees: -9.102 },
  Y3: { latDegrees: 53.192, lonDegrees: -8.871 },
  Y4: { latDegrees: 53.305, lonDegrees: -9.118 },
};

describe("great-circle distance", () => {
  it("stays within 0.6 % of the geodesic on the WGS 84 ellipsoid (geographiclib, Karney 2013)", () => {
    fc.assert(
      fc.property(point, point, (from, to) => {
        const { s12 } = geodesic.Geodesic.WGS84.Inverse(
          from.latDegrees,
          from.lonDegrees,
          to.latDegrees,
          to.lonDegrees,
        );
        fc.pre(s12 !== undefined && s12 > 1);
        expect(Math.abs(greatCircleMetres(from, to) / s12! - 1)).toBeLessThan(0.006);
      }),
      { numRuns: 2000 },
    );
  });

  it("is a distance: same both ways, and no detour is shorter", () => {
    fc.assert(
      fc.property(point, point, point, (a, b, c) => {
        expect(greatCircleMetres(a, b)).toBeCloseTo(greatCircleMetres(b, a), 6);
        expect(greatCircleMetres(a, c)).toBeLessThanOrEqual(
          greatCircleMetres(a, b) + greatCircleMetres(b, c) + 1e-3,
        );
      }),
      {
        // Nearly opposite places, where the inverse sine of the haversine loses centimetres.
        examples: [
          [
            { latDegrees: 0, lonDegrees: 0 },
            { latDegrees: 5.2282744728796845e-6, lonDegrees: 0 },
            { latDegrees: 0, lonDegrees: 179.99999879258178 },
          ],
        ],
      },
    );
  });
});

describe("drive estimate", () => {
  it.each([
    ["BASE", "Y1", 9.3, 12.6, 17],
    ["BASE", "Y2", 8.1, 10.9, 15],
    ["BASE", "Y3", 11.6, 15.6, 21],
    ["BASE", "Y4", 11.3, 15.3, 20],
    ["Y1", "Y2", 17.2, 23.2, 31],
    ["Y1", "Y3", 9.4, 12.7, 17],
    ["Y1", "Y4", 12.9, 17.4, 23],
    ["Y2", "Y3", 16.1, 21.7, 29],
    ["Y2", "Y4", 17.2, 23.2, 31],
    ["Y3", "Y4", 20.7, 27.9, 37],
  ] as const)("gives the demo figures from %s to %s", (from, to, straightKm, roadKm, minutes) => {
    expect(
      Math.abs(greatCircleMetres(PLACES[from]!, PLACES[to]!) / 1000 - straightKm),
    ).toBeLessThan(0.1);
    const drive = driveTime(PLACES[from]!, PLACES[to]!);
    expect(Math.abs(drive.metres / 1000 - roadKm)).toBeLessThan(0.15);
    expect(Math.abs(drive.seconds / 60 - minutes)).toBeLessThan(0.6);
  });

  it("offers the same figures as a provider that another source can replace", async () => {
    const places = Object.entries(PLACES).map(([id, at]) => ({ id, at }));
    expect(await greatCircleDriveTimes().matrix(places)).toEqual(estimateDriveMatrix(places));
  });

  it("refuses settings that would make roads shorter than straight lines", () => {
    expect(() => driveTime(PLACES["Y1"]!, PLACES["Y2"]!, { circuity: 0.9, speedKmh: 45 })).toThrow(
      RangeError,
    );
  });
});

describe("calibration from recorded trips", () => {
  const trips = (circuity: number, speedKmh: number, spoiled: number): RecordedTrip[] => {
    const ids = Object.keys(PLACES);
    return ids.flatMap((from, a) =>
      ids
        .filter((_, b) => b !== a)
        .map((to, index): RecordedTrip => {
          const straight = greatCircleMetres(PLACES[from]!, PLACES[to]!);
          const wobble = 1 + 0.05 * Math.sin(a * 7 + index * 3);
          const roadMetres = straight * circuity * wobble;
          const pauseSeconds = a * 4 + index < spoiled ? 5400 : 0;
          return {
            from: PLACES[from]!,
            to: PLACES[to]!,
            roadMetres,
            seconds: (roadMetres * 3.6) / speedKmh + pauseSeconds,
          };
        }),
    );
  };

  it("finds the factors a practice drives by, although three trips hide a long stop", () => {
    const { settings, basis, typicalErrorShare } = calibrateDriving(trips(1.5, 52, 3));
    expect(basis).toBe("trips");
    expect(Math.abs(settings.circuity / 1.5 - 1)).toBeLessThan(0.03);
    expect(Math.abs(settings.speedKmh / 52 - 1)).toBeLessThan(0.05);
    expect(typicalErrorShare).toBeLessThan(0.06);
  });

  it("gets drive times right without road distances by moving the speed alone", () => {
    const bare = trips(1.5, 50, 0).map(({ from, to, seconds }) => ({ from, to, seconds }));
    const { settings } = calibrateDriving(bare);
    expect(settings.circuity).toBe(1.35);
    expect(Math.abs(settings.speedKmh / settings.circuity / (50 / 1.5) - 1)).toBeLessThan(0.03);
  });

  it("keeps the defaults when there are too few trips to learn from", () => {
    const { settings, basis } = calibrateDriving(trips(2, 20, 0).slice(0, 5));
    expect(basis).toBe("default");
    expect(settings).toEqual({ circuity: 1.35, speedKmh: 45 });
  });
});

describe("geo link (RFC 5870)", () => {
  const GRAMMAR = /^geo:-?\d+(\.\d+)?,-?\d+(\.\d+)?(;u=\d+(\.\d+)?)?$/;

  it("writes latitude first, plain decimals and no trailing zeros", () => {
    expect(geoUri({ latDegrees: 53.268, lonDegrees: -8.934 })).toBe("geo:53.268,-8.934");
    expect(geoUri({ latDegrees: 48.201, lonDegrees: 16.3695 }, 40)).toBe("geo:48.201,16.3695;u=40");
  });

  it("gives the poles longitude 0 (section 3.4.2) and never an exponent", () => {
    expect(geoUri({ latDegrees: 90, lonDegrees: 22.5 })).toBe("geo:90,0");
    fc.assert(
      fc.property(point, (at) => {
        expect(geoUri(at)).toMatch(GRAMMAR);
      }),
    );
    expect(geoUri({ latDegrees: 1e-9, lonDegrees: -1e-9 })).toBe("geo:0,0");
  });

  it("refuses points that are not on the Earth", () => {
    expect(() => geoUri({ latDegrees: 91, lonDegrees: 0 })).toThrow(RangeError);
    expect(() => geoUri({ latDegrees: Number.NaN, lonDegrees: 0 })).toThrow(RangeError);
  });
});
