import { localDateOf } from "@heelward/domain/time";
import type { Transaction } from "../../database/client.ts";
import { isoDay } from "../../http/dates.ts";
import { lastDayOf } from "../resets/slots.ts";
import {
  cyclePhase,
  filmNeed,
  minutesOf,
  skillsOf,
  standingOf,
  windowOf,
} from "../resets/standing.ts";
import { findResets, type ResetRow } from "../resets/read-model.ts";
import { ownSettings } from "../settings/values.ts";
import type { PlanReset, PlanYard } from "./horizon-problem.ts";
import { WELFARE_WEIGHTS } from "./welfare-weights.ts";
import type { StoredRequest } from "./stored.ts";

const MOST_RESETS = 2000;

type Weights = { readonly [K in keyof typeof WELFARE_WEIGHTS]: { readonly value: number } };

const weightOf = (row: ResetRow, isUrgent: boolean, nowMs: number, weights: Weights): number => {
  const phase = cyclePhase(row.phase);
  const base = weights[phase === "sound reference" ? "sound" : phase].value;
  return Math.max(
    base,
    isUrgent ? weights.urgent.value : 0,
    row.isPainUp ? weights.painUp.value : 0,
    standingOf(row, nowMs).state === "red" ? weights.red.value : 0,
  );
};

/** A reset of the plan with the row it comes from. */
export interface PlannedRow {
  readonly reset: PlanReset;
  readonly row: ResetRow;
  readonly filmNeeded: string | null;
}

/**
 * The resets a plan is about: those whose window opens before its end, without what is paused, what
 * is under way this morning, and what is booked after it or with a farrier who is not planned.
 */
export const planFacts = async (
  tx: Transaction,
  request: StoredRequest,
  nowMs: number,
): Promise<{ readonly rows: readonly PlannedRow[]; readonly yards: readonly PlanYard[] }> => {
  const practice = await tx.practice.findFirstOrThrow({});
  const urgent = new Set(request.urgentResetIds);
  const weights = await ownSettings({ tx }, WELFARE_WEIGHTS, localDateOf(nowMs, practice.timeZone));
  const found = await findResets({ tx, nowMs }, { isOpen: true, limit: MOST_RESETS });
  const rows = found.flatMap((row): PlannedRow[] => {
    if (row.pausedReason !== null) return [];
    const window = windowOf(row);
    const today = localDateOf(nowMs, row.yard.timeZone);
    const isUrgent = urgent.has(row.id);
    const bookedMs = row.bookedFor?.getTime();
    const booked =
      bookedMs === undefined || row.farrier === null
        ? null
        : {
            farrierId: row.farrier.id,
            atMs: bookedMs,
            on: localDateOf(bookedMs, practice.timeZone),
          };
    if (booked !== null && !isUrgent) {
      if (booked.atMs < nowMs || booked.on > request.toOn || booked.on < request.fromOn) return [];
      const isAway = request.away.some(
        (one) =>
          one.farrierId === booked.farrierId && one.fromOn <= booked.on && booked.on <= one.toOn,
      );
      if (!isAway && !request.farrierIds.includes(booked.farrierId)) return [];
    }
    if (booked === null && !isUrgent && window.opensOn > request.toOn) return [];
    return [
      {
        row,
        filmNeeded: filmNeed(row),
        reset: {
          id: row.id,
          yardId: row.yard.id,
          minutes: row.bookedMinutes ?? minutesOf(row),
          opensOn: window.opensOn,
          bookBy: window.bookBy,
          lastDayOn: lastDayOf(row, today),
          weight: weightOf(row, isUrgent, nowMs, weights),
          skills: skillsOf(row),
          vetNeeded: row.plan?.conditions.vetPresent === true,
          helperNeeded: row.plan?.conditions.handler === true,
          farrierId: row.farrier?.id ?? null,
          booked:
            booked !== null &&
            request.away.some(
              (one) =>
                one.farrierId === booked.farrierId &&
                one.fromOn <= booked.on &&
                booked.on <= one.toOn,
            )
              ? null
              : booked,
          isUrgent,
        },
      },
    ];
  });
  const yardIds = [...new Set(rows.map(({ row }) => row.yard.id))];
  const openings = new Map(rows.map(({ row }) => [row.yard.id, row.opening]));
  const yards = (await tx.yard.findMany({ where: { id: { in: yardIds } } })).map((yard) => ({
    id: yard.id,
    lat: yard.lat,
    lon: yard.lon,
    timeZone: yard.timeZone,
    opening: openings.get(yard.id) ?? [],
    closedOn: yard.closedOn.map(isoDay),
  }));
  return { rows, yards };
};
