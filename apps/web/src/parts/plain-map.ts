const KM_PER_DEGREE = 111.2;
/** A map never shows less ground than this, so that one place does not fill it. */
const LEAST_SPAN_KM = 4;
const SCALE_STEPS = [1, 2, 5, 10, 20, 50, 100, 200];
const SCALE_SHARE = 0.3;

interface Point {
  readonly lat: number;
  readonly lon: number;
}

interface Place {
  readonly x: number;
  readonly y: number;
}

export interface Frame {
  readonly width: number;
  readonly height: number;
  readonly edge: number;
}

/** Places on a sheet, north up, one scale both ways; roads and tiles are not needed. */
export interface PlainMap {
  /** Where each point lies on the sheet, in its order. */
  readonly places: readonly Place[];
  /** A round length for the scale bar, and how long it is drawn. */
  readonly scaleKm: number;
  readonly pxPerKm: number;
}

/** East and north in km of the middle of the points; flat enough for a farrier's round. */
const flatten = (points: readonly Point[]): readonly Place[] => {
  const lat = points.map((point) => point.lat);
  const lon = points.map((point) => point.lon);
  const middle = [
    (Math.min(...lat) + Math.max(...lat)) / 2,
    (Math.min(...lon) + Math.max(...lon)) / 2,
  ] as const;
  const shrink = Math.cos((middle[0] * Math.PI) / 180);
  return points.map((point) => ({
    x: (point.lon - middle[1]) * KM_PER_DEGREE * shrink,
    y: (point.lat - middle[0]) * KM_PER_DEGREE,
  }));
};

/** Lays points on a sheet of this size. */
export const plainMap = (points: readonly Point[], { width, height, edge }: Frame): PlainMap => {
  const flat = flatten(points);
  const half = Math.max(
    LEAST_SPAN_KM / 2,
    ...flat.map((place) =>
      Math.max(Math.abs(place.x) * ((height - 2 * edge) / (width - 2 * edge)), Math.abs(place.y)),
    ),
  );
  const pxPerKm = (height - 2 * edge) / 2 / half;
  return {
    places: flat.map((place) => ({
      x: width / 2 + place.x * pxPerKm,
      y: height / 2 - place.y * pxPerKm,
    })),
    pxPerKm,
    scaleKm:
      SCALE_STEPS.findLast((km) => km * pxPerKm <= width * SCALE_SHARE) ?? SCALE_STEPS[0] ?? 1,
  };
};
