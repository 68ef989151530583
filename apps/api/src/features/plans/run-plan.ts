import type { HorizonPlanView } from "@heelward/contracts";
import {
  CIRCUITY,
  DAY_USED_SECONDS,
  EARLY_DAY_SECONDS,
  MOVED_PROMISE_SECONDS,
  SPEED_KMH,
  UNPLACED_DAYS,
  type HorizonPlan,
  type HorizonProgress,
} from "@heelward/routing";
import type { Database } from "../../database/client.ts";
import { asSystem, type SystemWork } from "../../jobs/as-system.ts";
import { findRota } from "../rota/read-model.ts";
import {
  estimatedDrives,
  type DriveSource,
  type DriveTimesProvider,
} from "../routes/drive-times.ts";
import { ownSettings } from "../settings/values.ts";
import { planFacts, type PlannedRow } from "./facts.ts";
import { buildHorizon, planPlaces } from "./horizon-problem.ts";
import { SearchEnded, solveInWorker } from "./solve-in-worker.ts";
import { storedRequest } from "./stored.ts";

const HEARTBEAT_MS = 400;
/** What a practice may set of drives and of what a plan weighs. */
const PLAN_FIGURES = {
  circuity: CIRCUITY,
  speed: SPEED_KMH,
  movedPromise: MOVED_PROMISE_SECONDS,
  dayUsed: DAY_USED_SECONDS,
  earlyDay: EARLY_DAY_SECONDS,
  unplaced: UNPLACED_DAYS,
} as const;

export interface PlanRunner {
  readonly db: Database;
  readonly roads?: DriveTimesProvider;
  /** Epoch ms. */
  readonly now: () => number;
}

type Result = NonNullable<HorizonPlanView["result"]>;

const showResult = (
  plan: HorizonPlan,
  rows: readonly PlannedRow[],
  names: ReadonlyMap<string, string>,
  source: DriveSource,
): Result => {
  const byId = new Map(rows.map((one) => [one.row.id, one]));
  const of = (resetId: string): PlannedRow => {
    const found = byId.get(resetId);
    if (found === undefined) throw new Error(`the plan speaks of an unknown reset ${resetId}`);
    return found;
  };
  return {
    score: { ...plan.score },
    latePointsLowerBound: plan.latePointsLowerBound,
    driveSecondsLowerBound: plan.driveSecondsLowerBound,
    lateGap: Math.max(0, plan.score.latePoints - plan.latePointsLowerBound),
    finished: plan.finished,
    choices: plan.assignments.map((one) => {
      const { row, reset, filmNeeded } = of(one.resetId);
      return {
        resetId: row.id,
        resetVersion: row.version,
        horse: { id: row.horse.id, name: row.horse.name },
        yard: { id: row.yard.id, name: row.yard.name },
        farrier: { id: one.farrierId, name: names.get(one.farrierId) ?? "a farrier" },
        on: one.on,
        startAt: new Date(one.startMs).toISOString(),
        minutes: reset.minutes,
        lateDays: one.lateDays,
        movedPromise: one.movedPromise,
        why: one.why,
        wouldImprove: one.wouldImprove ?? null,
        filmNeeded,
      };
    }),
    unplaced: plan.unplaced.map((one) => {
      const { row } = of(one.resetId);
      return {
        resetId: row.id,
        horse: { id: row.horse.id, name: row.horse.name },
        yard: { id: row.yard.id, name: row.yard.name },
        why: one.why,
        wouldImprove: one.wouldImprove,
      };
    }),
    driveTimes: source,
  };
};

const json = (value: unknown): object => JSON.parse(JSON.stringify(value)) as object;

/** Takes a waiting plan; false when another process has it or it was cancelled. */
const claim = ({ tx, nowMs, announce }: SystemWork, planId: string): Promise<boolean> => {
  announce("plans");
  return tx.horizonPlan
    .updateMany({
      where: { id: planId, status: "waiting" },
      data: { status: "running", startedAt: new Date(nowMs) },
    })
    .then(({ count }) => count === 1);
};

