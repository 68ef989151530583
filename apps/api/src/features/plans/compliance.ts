import type { readCompliance } from "@heelward/contracts";
import {
  complianceBy,
  CYCLE_SETTINGS,
  resetCompliance,
  type Compliance,
  type DoneReset,
} from "@heelward/domain/cycle";
import { localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import type { Transaction } from "../../database/client.ts";
import { isoDay } from "../../http/dates.ts";
import type { SystemWork } from "../../jobs/as-system.ts";
import type { Work } from "../../http/work.ts";
import { ownSettings } from "../settings/values.ts";
import { overdueByWeek, weekly } from "./overdue-weeks.ts";

interface DoneRow {
  readonly horseId: string;
  readonly farrierId: string | null;
  readonly yardId: string;
  readonly doneAt: Date;
  readonly timeZone: string;
  readonly lastDoneOn: Date;
  readonly intervalDays: number;
}

/** A visit before the first on record: it judges nothing and belongs to nobody. */
const BEFORE = "before the records";
const MOST_NIGHTS = 400;

/**
 * Resets done, as compliance is judged: horses whose case is closed are left out, and the day of the
 * visit before a horse's first record counts as its start.
 */
const findDone = async (tx: Transaction): Promise<readonly DoneReset[]> => {
  const rows = await tx.$queryRaw<DoneRow[]>`
    SELECT r.horse_id AS "horseId", coalesce(s.farrier_id, r.farrier_id, h.farrier_id) AS "farrierId", h.yard_id AS "yardId", r.done_at AS "doneAt",
      y.time_zone AS "timeZone", r.last_done_on AS "lastDoneOn", r.interval_days AS "intervalDays"
    FROM resets r JOIN horses h ON h.practice_id = r.practice_id AND h.id = r.horse_id JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
    LEFT JOIN shoeing_records s ON s.practice_id = r.practice_id AND s.id = r.shoeing_record_id
    WHERE r.status = 'done' AND r.done_at IS NOT NULL
      AND (NOT EXISTS (SELECT 1 FROM cases c WHERE c.practice_id = h.practice_id AND c.horse_id = h.id)
        OR EXISTS (SELECT 1 FROM cases c WHERE c.practice_id = h.practice_id AND c.horse_id = h.id AND c.phase <> 'closed'))
    ORDER BY r.horse_id, r.done_at`;
  return rows.flatMap((row, index): DoneReset[] => {
    const base = { horseId: row.horseId, yardId: row.yardId, intervalDays: row.intervalDays };
    const done = {
      ...base,
      farrierId: row.farrierId ?? BEFORE,
      on: localDateOf(row.doneAt.getTime(), row.timeZone),
    };
    return rows[index - 1]?.horseId === row.horseId
      ? [done]
      : [{ ...base, farrierId: BEFORE, on: isoDay(row.lastDoneOn) }, done];
  });
};

/** Days late that still count as kept, as the practice has them on a day. */
const graceOn = async (tx: Transaction, today: string): Promise<number> =>
  (await ownSettings({ tx }, { grace: CYCLE_SETTINGS.complianceGraceDays }, today)).grace.value;

const show = ({ onTime, total, share }: Compliance) => ({ onTime, total, share: share ?? null });

/** The figures as they are now, per farrier and yard, with the nights kept so far. */
export const compliance = async ({
  tx,
  nowMs,
}: Work): Promise<z.input<typeof readCompliance.response>> => {
  const practice = await tx.practice.findFirstOrThrow({});
  const today = localDateOf(nowMs, practice.timeZone);
  const graceDays = await graceOn(tx, today);
  const done = await findDone(tx);
  const byFarrier = complianceBy(done, (reset) => reset.farrierId, graceDays);
  const byYard = complianceBy(done, (reset) => reset.yardId ?? "", graceDays);
  const overdue = await overdueByWeek(tx, today);
  const weeksOf = (kind: "farrierId" | "yardId", id: string) =>
    weekly(
      overdue.filter((one) => one[kind] === id),
      today,
    );
  const people = await tx.person.findMany({ orderBy: { name: "asc" } });
  const yards = await tx.yard.findMany({ orderBy: { name: "asc" } });
  const trend = await tx.complianceFigure.findMany({
    where: { kind: "practice" },
    orderBy: { figuredOn: "desc" },
    take: MOST_NIGHTS,
  });
  return {
    graceDays,
    asOf: new Date(nowMs).toISOString(),
    practice: show(resetCompliance(done, graceDays)),
    byFarrier: people.flatMap(({ id, name }) => {
      const found = byFarrier.get(id);
      return found === undefined
        ? []
        : [{ ...show(found), farrier: { id, name }, overdue: weeksOf("farrierId", id) }];
    }),
    byYard: yards.flatMap(({ id, name }) => {
      const found = byYard.get(id);
      return found === undefined
        ? []
        : [{ ...show(found), yard: { id, name }, overdue: weeksOf("yardId", id) }];
    }),
    trend: trend.toReversed().map((row) => ({
      on: isoDay(row.figuredOn),
      onTime: row.onTime,
      total: row.total,
      share: row.total === 0 ? null : row.onTime / row.total,
    })),
    overdue: weekly(overdue, today),
  };
};

/** Keeps the figures of a day; worked out twice on one day, the later stands. */
export const keepCompliance = async ({ tx, practiceId, nowMs }: SystemWork): Promise<void> => {
  const practice = await tx.practice.findFirstOrThrow({});
  const today = localDateOf(nowMs, practice.timeZone);
  const figuredOn = new Date(`${today}T00:00:00Z`);
  const graceDays = await graceOn(tx, today);
  const done = await findDone(tx);
  const figures = [
    { kind: "practice", subject: practiceId, ...resetCompliance(done, graceDays) },
    ...[...complianceBy(done, (reset) => reset.farrierId, graceDays)].map(([subject, figure]) => ({
      kind: "farrier",
      subject,
      ...figure,
    })),
    ...[...complianceBy(done, (reset) => reset.yardId ?? "", graceDays)].map(
      ([subject, figure]) => ({
        kind: "yard",
        subject,
        ...figure,
      }),
    ),
  ];
  await tx.complianceFigure.deleteMany({ where: { figuredOn } });
  await tx.complianceFigure.createMany({
    data: figures.map(({ kind, subject, onTime, total }) => ({
      practiceId,
      figuredOn,
      kind,
      subject,
      onTime,
      total,
    })),
  });
};
