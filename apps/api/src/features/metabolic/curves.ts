import { weightChange } from "@heelward/domain/horse";
import { healingCurve, judgeLoss } from "@heelward/domain/metabolic";
import { daysBetween, localDateOf, startOfDay } from "@heelward/domain/time";
import type { Finding } from "@heelward/domain/evidence";
import type { Work } from "../../http/work.ts";
import * as cases from "../cases/service.ts";
import { horseOf, weightsOf } from "../medication/read-model.ts";
import { metabolicFigures, weightFigures } from "./figures.ts";
import * as store from "./store.ts";

/** Red where doses and rations are held until worked out again, amber where the loss is too fast or must be looked at. */
const levelOf = (
  change: ReturnType<typeof weightChange> | undefined,
  loss: Finding | undefined,
): "none" | "amber" | "red" =>
  change?.band === "hold"
    ? "red"
    : change?.band === "recalculate" || loss?.outcome === "warn"
      ? "amber"
      : "none";

/** Weight and condition over time, each weighing against the one before and the planned band. */
export const weightCurve = async (work: Work, horseId: string, from: string | undefined) => {
  const horse = await horseOf(work, horseId);
  const { timeZone } = horse;
  const sinceMs = from === undefined ? Number.NEGATIVE_INFINITY : startOfDay(from, timeZone);
  const weights = (await weightsOf(work, horseId)).map((row) => ({
    ...row,
    on: localDateOf(row.weighedAt.getTime(), timeZone),
  }));
  const [ration] = await store.findFeedingPlans(work.tx, { horseId, current: true });
  const settings = await weightFigures(work);
  const findings: Finding[] = [];
  const points = weights.flatMap((row, index) => {
    // Like with like: a tape between two weighbridge readings would blur what was lost.
    const before =
      weights.slice(0, index).findLast((one) => one.method === row.method) ?? weights[index - 1];
    const change =
      before === undefined ? undefined : weightChange(before.weightKg, row.weightKg, settings);
    const weekOfPlan =
      ration === undefined ? 2 : Math.floor(daysBetween(ration.startsOn, row.on) / 7) + 1;
    const judged = before === undefined ? undefined : judgeLoss(before, row, weekOfPlan, settings);
    if (row.weighedAt.getTime() < sinceMs) return [];
    if (judged?.finding !== undefined && index === weights.length - 1)
      findings.push(judged.finding);
    return [
      {
        on: row.on,
        weightKg: row.weightKg,
        method: row.method,
        lossPercentPerWeek: judged?.loss?.lossPercentPerWeek ?? null,
        band: judged?.loss?.band ?? null,
        changePercent: change?.changePercent ?? null,
        level: levelOf(change, judged?.finding),
      },
    ];
  });
  const condition = (await store.findScores(work.tx, [horseId]))
    .filter(
      (row) =>
        row.at.getTime() >= sinceMs && (row.bodyCondition !== null || row.crestyNeck !== null),
    )
    .map((row) => ({
      on: localDateOf(row.at.getTime(), timeZone),
      bodyCondition: row.bodyCondition,
      crestyNeck: row.crestyNeck,
    }));
  return {
    points,
    condition,
    band: {
      leastPercent: settings.weeklyLossLeastPercent.value,
      mostPercent: settings.weeklyLossMostPercent.value,
      source: settings.weeklyLossMostPercent.source,
    },
    targetWeightKg: ration?.targetWeightKg ?? null,
    findings,
  };
};

/** The highest five-sign score of each day of a case, oldest first. */
export const dailyScores = (
  rows: readonly store.ScoreRow[],
  timeZone: string,
): readonly { readonly on: string; readonly score: number }[] => {
  const byDay = new Map<string, number>();
  for (const row of rows) {
    if (row.score === null) continue;
    const on = localDateOf(row.at.getTime(), timeZone);
    byDay.set(on, Math.max(byDay.get(on) ?? 0, row.score));
  }
  return [...byDay].map(([on, score]) => ({ on, score }));
};

/** What the vet is asked when a case heals slower than three in four. */
export const RETHINK_PROMPT =
  "Slower than the typical course: look again at pain relief, the feet on fresh films, the trim, and the cause (insulin, ACTH, diet). One case in four is slow; the curve prompts, it predicts nothing.";

export const readHealing = async (work: Work, caseId: string) => {
  const found = await cases.read(work, caseId);
  const horse = await horseOf(work, found.horse.id);
  const rows = (await store.findScores(work.tx, [horse.id])).filter((row) => row.caseId === caseId);
  const scores = dailyScores(rows, horse.timeZone);
  const today = localDateOf(work.nowMs, horse.timeZone);
  const values = await metabolicFigures(work);
  const curve = healingCurve(scores, today, values);
  const first = scores[0]?.on;
  const last = scores.at(-1)?.on;
  return {
    points:
      first === undefined
        ? []
        : scores.map((point, index) => {
            const typical = healingCurve(scores.slice(0, index + 1), point.on, values)?.expected;
            return {
              ...point,
              day: daysBetween(first, point.on),
              expectedLow: typical?.low ?? point.score,
              expectedHigh: typical?.high ?? point.score,
            };
          }),
    day: first === undefined || last === undefined ? null : daysBetween(first, last),
    expected: curve?.expected ?? null,
    halfLifeDays: curve?.halfLifeDays ?? null,
    slow: curve?.slow ?? false,
    relapse: curve?.relapse ?? false,
    rethink: curve?.rethink ?? false,
    prompt:
      curve?.rethink === true
        ? curve.slow
          ? `Day ${values.rethinkOnDay} or later. ${RETHINK_PROMPT}`
          : `The score rose again. ${RETHINK_PROMPT}`
        : null,
    source: curve?.source ?? null,
  };
};
