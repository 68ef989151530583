import { CIRCUITY, SPEED_KMH } from "../settings.ts";
import { greatCircleMetres, type GeoPoint } from "./great-circle.ts";

/** A named point: a yard, a home, the base. */
export interface Place {
  readonly id: string;
  readonly at: GeoPoint;
}

/** Driving between all pairs; row = from, column = to, in the order of `placeIds`. */
export interface DriveMatrix {
  readonly placeIds: readonly string[];
  readonly seconds: readonly (readonly number[])[];
  readonly metres: readonly (readonly number[])[];
}

/** Anything that can say how long driving takes: this package's estimate, or a road server. */
export interface DriveTimes {
  readonly matrix: (places: readonly Place[]) => Promise<DriveMatrix>;
}

/** How straight-line distance becomes driving. */
export interface DriveSettings {
  /** Road metres per straight metre, ≥ 1. */
  readonly circuity: number;
  readonly speedKmh: number;
}

export const DEFAULT_DRIVE_SETTINGS: DriveSettings = {
  circuity: CIRCUITY.value,
  speedKmh: SPEED_KMH.value,
};

/** One drive: whole seconds and whole metres. */
export interface Drive {
  readonly seconds: number;
  readonly metres: number;
}

/**
 * Estimated drive between two points: great-circle distance × circuity ÷ speed.
 * @throws RangeError when the settings are not positive numbers (circuity at least 1).
 */
export const driveTime = (
  from: GeoPoint,
  to: GeoPoint,
  settings: DriveSettings = DEFAULT_DRIVE_SETTINGS,
): Drive => {
  if (!(settings.circuity >= 1) || !(settings.speedKmh > 0))
    throw new RangeError("circuity must be at least 1 and speed above 0");
  const metres = greatCircleMetres(from, to) * settings.circuity;
  return { metres: Math.round(metres), seconds: Math.round((metres * 3.6) / settings.speedKmh) };
};

/** The estimate for all pairs at once. */
export const estimateDriveMatrix = (
  places: readonly Place[],
  settings: DriveSettings = DEFAULT_DRIVE_SETTINGS,
): DriveMatrix => {
  const drives = places.map((from) => places.map((to) => driveTime(from.at, to.at, settings)));
  return {
    placeIds: places.map((place) => place.id),
    seconds: drives.map((row) => row.map((drive) => drive.seconds)),
    metres: drives.map((row) => row.map((drive) => drive.metres)),
  };
};

/** The estimate as a provider, needing no network. */
export const greatCircleDriveTimes = (
  settings: DriveSettings = DEFAULT_DRIVE_SETTINGS,
): DriveTimes => ({ matrix: async (places) => estimateDriveMatrix(places, settings) });
