import {
  measurement,
  finding,
  scale as scaleSchema,
  type LandmarkSetView,
  type MeasurementView,
  type RadiographView,
  type ScaleView,
} from "@heelward/contracts";
import {
  filmAge,
  millimetresPerPixel,
  missingPositionItems,
  type FilmFigures,
  type Measurement,
  type PositionCardItem,
} from "@heelward/domain/geometry";
import { localDateOf } from "@heelward/domain/time";
import { z } from "zod";
import { isoOrNull } from "../../http/dates.ts";
import type { LandmarkSetRow, RadiographRow } from "./store.ts";

export const scaleOf = (row: Pick<RadiographRow, "scale">): ScaleView =>
  scaleSchema.parse(row.scale);

/** A film as the screens show it. */
export const viewRadiograph = (
  row: RadiographRow,
  nowMs: number,
  ageLimits: FilmFigures["filmAge"],
): RadiographView => {
  const {
    blobKey: _blob,
    previewKey: _preview,
    pixelsKey: _pixels,
    timeZone,
    casePhase,
    ...rest
  } = row;
  const scale = scaleOf(row);
  const course = casePhase === "maintenance" ? "maintenance" : "treatment";
  const age = filmAge(
    localDateOf(row.takenAt.getTime(), timeZone),
    localDateOf(nowMs, timeZone),
    course,
    ageLimits[course],
  );
  return {
    ...rest,
    takenAt: row.takenAt.toISOString(),
    ageDays: age.days,
    ageState: age.state,
    ageText: age.text,
    film: row.film as RadiographView["film"],
    scale,
    positionCard: [...row.positionCard],
    missingPositionItems: missingPositionItems(row.positionCard as PositionCardItem[]).map(
      (item) => item.label,
    ),
    hasMillimetres: scale.kind === "marker" || millimetresPerPixel(scale, {}).ok,
    sideConfirmedAt: isoOrNull(row.sideConfirmedAt),
    releasedAt: isoOrNull(row.releasedAt),
  };
};

const measurements = z.array(measurement);
const findings = z.array(finding);

export const viewLandmarkSet = (row: LandmarkSetRow): LandmarkSetView => ({
  ...row,
  placedAt: row.placedAt.toISOString(),
  measurements: measurements.parse(row.measurements),
  findings: findings.parse(row.findings),
});

/** A measurement with everything it lacks said as `null`. */
export const viewMeasurement = (one: Measurement): MeasurementView => ({
  ...one,
  interval95: one.interval95 === null ? null : { ...one.interval95 },
  reference:
    one.reference === undefined
      ? null
      : {
          low: one.reference.low,
          high: one.reference.high,
          applies: one.reference.applies,
          source: one.reference.source,
        },
  missing: one.missing ?? null,
});
