import type { RouteDay } from "../day/day-route-types.ts";
import type { Place } from "./drive-times.ts";

type Position = readonly [number, number];

/** A GeoJSON feature as this package writes it. */
export interface RouteFeature {
  readonly type: "Feature";
  readonly geometry:
    | { readonly type: "Point"; readonly coordinates: Position }
    | { readonly type: "LineString"; readonly coordinates: readonly Position[] };
  readonly properties: Readonly<Record<string, string | number>>;
}

export interface RouteFeatureCollection {
  readonly type: "FeatureCollection";
  /** West, south, east, north. */
  readonly bbox: readonly [number, number, number, number];
  readonly features: readonly RouteFeature[];
}

/**
 * A planned day as GeoJSON: one point per stop with its times (ISO 8601, UTC) and one line in the
 * order driven. The line joins the places straight; it is not the road.
 * source: RFC 7946 (longitude first, seven decimals at most, bbox west south east north).
 * @throws RangeError when a place of the route is not among `places`.
 */
export const toGeoJson = (route: RouteDay, places: readonly Place[]): RouteFeatureCollection => {
  const known = new Map(places.map((place) => [place.id, place.at]));
  const figure = (value: number): number => Number(value.toFixed(7));
  const position = (placeId: string): Position => {
    const at = known.get(placeId);
    if (at === undefined) throw new RangeError(`unknown place ${placeId}`);
    return [figure(at.lonDegrees), figure(at.latDegrees)];
  };
  const iso = (ms: number): string => new Date(ms).toISOString();
  const line = [
    route.startPlaceId,
    ...route.stops.map((stop) => stop.placeId),
    route.endPlaceId,
  ].map(position);
  const lons = line.map(([lon]) => lon);
  const lats = line.map(([, lat]) => lat);
  return {
    type: "FeatureCollection",
    bbox: [Math.min(...lons), Math.min(...lats), Math.max(...lons), Math.max(...lats)],
    features: [
      {
        type: "Feature",
        geometry: { type: "LineString", coordinates: line },
        properties: {
          travelSeconds: route.totalTravelSeconds,
          travelMetres: route.totalTravelMetres,
          departAt: iso(route.departMs),
          returnAt: iso(route.returnMs),
        },
      },
      ...route.stops.map((stop, index): RouteFeature => ({
        type: "Feature",
        geometry: { type: "Point", coordinates: position(stop.placeId) },
        properties: {
          stopId: stop.stopId,
          placeId: stop.placeId,
          visit: index + 1,
          arriveAt: iso(stop.arriveMs),
          startAt: iso(stop.startMs),
          leaveAt: iso(stop.leaveMs),
          slackSeconds: Math.floor(stop.slackMs / 1000),
        },
      })),
    ],
  };
};
