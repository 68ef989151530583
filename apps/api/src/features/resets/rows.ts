import type { HoofGrowth, listResets, Reset } from "@heelward/contracts";
import { orderBySlack } from "@heelward/domain/cycle";
import { isAllowed, type Finding } from "@heelward/domain/evidence";
import { growthValues } from "@heelward/domain/growth";
import { localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import { hasRole } from "../../http/actor.ts";
import { decodeCursor, toPage } from "../../http/cursor.ts";
import { isoDay, isoOrNull } from "../../http/dates.ts";
import { notFound, Problem, ruleViolated } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { growthOfHorses } from "../shoeing/growth.ts";
import {
  breakoverNowMm,
  contactLine,
  filmNeed,
  minutesOf,
  moveOf,
  standingOf,
  windowOf,
} from "./standing.ts";
import * as store from "./store.ts";

type ResetQuery = z.output<NonNullable<typeof listResets.query>>;

/** Rows a board shows at most. */
export const BOARD_LIMIT = 2000;

/** A reset as the board shows it. */
const view = (row: store.ResetRow, growth: HoofGrowth, nowMs: number): Reset => {
  const window = windowOf(row);
  const standing = standingOf(row, nowMs);
  const tried = contactLine(row);
  const isLate = standing.state === "amber" || standing.state === "red";
  return {
    id: row.id,
    horse: row.horse,
    yard: row.yard,
    caseId: row.caseId,
    phase: row.phase,
    farrier: row.farrier,
    status: row.status,
    state: standing.state,
    daysLate: standing.daysLate,
    lastDoneOn: isoDay(row.lastDoneOn),
    intervalDays: row.intervalDays,
    dueOn: window.dueOn,
    bookBy: window.bookBy,
    opensOn: window.opensOn,
    ceilingOn: window.ceilingOn,
    latestSafeOn: window.latestSafeOn ?? null,
    reasons: [...standing.reasons, ...(isLate && tried !== null ? [tried] : [])],
    lengthenReason: row.lengthenReason,
    breakoverNowMm: breakoverNowMm(row, growth, nowMs),
    breakoverLimitMm: row.breakoverLimitMm,
    bookedFor: isoOrNull(row.bookedFor),
    bookedMinutes: row.bookedMinutes,
    job: row.job,
    whoseMove: moveOf(row, nowMs),
    pausedReason: row.pausedReason,
    attempts: row.attempts.map((attempt) => ({
      ...attempt,
      at: new Date(attempt.at).toISOString(),
    })),
    contactLine: tried,
    ownerAnswer: row.ownerAnswer,
    estimatedMinutes: minutesOf(row),
    daysUntilLatestSafe: standing.daysUntilLatestSafe ?? null,
    filmNeeded: filmNeed(row),
    findings: [...window.findings],
    version: row.version,
  };
};

/** Resets as the board shows them, each by the growth its horse's plans are forecast with. */
export const views = async (work: Work, rows: readonly store.ResetRow[]): Promise<Reset[]> => {
  const growth = await growthOfHorses(
    work,
    rows.map((row) => ({
      horse: { ...row, ...row.horse },
      values: growthValues(row.ownFigures ?? {}),
    })),
  );
  return rows.flatMap((row) => {
    const own = growth.get(row.horse.id);
    return own === undefined ? [] : [view(row, own, work.nowMs)];
  });
};

/** Open resets of the practice; a farrier sees the own list. */
export const list = async (work: Work, query: ResetQuery) => {
  const { actor, nowMs } = work;
  const bySlack = query.sort === "latest safe";
  const after = decodeCursor(query.cursor, 2);
  const onlyOwn = hasRole(actor, "farrier") && !hasRole(actor, "vet", "manager");
  const found = await store.findResets(work, {
    ...query,
    farrierId: query.farrierId ?? (onlyOwn ? actor.personId : undefined),
    isOpen: true,
    after: bySlack ? null : after,
    limit: query.state === undefined && !bySlack ? query.limit + 1 : BOARD_LIMIT,
  });
  const matching =
    query.state === undefined
      ? found
      : found.filter((row) => standingOf(row, nowMs).state === query.state);
  if (bySlack) {
    const start = Number(after?.[1] ?? 0);
    const ordered = orderBySlack(
      matching.map((row) => ({ horseId: row.horse.id, window: windowOf(row), row })),
      localDateOf(nowMs, matching[0]?.yard.timeZone ?? "UTC"),
    ).slice(start);
    const cut = toPage(ordered, query.limit, () => ["latest safe", start + query.limit]);
    return {
      items: await views(
        work,
        cut.rows.map(({ row }) => row),
      ),
      nextCursor: cut.nextCursor,
    };
  }
  const { rows, nextCursor } = toPage(matching, query.limit, (row) => [isoDay(row.dueOn), row.id]);
  return { items: await views(work, rows), nextCursor };
};

/** One reset as it is stored. @throws Problem when it is not to be seen. */
export const findRow = async (work: Work, id: string): Promise<store.ResetRow> => {
  const [row] = await store.findResets(work, { id, limit: 1 });
  if (row === undefined) throw notFound("reset");
  return row;
};

export const read = async (work: Work, id: string): Promise<Reset> => {
  const [found] = await views(work, [await findRow(work, id)]);
  if (found === undefined) throw notFound("reset");
  return found;
};

/** Open resets as they are stored, for other features' questions. */
export const openRows = (
  work: Work,
  filter: { readonly horseId?: string; readonly farrierId?: string } = {},
): Promise<store.ResetRow[]> =>
  store.findResets(work, { ...filter, isOpen: true, limit: BOARD_LIMIT });

/** The open reset of a horse, if its cycle runs. */
export const openOf = async (work: Work, horseId: string): Promise<Reset | null> => {
  const found = await store.findResets(work, { horseId, isOpen: true, limit: 1 });
  const [running] = await views(work, found);
  return running ?? null;
};

/** Locks a reset that is still open, if it is the version the caller saw. */
export const lock = async (work: Work, id: string, seen: number): Promise<store.ResetRow> => {
  const version = await store.lockReset(work.tx, id);
  if (version === null) throw notFound("reset");
  assertVersion(seen, version);
  const row = await findRow(work, id);
  if (row.status === "done" || row.status === "dropped")
    throw new Problem(
      "record-sealed",
      `This reset is ${row.status}; the next one is on the list.`,
      { recordId: id },
    );
  return row;
};

/** @throws Problem with the first blocking finding. */
export const refuseIfBlocked = (findings: readonly Finding[], otherwise: string): void => {
  if (!isAllowed(findings))
    throw ruleViolated(
      findings.find((finding) => finding.outcome === "block")?.detail ?? otherwise,
      findings,
    );
};
