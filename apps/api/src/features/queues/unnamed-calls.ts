import { MS_PER_HOUR } from "@heelward/domain/time";
import type { Work } from "../../http/work.ts";

/** After this time a press that nobody explained is history. Source: house rule. */
const STANDS_HOURS = 24;

export interface UnnamedCall {
  readonly id: string;
  readonly name: string;
  readonly yardName: string | null;
  readonly numberDialled: string;
  readonly pressedAt: Date;
}

/**
 * Presses of the red-flag button that name no horse. They stand until the one who pressed has said
 * more: a note, a check of a horse, or a press that names one.
 */
export const findUnnamedCalls = ({ tx, nowMs }: Work): Promise<UnnamedCall[]> =>
  tx.$queryRaw<UnnamedCall[]>`
    SELECT r.id, p.name, r.number_dialled AS "numberDialled", r.pressed_at AS "pressedAt",
      (SELECT string_agg(y.name, ', ' ORDER BY y.name) FROM yard_people o JOIN yards y ON y.practice_id = o.practice_id AND y.id = o.yard_id
        WHERE o.practice_id = r.practice_id AND o.person_id = r.person_id) AS "yardName"
    FROM red_flag_calls r JOIN people p ON p.practice_id = r.practice_id AND p.id = r.person_id
    WHERE r.horse_id IS NULL AND r.pressed_at > ${new Date(nowMs - STANDS_HOURS * MS_PER_HOUR)}
      AND NOT EXISTS (SELECT 1 FROM handoff_notes n WHERE n.practice_id = r.practice_id AND n.from_person = r.person_id AND n.written_at >= r.pressed_at)
      AND NOT EXISTS (SELECT 1 FROM examinations e WHERE e.practice_id = r.practice_id AND e.examined_by = r.person_id AND e.examined_at >= r.pressed_at)
      AND NOT EXISTS (SELECT 1 FROM red_flag_calls l WHERE l.practice_id = r.practice_id AND l.person_id = r.person_id AND (l.pressed_at, l.id) > (r.pressed_at, r.id))
    ORDER BY r.pressed_at`;