const gather = async (work: SystemWork, planId: string, roads: DriveTimesProvider) => {
  const { tx, nowMs } = work;
  const row = await tx.horizonPlan.findFirstOrThrow({ where: { id: planId } });
  const request = storedRequest.parse(row.request);
  const practice = await tx.practice.findFirstOrThrow({});
  const found = await findRota(tx, request.fromOn);
  const rota = {
    ...found,
    away: [...found.away, ...request.away.map((one) => ({ ...one, personId: one.farrierId }))],
  };
  const { rows, yards } = await planFacts(tx, request, nowMs);
  const own = await ownSettings(work, PLAN_FIGURES, request.fromOn);
  // Without a place of its own the practice is taken to lie among its yards.
  const mean = (pick: (yard: (typeof yards)[number]) => number): number =>
    yards.reduce((sum, yard) => sum + pick(yard), 0) / Math.max(1, yards.length);
  const base = {
    lat: practice.lat ?? mean((yard) => yard.lat),
    lon: practice.lon ?? mean((yard) => yard.lon),
  };
  const people = await tx.person.findMany({ where: { id: { in: request.farrierIds } } });
  return {
    request,
    rota,
    rows,
    yards,
    seed: row.seed,
    names: new Map(people.map((person) => [person.id, person.name])),
    places: planPlaces(yards, request.farrierIds, rota, base),
    settings: { circuity: own.circuity.value, speedKmh: own.speed.value },
    weights: {
      movedPromiseSeconds: own.movedPromise.value,
      dayUsedSeconds: own.dayUsed.value,
      earlyDaySeconds: own.earlyDay.value,
      unplacedDays: own.unplaced.value,
    },
    roads,
  };
};

/**
 * Carries out a waiting plan: reads the practice as it is now, searches in a thread, writes progress
 * about twice a second and the result at the end. A plan cancelled meanwhile ends within a moment,
 * and so does one whose process stops: it then waits for the next.
 */
export const runPlan = async (
  { db, roads, now }: PlanRunner,
  practiceId: string,
  planId: string,
  stop: AbortSignal,
): Promise<void> => {
  const system = <T>(act: (work: SystemWork) => Promise<T>): Promise<T> =>
    asSystem(db, practiceId, now(), act);
  if (!(await system((work) => claim(work, planId)))) return;
  const ending = new AbortController();
  const stopNow = (): void => ending.abort();
  stop.addEventListener("abort", stopNow);
  let isWriting = false;
  let latest: HorizonProgress | undefined;
  let told: HorizonProgress | undefined;
  // Also asks whether anybody still wants the plan.
  const writeProgress = async (): Promise<void> => {
    if (isWriting || ending.signal.aborted) return;
    const progress = latest;
    isWriting = true;
    try {
      const isStill = await system(async ({ tx, announce }) => {
        if (progress === undefined || progress === told)
          return (await tx.horizonPlan.count({ where: { id: planId, status: "running" } })) === 1;
        announce("plans");
        const { count } = await tx.horizonPlan.updateMany({
          where: { id: planId, status: "running" },
          data: { progress: json(progress) },
        });
        return count === 1;
      });
      told = progress;
      if (!isStill) ending.abort();
    } finally {
      isWriting = false;
    }
  };
  const heartbeat = setInterval(() => void writeProgress().catch(stopNow), HEARTBEAT_MS);
  try {
    const facts = await system((work) => gather(work, planId, roads ?? estimatedDrives));
    // Outside any transaction: a road server may take its time.
    const { drive, source } = await facts.roads.matrix(facts.places, facts.settings);
    const problem = buildHorizon(
      { ...facts.request, nowMs: now() },
      facts.rota,
      facts.yards,
      facts.rows.map((one) => one.reset),
      drive,
    );
    const plan = await solveInWorker(problem, {
      seconds: facts.request.seconds,
      seed: facts.seed,
      weights: facts.weights,
      signal: ending.signal,
      onProgress: (progress) => {
        latest = progress;
      },
    });
    clearInterval(heartbeat);
    const result = showResult(plan, facts.rows, facts.names, source);
    await system(async ({ tx, nowMs, audit, announce }) => {
      const { count } = await tx.horizonPlan.updateMany({
        where: { id: planId, status: "running" },
        data: {
          status: "done",
          result: json(result),
          finishedAt: new Date(nowMs),
          version: { increment: 1 },
        },
      });
      if (count === 0) return;
      audit({
        event: "plan.finished",
        subjectType: "plan",
        subjectId: planId,
        horseId: null,
        payload: { score: plan.score, unplaced: plan.unplaced.length },
      });
      announce("plans");
    });
  } catch (error) {
    await system(async ({ tx, nowMs, announce }) => {
      announce("plans");
      await tx.horizonPlan.updateMany({
        where: { id: planId, status: "running" },
        data:
          stop.aborted || error instanceof SearchEnded
            ? { status: "waiting", startedAt: null }
            : {
                status: "failed",
                failure: "The plan could not be worked out; the service's log has more.",
                finishedAt: new Date(nowMs),
                version: { increment: 1 },
              },
      });
    });
    if (!stop.aborted && !(error instanceof SearchEnded)) throw error;
  } finally {
    clearInterval(heartbeat);
    stop.removeEventListener("abort", stopNow);
  }
};
