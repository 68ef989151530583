import type { FirstAidSheet } from "@heelward/domain/firstaid";
import { Prisma, type Transaction } from "../../database/client.ts";

export interface SheetRow {
  readonly id: string;
  readonly caseId: string;
  readonly horse: { readonly id: string; readonly name: string };
  readonly timeZone: string;
  readonly writtenAt: Date;
  readonly writtenBy: { readonly id: string; readonly name: string };
  readonly sheet: FirstAidSheet;
  readonly version: number;
  readonly ticks: readonly {
    readonly stepId: string;
    readonly doneAt: string;
    readonly doneBy: { readonly id: string; readonly name: string };
    readonly photoId: string | null;
    readonly note: string | null;
  }[];
}

/** Sheets with their ticks, newest first. */
export const findSheets = (
  tx: Transaction,
  filter: { readonly id?: string; readonly caseId?: string },
): Promise<SheetRow[]> => tx.$queryRaw<SheetRow[]>`
  SELECT s.id, s.case_id AS "caseId", json_build_object('id', h.id, 'name', h.name) AS horse, y.time_zone AS "timeZone", s.written_at AS "writtenAt", json_build_object('id', p.id, 'name', p.name) AS "writtenBy", s.sheet, s.version,
    coalesce((SELECT json_agg(json_build_object('stepId', t.step_id, 'doneAt', t.done_at, 'doneBy', json_build_object('id', d.id, 'name', d.name), 'photoId', t.photo_id, 'note', t.note) ORDER BY t.done_at, t.id)
      FROM first_aid_ticks t JOIN people d ON d.practice_id = t.practice_id AND d.id = t.done_by WHERE t.practice_id = s.practice_id AND t.sheet_id = s.id), '[]') AS ticks
  FROM first_aid_sheets s JOIN horses h ON h.practice_id = s.practice_id AND h.id = s.horse_id JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id JOIN people p ON p.practice_id = s.practice_id AND p.id = s.written_by
  WHERE ${filter.id === undefined ? Prisma.sql`true` : Prisma.sql`s.id = ${filter.id}::uuid`} AND ${filter.caseId === undefined ? Prisma.sql`true` : Prisma.sql`s.case_id = ${filter.caseId}::uuid`}
  ORDER BY s.written_at DESC, s.id DESC LIMIT 50`;

/** The sheet a link points to. Needs a signing-in transaction. */
export const findSheetByToken = async (tx: Transaction, tokenHash: string) => {
  const [row] = await tx.$queryRaw<{ practiceId: string; id: string; expiresAt: Date }[]>`
    SELECT practice_id AS "practiceId", id, link_expires_at AS "expiresAt" FROM first_aid_sheets WHERE link_token_hash = ${tokenHash}`;
  return row ?? null;
};
