import type { FilmOutline } from "@heelward/contracts";
import { Prisma, type Transaction } from "../../database/client.ts";

export interface OutlineRow extends Omit<FilmOutline, "drawnAt"> {
  readonly horseId: string;
  readonly caseId: string;
  readonly drawnAt: Date;
}

/** Drawings that stand: neither replaced nor removed by a later row. Oldest first. */
export const findOutlines = (
  tx: Transaction,
  filter: { readonly id?: string; readonly radiographId?: string },
): Promise<OutlineRow[]> => {
  const conditions = [Prisma.sql`NOT o.is_removal`];
  if (filter.id !== undefined) conditions.push(Prisma.sql`o.id = ${filter.id}::uuid`);
  if (filter.radiographId !== undefined)
    conditions.push(Prisma.sql`o.radiograph_id = ${filter.radiographId}::uuid`);
  return tx.$queryRaw<OutlineRow[]>`
    SELECT o.id, o.radiograph_id AS "radiographId", o.horse_id AS "horseId", r.case_id AS "caseId", o.kind, o.points, o.label, o.replaces_id AS "replacesId", o.landmark_set_id AS "landmarkSetId",
      o.measurements, o.area_mm2 AS "areaMm2", o.area_standard_uncertainty_mm2 AS "areaStandardUncertaintyMm2", o.findings, json_build_object('id', p.id, 'name', p.name) AS "drawnBy", o.drawn_at AS "drawnAt"
    FROM film_outlines o JOIN radiographs r ON r.practice_id = o.practice_id AND r.id = o.radiograph_id JOIN people p ON p.practice_id = o.practice_id AND p.id = o.drawn_by
    WHERE ${Prisma.join(conditions, " AND ")}
      AND NOT EXISTS (SELECT 1 FROM film_outlines n WHERE n.practice_id = o.practice_id AND n.replaces_id = o.id)
    ORDER BY o.drawn_at, o.id`;
};
