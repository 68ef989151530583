import type { readDriveCalibration } from "@heelward/contracts";
import { calibrateDriving, CIRCUITY, SPEED_KMH, type RecordedTrip } from "@heelward/routing";
import { localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import type { Work } from "../../http/work.ts";
import { readPractice } from "../people/practice.ts";
import { ownSettings } from "../settings/values.ts";

interface VisitRow {
  readonly farrierId: string;
  readonly startedAt: Date | null;
  readonly doneAt: Date;
  readonly yardId: string;
  readonly lat: number;
  readonly lon: number;
}

const MOST_VISITS = 5000;
/** A longer pause between two yards was not all driving. House rule. */
const LONGEST_TRIP_MS = 3 * 3_600_000;

/**
 * Drives as they happened: from the end of the work at one yard to the beginning at the next, of one
 * farrier on one day. Only visits whose beginning was recorded can say how long the road took.
 */
export const tripsOf = (visits: readonly VisitRow[], zone: string): readonly RecordedTrip[] =>
  visits.flatMap((visit, index): RecordedTrip[] => {
    const before = visits[index - 1];
    if (
      before === undefined ||
      before.farrierId !== visit.farrierId ||
      before.yardId === visit.yardId ||
      visit.startedAt === null ||
      localDateOf(before.doneAt.getTime(), zone) !== localDateOf(visit.startedAt.getTime(), zone)
    )
      return [];
    const tookMs = visit.startedAt.getTime() - before.doneAt.getTime();
    return tookMs <= 0 || tookMs > LONGEST_TRIP_MS
      ? []
      : [
          {
            from: { latDegrees: before.lat, lonDegrees: before.lon },
            to: { latDegrees: visit.lat, lonDegrees: visit.lon },
            seconds: tookMs / 1000,
          },
        ];
  });

/** What the practice's own visits say about its roads. It offers; the clinical lead sets the figure. */
export const calibration = async (
  work: Work,
): Promise<z.input<typeof readDriveCalibration.response>> => {
  const practice = await readPractice(work);
  const own = await ownSettings(
    work,
    { circuity: CIRCUITY, speed: SPEED_KMH },
    localDateOf(work.nowMs, practice.timeZone),
  );
  const visits = await work.tx.$queryRaw<VisitRow[]>`
    SELECT s.farrier_id AS "farrierId", s.started_at AS "startedAt", s.done_at AS "doneAt", y.id AS "yardId", y.lat, y.lon
    FROM (SELECT * FROM shoeing_records ORDER BY done_at DESC LIMIT ${MOST_VISITS}) s
    JOIN horses h ON h.practice_id = s.practice_id AND h.id = s.horse_id JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
    ORDER BY s.farrier_id, s.done_at, s.id`;
  const learnt = calibrateDriving(tripsOf(visits, practice.timeZone), {
    circuity: own.circuity.value,
    speedKmh: own.speed.value,
  });
  return {
    circuity: learnt.settings.circuity,
    speedKmh: Math.round(learnt.settings.speedKmh * 10) / 10,
    tripsUsed: learnt.tripsUsed,
    tripsDropped: learnt.tripsDropped,
    typicalErrorShare: Number.isFinite(learnt.typicalErrorShare) ? learnt.typicalErrorShare : null,
    basis: learnt.basis,
    settingKeys: { circuity: CIRCUITY.key, speed: SPEED_KMH.key },
  };
};
