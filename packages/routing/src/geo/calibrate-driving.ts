import { DEFAULT_DRIVE_SETTINGS, type DriveSettings } from "./drive-times.ts";
import { greatCircleMetres, type GeoPoint } from "./great-circle.ts";

/** A drive as it happened. `roadMetres` when the vehicle or phone recorded it. */
export interface RecordedTrip {
  readonly from: GeoPoint;
  readonly to: GeoPoint;
  readonly seconds: number;
  readonly roadMetres?: number;
}

/** What the trips say, and how far to trust it. */
export interface DriveCalibration {
  readonly settings: DriveSettings;
  readonly tripsUsed: number;
  readonly tripsDropped: number;
  /** Median of |estimate − recorded| ÷ recorded with the new settings. */
  readonly typicalErrorShare: number;
  /** `default` when there were too few trips to learn from. */
  readonly basis: "trips" | "default";
}

/** Fewer usable trips than this leave the defaults in place. House rule. */
export const FEWEST_TRIPS = 8;
/** Shorter straight lines say more about gates and parking than about roads. House rule. */
export const SHORTEST_TRIP_METRES = 1_000;

const median = (values: readonly number[]): number => {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  if (sorted.length === 0) return Number.NaN;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
};

/**
 * Slope of `ys ≈ slope × xs` through the origin, by iteratively reweighted least squares on the
 * relative residuals with Tukey's biweight, started from the median ratio. One lunch stop or one
 * diversion therefore does not move it.
 * source: Beaton & Tukey 1974, Technometrics 16(2):147–185; tuning constant 4.685 (95 % efficiency).
 */
const robustSlope = (xs: readonly number[], ys: readonly number[]): number => {
  const ratios = xs.map((x, index) => ys[index]! / x);
  let slope = median(ratios);
  for (let round = 0; round < 30; round++) {
    const residuals = ratios.map((ratio) => ratio / slope - 1);
    const scale = Math.max(1e-9, 1.4826 * median(residuals.map(Math.abs)));
    let weighted = 0;
    let weights = 0;
    residuals.forEach((residual, index) => {
      const u = residual / (4.685 * scale);
      const weight = Math.abs(u) < 1 ? (1 - u * u) ** 2 : 0;
      weighted += weight * ratios[index]!;
      weights += weight;
    });
    const next = weights > 0 ? weighted / weights : slope;
    if (Math.abs(next - slope) <= 1e-12 * slope) break;
    slope = next;
  }
  return slope;
};

/**
 * Learns a practice's own circuity and speed from recorded trips.
 *
 * With road distances both factors are learnt. Without them only their ratio can be: the default
 * circuity stays and the speed takes it all, which leaves every drive time right.
 */
export const calibrateDriving = (
  trips: readonly RecordedTrip[],
  fallback: DriveSettings = DEFAULT_DRIVE_SETTINGS,
): DriveCalibration => {
  const usable = trips
    .map((trip) => ({ trip, straight: greatCircleMetres(trip.from, trip.to) }))
    .filter(({ trip, straight }) => straight >= SHORTEST_TRIP_METRES && trip.seconds > 0);
  const tripsDropped = trips.length - usable.length;
  const errorOf = (settings: DriveSettings): number =>
    median(
      usable.map(({ trip, straight }) => {
        const estimate = (straight * settings.circuity * 3.6) / settings.speedKmh;
        return Math.abs(estimate - trip.seconds) / trip.seconds;
      }),
    );
  if (usable.length < FEWEST_TRIPS)
    return {
      settings: fallback,
      tripsUsed: usable.length,
      tripsDropped,
      typicalErrorShare: usable.length > 0 ? errorOf(fallback) : Number.NaN,
      basis: "default",
    };
  const measured = usable.filter(
    ({ trip, straight }) => trip.roadMetres !== undefined && trip.roadMetres >= 0.99 * straight,
  );
  const circuity =
    measured.length >= FEWEST_TRIPS
      ? Math.max(
          1,
          robustSlope(
            measured.map(({ straight }) => straight),
            measured.map(({ trip }) => trip.roadMetres!),
          ),
        )
      : fallback.circuity;
  const secondsPerMetre = robustSlope(
    usable.map(({ straight }) => straight * circuity),
    usable.map(({ trip }) => trip.seconds),
  );
  const settings = { circuity, speedKmh: 3.6 / secondsPerMetre };
  return {
    settings,
    tripsUsed: usable.length,
    tripsDropped,
    typicalErrorShare: errorOf(settings),
    basis: "trips",
  };
};
