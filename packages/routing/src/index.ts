/** Drive-time estimates, exact day routes and plans over several weeks. Pure: no I/O, no clock. */
export * from "./settings.ts";
export type { SearchLimits } from "./search-clock.ts";
export * from "./geo/great-circle.ts";
export * from "./geo/drive-times.ts";
export * from "./geo/calibrate-driving.ts";
export * from "./geo/geo-uri.ts";
export * from "./geo/route-geojson.ts";
export * from "./day/day-route-types.ts";
export { solveDayRoute } from "./day/solve-day-route.ts";
export * from "./horizon/horizon-types.ts";
export { planHorizon } from "./horizon/plan-horizon.ts";
