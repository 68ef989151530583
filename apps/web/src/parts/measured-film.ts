import type { LandmarkSetView, RadiographView } from "@heelward/contracts";
import {
  type MeasuredFilm,
  type PositionCardItem,
  missingPositionItems,
} from "@heelward/domain/geometry";
import { localDateOf } from "@heelward/domain/time";

/** A film with one of its readings, in the form in which films are compared. */
export const measuredFilmOf = (
  film: RadiographView,
  set: LandmarkSetView,
  timeZone: string,
): MeasuredFilm => ({
  film: {
    foot: film.foot,
    view: film.view,
    takenOn: localDateOf(Date.parse(film.takenAt), timeZone),
    wedgeDegrees: film.wedgeDegrees,
    centring: film.beamCentring,
    positionCardComplete:
      missingPositionItems(film.positionCard as PositionCardItem[]).length === 0,
  },
  measurements: set.measurements as MeasuredFilm["measurements"],
});
