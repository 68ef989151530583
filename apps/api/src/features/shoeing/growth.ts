import type { HoofGrowth, ShoeingRecord } from "@heelward/contracts";
import {
  horseGrowth,
  publishedRate,
  type BreakoverDrift,
  type GrowthAnimal,
  type GrowthValues,
} from "@heelward/domain/growth";
import { ageOn } from "@heelward/domain/horse";
import { localDateOf } from "@heelward/domain/time";
import { defined } from "../../http/defined.ts";
import type { Work } from "../../http/work.ts";
import * as horses from "../horses/service.ts";
import { plannerFigures, type PlannerFigures } from "../prescriptions/figures.ts";
import * as store from "./store.ts";

/** Visits further back tell of another foot: horn takes about a year to grow out at the toe. */
const VISITS = 16;
/** A wall nobody measured. House outline. */
const USUAL_WALL_DEGREES = 50;

interface VisitFoot {
  readonly on: string;
  readonly foot: ShoeingRecord["feet"][number]["foot"];
  readonly foundMm: number | null;
  readonly leftMm: number;
  readonly lineMm: number | null;
}

/** Breakover that was left on one visit and found on the next, foot by foot. */
const driftsOf = (
  visits: readonly VisitFoot[],
  wallAngleDegrees: number,
  wearFraction: number,
): readonly BreakoverDrift[] =>
  visits.flatMap((visit) => {
    const before = visits.findLast((one) => one.foot === visit.foot && one.on < visit.on);
    return before === undefined || visit.foundMm === null
      ? []
      : [
          {
            fromOn: before.on,
            toOn: visit.on,
            leftMm: before.leftMm,
            foundMm: visit.foundMm,
            wallAngleDegrees,
            wearFraction,
          },
        ];
  });

/** One foot of each visit, so that two feet of one horse do not count as two readings of its growth. */
const oneFootEach = (visits: readonly VisitFoot[]): readonly VisitFoot[] => {
  const feet = (["LF", "RF", "LH", "RH"] as const).map((foot) =>
    visits.filter((one) => one.foot === foot),
  );
  return feet.toSorted((a, b) => b.length - a.length)[0] ?? [];
};

/** What a horse's record says of its growth. */
export interface GrowingHorse {
  readonly id: string;
  readonly type: GrowthAnimal;
  readonly bornOn: string | null;
  readonly growthMmPer30d: number | null;
  readonly wearFraction: number | null;
  readonly wallAngleDegrees: number | null;
  readonly yard: { readonly timeZone: string };
}

/** Growth from a horse's record and its visits, latest first. */
const growthFrom = (
  horse: GrowingHorse,
  records: readonly store.VisitFeet[],
  values: GrowthValues,
  nowMs: number,
): HoofGrowth => {
  const zone = horse.yard.timeZone;
  const visits = records.toReversed().flatMap((record) =>
    record.feet.map((foot) => ({
      on: localDateOf(record.doneAt.getTime(), zone),
      foot: foot.foot,
      foundMm: foot.breakoverBeforeMm,
      leftMm: foot.breakoverAfterMm,
      lineMm: foot.newGrowthLineMm,
    })),
  );
  const series = oneFootEach(visits);
  const ageYears =
    horse.bornOn === null
      ? undefined
      : ageOn({ bornOn: horse.bornOn }, localDateOf(nowMs, zone))?.years;
  const lineReadings = series.flatMap((one) =>
    one.lineMm === null ? [] : [{ on: one.on, distanceMm: one.lineMm }],
  );
  const rate = horseGrowth({
    prior: publishedRate(horse.type, ageYears, values.priorSdMmPer30d),
    values,
    lineReadings,
    drifts: driftsOf(series, horse.wallAngleDegrees ?? USUAL_WALL_DEGREES, horse.wearFraction ?? 1),
    ...defined({ writtenMmPer30d: horse.growthMmPer30d ?? undefined }),
  });
  return {
    ...rate,
    lineReadings,
    visits: visits.map(({ on, foot, foundMm, leftMm }) => ({ on, foot, foundMm, leftMm })),
  };
};

/**
 * How fast each horse's feet grow: its own readings joined with the published rate of its kind. Plans,
 * their forecasts and the resets' board all go by this one figure.
 */
export const growthOfHorses = async (
  work: Pick<Work, "tx" | "nowMs">,
  growing: readonly { readonly horse: GrowingHorse; readonly values: GrowthValues }[],
): Promise<ReadonlyMap<string, HoofGrowth>> => {
  const found = await store.findVisitFeet(
    work.tx,
    growing.map(({ horse }) => horse.id),
    VISITS,
  );
  const byHorse = new Map<string, store.VisitFeet[]>(growing.map(({ horse }) => [horse.id, []]));
  for (const visit of found) byHorse.get(visit.horseId)?.push(visit);
  return new Map(
    growing.map(({ horse, values }) => [
      horse.id,
      growthFrom(horse, byHorse.get(horse.id) ?? [], values, work.nowMs),
    ]),
  );
};

/** The same for one horse, by the figures in force today. */
export const growthOf = async (
  work: Work,
  horseId: string,
  figures?: PlannerFigures,
): Promise<HoofGrowth> => {
  const horse = await horses.read(work, horseId);
  const { growth: values } = figures ?? (await plannerFigures(work));
  const found = await store.findVisitFeet(work.tx, [horseId], VISITS);
  return growthFrom(horse, found, values, work.nowMs);
};
