import { z } from "zod";
import type { Transaction } from "../../database/client.ts";
import { isoDay } from "../../http/dates.ts";
import type { Rota, Week } from "./working-hours.ts";

const hours = z.array(z.object({ weekday: z.number(), starts: z.string(), ends: z.string() }));
const lunch = z.object({ from: z.string(), until: z.string(), minutes: z.number() }).nullable();

export interface WeekRow extends Week {
  readonly version: number;
}

export const findWeeks = async (
  tx: Transaction,
  personIds?: readonly string[],
): Promise<readonly WeekRow[]> =>
  (
    await tx.workingWeek.findMany({
      where: personIds === undefined ? {} : { personId: { in: [...personIds] } },
    })
  ).map((row) => ({
    personId: row.personId,
    hours: hours.parse(row.hours),
    lunch: lunch.parse(row.lunch),
    skills: row.skills,
    yardIds: row.yardIds,
    home:
      row.homeLat === null || row.homeLon === null ? null : { lat: row.homeLat, lon: row.homeLon },
    isStandard: false,
    version: row.version,
  }));

/** The practice's rota from a day on. */
export const findRota = async (tx: Transaction, fromOn: string): Promise<Rota> => {
  const practice = await tx.practice.findFirstOrThrow({});
  const weeks = await findWeeks(tx);
  const away = await tx.absence.findMany({
    where: { withdrawnAt: null, toOn: { gte: new Date(`${fromOn}T00:00:00Z`) } },
  });
  const closures = await tx.practiceClosure.findMany({
    where: { closedOn: { gte: new Date(`${fromOn}T00:00:00Z`) } },
  });
  return {
    zone: practice.timeZone,
    weeks: new Map(weeks.map((week) => [week.personId, week])),
    away: away.map((row) => ({
      personId: row.personId,
      fromOn: isoDay(row.fromOn),
      toOn: isoDay(row.toOn),
    })),
    closedOn: new Set(closures.map((row) => isoDay(row.closedOn))),
  };
};

export const lockWeek = async (tx: Transaction, personId: string): Promise<number | null> => {
  const [row] = await tx.$queryRaw<
    { version: number }[]
  >`SELECT version FROM working_weeks WHERE person_id = ${personId}::uuid FOR UPDATE`;
  return row?.version ?? null;
};

interface Person {
  readonly id: string;
  readonly name: string;
}
export interface AbsenceRow {
  readonly id: string;
  readonly person: Person;
  readonly fromOn: string;
  readonly toOn: string;
  readonly reason: string;
  readonly notedBy: Person;
  readonly version: number;
}

export const findAbsences = (
  tx: Transaction,
  filter: {
    readonly id?: string;
    readonly fromOn?: string | undefined;
    readonly personId?: string | undefined;
  },
): Promise<AbsenceRow[]> => tx.$queryRaw<AbsenceRow[]>`
  SELECT a.id, json_build_object('id', p.id, 'name', p.name) AS person, a.from_on::text AS "fromOn", a.to_on::text AS "toOn", a.reason,
    json_build_object('id', n.id, 'name', n.name) AS "notedBy", a.version
  FROM absences a JOIN people p ON p.practice_id = a.practice_id AND p.id = a.person_id JOIN people n ON n.practice_id = a.practice_id AND n.id = a.noted_by
  WHERE a.withdrawn_at IS NULL AND (${filter.id ?? null}::uuid IS NULL OR a.id = ${filter.id ?? null}::uuid)
    AND (${filter.fromOn ?? null}::date IS NULL OR a.to_on >= ${filter.fromOn ?? null}::date)
    AND (${filter.personId ?? null}::uuid IS NULL OR a.person_id = ${filter.personId ?? null}::uuid)
  ORDER BY a.from_on, a.id LIMIT 1000`;
