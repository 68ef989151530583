import { estimateDriveMatrix, type Place } from "../src/geo/drive-times.ts";
import { randomStream } from "../src/random.ts";
import type {
  DueReset,
  FarrierDay,
  HorizonProblem,
  YardOpening,
} from "../src/horizon/horizon-types.ts";

/** Size of an invented planning problem. */
export interface InventedSize {
  readonly resets: number;
  readonly farriers: number;
  readonly days: number;
  readonly yards: number;
}

const FIRST_DAY_MS = Date.UTC(2026, 9, 14);
const DAY_MS = 86_400_000;

/**
 * A random planning problem for tests and benches; wholly invented. Days start on 2026-10-14 and run
 * across the clock change of 2026-10-25; weekends are off.
 */
export const inventedHorizon = (size: InventedSize, seed: number): HorizonProblem => {
  const random = randomStream(seed);
  const dateOf = (day: number): string =>
    new Date(FIRST_DAY_MS + day * DAY_MS).toISOString().slice(0, 10);
  // Local 00:00 in instants: +01:00 until 2026-10-25, +00:00 after.
  const midnight = (day: number): number =>
    FIRST_DAY_MS + day * DAY_MS - (dateOf(day) <= "2026-10-25" ? 3_600_000 : 0);
  const clock = (day: number, hours: number): number => {
    const shift = dateOf(day) === "2026-10-25" && hours >= 2 ? 3_600_000 : 0;
    return midnight(day) + hours * 3_600_000 + shift;
  };
  const isWorkday = (day: number): boolean => {
    const weekday = new Date(FIRST_DAY_MS + day * DAY_MS).getUTCDay();
    return weekday !== 0 && weekday !== 6;
  };
  const point = (id: string): Place => ({
    id,
    at: { latDegrees: 53 + random.next() * 0.5, lonDegrees: -9.2 + random.next() * 0.7 },
  });
  const yards = Array.from({ length: size.yards }, (_, index) => point(`Y${index}`));
  const homes = Array.from({ length: size.farriers }, (_, index) => point(`home ${index}`));
  const farriers = homes.map((_, index) => ({
    id: `F${index}`,
    skills: index % 2 === 0 ? ["glue-on"] : [],
  }));
  const days: FarrierDay[] = [];
  const openings: YardOpening[] = [];
  for (let day = 0; day < size.days; day++) {
    if (!isWorkday(day)) continue;
    farriers.forEach((farrier, index) => {
      if (random.next() < 0.1) return;
      days.push({
        farrierId: farrier.id,
        on: dateOf(day),
        startMs: clock(day, 8),
        endMs: clock(day, 16.5),
        startPlaceId: homes[index]!.id,
        endPlaceId: homes[index]!.id,
        dayBreak: { fromMs: clock(day, 11.5), untilMs: clock(day, 14), minutes: 30 },
      });
    });
    yards.forEach((yard, index) => {
      if (random.next() < 0.1) return;
      const openMs = clock(day, 7 + (index % 3));
      openings.push({
        placeId: yard.id,
        on: dateOf(day),
        openMs,
        closeMs: clock(day, 15 + (index % 4)),
        ...(random.next() < 0.7 ? { helper: { openMs, closeMs: clock(day, 13) } } : {}),
      });
    });
  }
  const resets = Array.from({ length: size.resets }, (_, index): DueReset => {
    const due = random.below(size.days + 4) - 6;
    return {
      id: `R${index}`,
      placeId: yards[random.below(yards.length)]!.id,
      serviceMinutes: 30 + 15 * random.below(5),
      earliestOn: dateOf(due - 7),
      dueOn: dateOf(due),
      ceilingOn: dateOf(due + 14),
      welfareWeight: [1, 1, 1, 2, 5][random.below(5)]!,
      ...(random.next() < 0.15 ? { skills: ["glue-on"] } : {}),
      ...(random.next() < 0.2 ? { helperNeeded: true } : {}),
    };
  });
  return { farriers, days, openings, resets, drive: estimateDriveMatrix([...yards, ...homes]) };
};
