import {
  DORSOPALMAR_LANDMARKS,
  LATEROMEDIAL_LANDMARKS,
  type FilmView,
} from "@heelward/domain/geometry";
import { dorsopalmarKeys, lateromedialKeys } from "@heelward/radiograph/landmarks";

/** A point to place, with what it is and what needs it. */
export interface LandmarkGuide {
  readonly key: string;
  readonly label: string;
  readonly definition: string;
  readonly requiredFor: readonly string[];
}

const MARKER_ENDS = ["markerStart", "markerEnd"];

/** Points of a view in the order in which they are placed; marker ends only where a marker is the scale. */
export const landmarksOf = (view: FilmView, withMarker: boolean): readonly LandmarkGuide[] => {
  const [order, guides]: readonly [readonly string[], readonly LandmarkGuide[]] =
    view === "lateromedial"
      ? [lateromedialKeys, LATEROMEDIAL_LANDMARKS]
      : [dorsopalmarKeys, DORSOPALMAR_LANDMARKS];
  return order.flatMap((key) => {
    if (!withMarker && MARKER_ENDS.includes(key)) return [];
    const guide = guides.find((one) => one.key === key);
    return guide === undefined ? [] : [guide];
  });
};
