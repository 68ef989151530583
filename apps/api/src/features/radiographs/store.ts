import type { FilmContext } from "@heelward/domain/geometry";
import { Prisma, type Transaction } from "../../database/client.ts";

interface Person {
  readonly id: string;
  readonly name: string;
}

export interface RadiographRow {
  readonly id: string;
  readonly horseId: string;
  readonly caseId: string;
  readonly foot: FilmContext["foot"];
  readonly view: FilmContext["view"];
  readonly takenAt: Date;
  readonly timeZone: string;
  /** Phase of its case: a film goes stale sooner under treatment. */
  readonly casePhase: string;
  readonly fileName: string;
  readonly mediaType: string;
  readonly sha256: string;
  readonly sizeBytes: number;
  readonly blobKey: string;
  readonly previewKey: string;
  readonly pixelsKey: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly bitsStored: number;
  readonly film: unknown;
  readonly scale: unknown;
  readonly wedgeDegrees: number;
  readonly beamCentring: FilmContext["centring"];
  readonly shod: boolean;
  readonly groundLineOn: "ground" | "foot surface";
  readonly positionCard: readonly string[];
  readonly addedBy: Person;
  readonly sideConfirmedBy: Person | null;
  readonly sideConfirmedAt: Date | null;
  readonly releasedBy: Person | null;
  readonly releasedAt: Date | null;
  readonly landmarkSetCount: number;
  readonly version: number;
}

const personOf = (alias: Prisma.Sql) =>
  Prisma.sql`CASE WHEN ${alias}.id IS NULL THEN NULL ELSE json_build_object('id', ${alias}.id, 'name', ${alias}.name) END`;

/** Films, newest first. */
export const findRadiographs = (
  tx: Transaction,
  filter: {
    readonly id?: string;
    readonly caseId?: string;
    readonly horseId?: string;
    readonly foot?: string;
  },
): Promise<RadiographRow[]> => {
  const conditions = [Prisma.sql`true`];
  if (filter.id !== undefined) conditions.push(Prisma.sql`r.id = ${filter.id}::uuid`);
  if (filter.caseId !== undefined) conditions.push(Prisma.sql`r.case_id = ${filter.caseId}::uuid`);
  if (filter.horseId !== undefined)
    conditions.push(Prisma.sql`r.horse_id = ${filter.horseId}::uuid`);
  if (filter.foot !== undefined) conditions.push(Prisma.sql`r.foot = ${filter.foot}`);
  return tx.$queryRaw<RadiographRow[]>`
    SELECT r.id, r.horse_id AS "horseId", r.case_id AS "caseId", r.foot, r.view, r.taken_at AS "takenAt", y.time_zone AS "timeZone", k.phase AS "casePhase", r.file_name AS "fileName", r.media_type AS "mediaType", r.sha256,
      r.size_bytes AS "sizeBytes", r.blob_key AS "blobKey", r.preview_key AS "previewKey", r.pixels_key AS "pixelsKey", r.width_px AS "widthPx", r.height_px AS "heightPx", r.bits_stored AS "bitsStored",
      r.film, r.scale, r.wedge_degrees AS "wedgeDegrees", r.beam_centring AS "beamCentring", r.shod, r.ground_line_on AS "groundLineOn", r.position_card AS "positionCard",
      ${personOf(Prisma.sql`a`)} AS "addedBy", ${personOf(Prisma.sql`c`)} AS "sideConfirmedBy", r.side_confirmed_at AS "sideConfirmedAt", ${personOf(Prisma.sql`e`)} AS "releasedBy", r.released_at AS "releasedAt",
      (SELECT count(*)::int FROM landmark_sets l WHERE l.practice_id = r.practice_id AND l.radiograph_id = r.id AND NOT l.for_study) AS "landmarkSetCount", r.version
    FROM radiographs r JOIN horses h ON h.practice_id = r.practice_id AND h.id = r.horse_id JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
    JOIN cases k ON k.practice_id = r.practice_id AND k.id = r.case_id
    JOIN people a ON a.practice_id = r.practice_id AND a.id = r.added_by LEFT JOIN people c ON c.practice_id = r.practice_id AND c.id = r.side_confirmed_by LEFT JOIN people e ON e.practice_id = r.practice_id AND e.id = r.released_by
    WHERE ${Prisma.join(conditions, " AND ")} ORDER BY r.taken_at DESC, r.foot, r.id LIMIT 500`;
};

/** Locks a film for a change and gives its version. */
export const lockRadiograph = async (tx: Transaction, id: string): Promise<number | null> => {
  const [row] = await tx.$queryRaw<
    { version: number }[]
  >`SELECT version FROM radiographs WHERE id = ${id}::uuid FOR UPDATE`;
  return row?.version ?? null;
};

export interface LandmarkSetRow {
  readonly id: string;
  readonly radiographId: string;
  readonly number: number;
  readonly points: Record<string, { x: number; y: number }>;
  readonly placedBy: Person;
  readonly placedAt: Date;
  readonly note: string | null;
  readonly measurements: unknown;
  readonly findings: unknown;
}

/** The number of the next set of a film, counting study readings too. */
export const nextSetNumber = async (tx: Transaction, radiographId: string): Promise<number> => {
  const [row] = await tx.$queryRaw<
    { number: number }[]
  >`SELECT coalesce(max(number), 0) + 1 AS number FROM landmark_sets WHERE radiograph_id = ${radiographId}::uuid`;
  return row?.number ?? 1;
};

/** Sets of landmarks, newest first, without those of the repeat-reading study; `latestOnly` gives the newest of each film. */
export const findLandmarkSets = (
  tx: Transaction,
  filter: { readonly radiographIds: readonly string[]; readonly latestOnly?: boolean },
): Promise<LandmarkSetRow[]> => tx.$queryRaw<LandmarkSetRow[]>`
  SELECT l.id, l.radiograph_id AS "radiographId", l.number, l.points, json_build_object('id', p.id, 'name', p.name) AS "placedBy", l.placed_at AS "placedAt", l.note, l.measurements, l.findings
  FROM landmark_sets l JOIN people p ON p.practice_id = l.practice_id AND p.id = l.placed_by
  WHERE l.radiograph_id = ANY (${[...filter.radiographIds]}::uuid[]) AND NOT l.for_study
    AND ${filter.latestOnly === true ? Prisma.sql`NOT EXISTS (SELECT 1 FROM landmark_sets n WHERE n.practice_id = l.practice_id AND n.radiograph_id = l.radiograph_id AND NOT n.for_study AND n.number > l.number)` : Prisma.sql`true`}
  ORDER BY l.number DESC, l.id`;

/** One measure of one reading of the repeat-reading study. */
export interface StudyReading {
  readonly radiographId: string;
  readonly readerId: string;
  readonly readerName: string;
  readonly measure: string;
  readonly value: number | null;
}

/** Every reading of the study, as far as the caller may see the horses. */
export const findStudyReadings = (tx: Transaction): Promise<StudyReading[]> =>
  tx.$queryRaw<StudyReading[]>`
    SELECT l.radiograph_id AS "radiographId", l.placed_by AS "readerId", p.name AS "readerName", m->>'key' AS measure, (m->>'value')::float AS value
    FROM landmark_sets l JOIN people p ON p.practice_id = l.practice_id AND p.id = l.placed_by, jsonb_array_elements(l.measurements) m
    WHERE l.for_study ORDER BY l.placed_at, l.id`;
