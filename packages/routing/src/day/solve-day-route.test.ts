import fc from "fast-check";

import { beforeAll, describe, expect, it } from "vitest";
import { solveDayModel } from "../../testdata/day-model.ts";
import { loadHighs, type ModelSolver } from "../../testdata/load-highs.ts";
import { randomDay } from "../../testdata/random-day.ts";
import { publicInstance } from "../../testdata/read-tsptw.ts";
import { estimateDriveMatrix } from "../geo/drive-times.ts";
import { toGeoJson } from "../geo/route-geojson.ts";
import type { DayRouteProblem, RouteDay, RouteStop } from "./day-route-types.ts";
import { solveDayRoute } from "./solve-day-route.ts";

const permutations = <T>(items: readonly T[]): T[][] =>
  items.length <= 1
    ? [[...items]]
    : items.flatMap((item, index) =>
        permutations([...items.slice(0, index), ...items.slice(index + 1)]).map((rest) => [
          item,
          ...rest,
        ]),
      );

const secondsBetween = (problem: DayRouteProblem, from: string, to: string): number => {
  const { placeIds, seconds } = problem.drive;
  return seconds[placeIds.indexOf(from)]![placeIds.indexOf(to)]!;
};

/** Whether an order works, told straight from the wording of the rules, trying every break place. */
const works = (problem: DayRouteProblem, order: readonly RouteStop[]): boolean => {
  const together = problem.keepYardTogether ?? true;
  for (const [first, later] of problem.precedence ?? [])
    if (order.findIndex((s) => s.id === first) > order.findIndex((s) => s.id === later))
      return false;
  const urgentYards = new Set(order.filter((s) => s.mustBeFirst).map((s) => s.placeId));
  for (const [at, stop] of order.entries())
    for (const earlier of order.slice(0, at)) {
      const otherUrgentYard =
        together && urgentYards.has(earlier.placeId) && earlier.placeId !== stop.placeId;
      if (stop.mustBeFirst && !earlier.mustBeFirst && !otherUrgentYard) return false;
    }
  if (together) {
    const blocks = order.filter((stop, at) => at === 0 || order[at - 1]!.placeId !== stop.placeId);
    if (new Set(blocks.map((stop) => stop.placeId)).size !== blocks.length) return false;
  }
  const { dayBreak } = problem;
  const legs = order.length + 1;
  const choices: (readonly [number, "leaving" | "arriving"] | undefined)[] = [undefined];
  if (dayBreak !== undefined)
    for (let leg = 0; leg < legs; leg++) choices.push([leg, "leaving"], [leg, "arriving"]);
  return choices.some((choice) => {
    let now = problem.startMs;
    let place = problem.startPlaceId;
    for (let leg = 0; leg < legs; leg++) {
      const stop = order[leg];
      const next = stop?.placeId ?? problem.endPlaceId;
      const rest = (when: "leaving" | "arriving"): boolean => {
        if (dayBreak === undefined || choice?.[0] !== leg || choice[1] !== when) return true;
        now = Math.max(now, dayBreak.fromMs);
        if (now > dayBreak.untilMs) return false;
        now += dayBreak.minutes * 60_000;
        return true;
      };
      if (!rest("leaving")) return false;
      now += secondsBetween(problem, place, next) * 1000;
      if (!rest("arriving")) return false;
      place = next;
      if (stop === undefined) break;
      now = Math.max(now, stop.window?.openMs ?? now);
      if (now > (stop.window?.closeMs ?? Infinity)) return false;
      now += stop.serviceMinutes * 60_000;
      if (now > (stop.finishByMs ?? Infinity)) return false;
    }
    if (now > problem.endMs) return false;
    return choice !== undefined || dayBreak === undefined || now <= dayBreak.untilMs;
  });
};

const travel = (problem: DayRouteProblem, order: readonly RouteStop[]): number => {
  const places = [problem.startPlaceId, ...order.map((s) => s.placeId), problem.endPlaceId];
  return places
    .slice(1)
    .reduce((sum, place, index) => sum + secondsBetween(problem, places[index]!, place), 0);
};

/** Checks a planned day against the clock, stop by stop. */
const expectSound = (problem: DayRouteProblem, route: RouteDay): void => {
  let left = route.departMs;
  let place = route.startPlaceId;
  const { dayBreak } = route;
  expect(left).toBeGreaterThanOrEqual(problem.startMs);
  for (const stop of route.stops) {
    const given = problem.stops.find((s) => s.id === stop.stopId)!;
    // Times are rounded to whole milliseconds.
    expect(stop.arriveMs - left).toBeGreaterThanOrEqual(
      secondsBetween(problem, place, stop.placeId) * 1000 - 1,
    );
    expect(stop.startMs).toBeGreaterThanOrEqual(stop.arriveMs);
    expect(stop.startMs).toBeGreaterThanOrEqual(given.window?.openMs ?? 0);
    expect(stop.startMs + stop.slackMs).toBeLessThanOrEqual(given.window?.closeMs ?? Infinity);
    expect(stop.leaveMs).toBe(stop.startMs + given.serviceMinutes * 60_000);
    expect(stop.leaveMs).toBeLessThanOrEqual(given.finishByMs ?? Infinity);
    if (dayBreak !== undefined)
      expect(stop.leaveMs <= dayBreak.startMs || stop.startMs >= dayBreak.endMs).toBe(true);
    left = stop.leaveMs;
    place = stop.placeId;
  }
  expect(route.returnMs).toBeLessThanOrEqual(problem.endMs);
  expect(route.stops.map((s) => s.stopId).sort()).toEqual(problem.stops.map((s) => s.id).sort());
};

describe("a day's route against every possible order", () => {
  it("drives as little as the best of all orders, or says that none works", () => {
    let solved = 0;
    let refused = 0;
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 6 }), fc.integer(), (stops, seed) => {
        const problem = randomDay(stops, seed);
        const best = Math.min(
          ...permutations(problem.stops)
            .filter((order) => works(problem, order))
            .map((order) => travel(problem, order)),
        );
        const result = solveDayRoute(problem);
        if (result.status !== "solved") {
          refused++;
          expect(result.status).toBe("infeasible");
          expect(best).toBe(Infinity);
          return;
        }
        solved++;
        expect(result.proof).toBe("optimal");
        expect(result.totalTravelSeconds).toBe(best);
        expect(result.lowerBoundSeconds).toBe(best);
        expectSound(problem, result);
      }),
      { numRuns: 300, seed: 11 },
    );
    expect(solved).toBeGreaterThan(60);
    expect(refused).toBeGreaterThan(20);
  });

  it("names a smallest set of stops that cannot go together", () => {
    fc.assert(
      fc.property(fc.integer(), (seed) => {
        const problem = randomDay(5, seed);
        const result = solveDayRoute(problem);
        fc.pre(result.status === "infeasible");
        if (result.status !== "infeasible") return;
        const conflict = problem.stops.filter((stop) => result.stopIds.includes(stop.id));
        const hasOrder = (stops: readonly RouteStop[]): boolean =>
          permutations(stops).some((order) =>
            works(
              {
                ...problem,
                stops,
                precedence: (problem.precedence ?? []).filter((pair) =>
                  pair.every((id) => stops.some((s) => s.id === id)),
                ),
              },
              order,
            ),
          );
        expect(hasOrder(conflict)).toBe(false);
        for (const stop of conflict)
          expect(hasOrder(conflict.filter((other) => other !== stop))).toBe(true);
      }),
      { numRuns: 40, seed: 5 },
    );
  });
});

describe("a day's route against a general integer-programming solver (HiGHS)", () => {
  let highs: ModelSolver;
  beforeAll(async () => {
    highs = await loadHighs();
  });

  const optimum = (problem: DayRouteProblem): number => solveDayModel(highs, problem);

  it.each(Array.from({ length: 12 }, (_, index) => index + 1))(
    "has the same optimum on random day %i",
    (seed) => {
      const problem = randomDay(7, seed * 31, true);
      const result = solveDayRoute(problem);
      const expected = optimum(problem);
      expect(result.status === "solved" ? result.totalTravelSeconds : Infinity).toBe(expected);
    },
  );
});

describe("public instances of the travelling salesman problem with time windows", () => {
  // n20…: Dumas, Desrosiers, Gélinas & Solomon 1995, Operations Research 43(2):367–371;
  // rc_…: Potvin & Bengio 1996, INFORMS Journal on Computing 8(2):165–172, after Solomon 1987.
  it.each([
    ["n20w20.001", 378],
    ["n20w60.001", 335],
    ["n20w100.001", 237],
    ["rc_202.2", 304.14],
    ["rc_203.4", 314.29],
    ["rc_206.1", 117.85],
  ] as const)("solves %s to its proven optimum %d, with proof", (name, value) => {
    const problem = publicInstance(name);
    const result = solveDayRoute(problem);
    expect(result.status).toBe("solved");
    if (result.status !== "solved") return;
    expect(result.proof).toBe("optimal");
    expect(result.totalTravelSeconds).toBeCloseTo(value, 2);
    expectSound(problem, result);
  });
});

describe("the demo day, 2026-10-14", () => {
  const places = [
    { id: "BASE", at: { latDegrees: 53.214, lonDegrees: -9.041 } },
    { id: "Y1", at: { latDegrees: 53.268, lonDegrees: -8.934 } },
    { id: "Y2", at: { latDegrees: 53.151, lonDegrees: -9.102 } },
    { id: "Y3", at: { latDegrees: 53.192, lonDegrees: -8.871 } },
    { id: "Y4", at: { latDegrees: 53.305, lonDegrees: -9.118 } },
  ];
  const at = (time: string): number => Date.parse(`2026-10-14T${time}:00+01:00`);
  const base = {
    startPlaceId: "BASE",
    endPlaceId: "BASE",
    startMs: at("07:30"),
    endMs: at("16:00"),
    drive: estimateDriveMatrix(places),
  };

  it("sends the second farrier to Y4 first because H22 is red, then to Y3: 58.8 km", () => {
    const problem: DayRouteProblem = {
      ...base,
      stops: [
        { id: "H16", placeId: "Y3", serviceMinutes: 60 },
        {
          id: "H22",
          placeId: "Y4",
          serviceMinutes: 75,
          mustBeFirst: true,
          window: { openMs: at("09:00"), closeMs: at("09:00") },
        },
      ],
    };
    const result = solveDayRoute(problem);
    if (result.status !== "solved") throw new Error(result.reason);
    expect(result.stops.map((stop) => stop.stopId)).toEqual(["H22", "H16"]);
    expect(Math.abs(result.totalTravelMetres / 1000 - 58.8)).toBeLessThan(0.15);
    expect(result.stops[0]!.startMs).toBe(at("09:00"));
    expect(result.stops[0]!.slackMs).toBe(0);
    expect(result.departMs).toBe(result.stops[0]!.startMs - result.stops[0]!.driveSeconds * 1000);

    const json = toGeoJson(result, places);
    expect(json.features).toHaveLength(3);
    expect(json.features[0]!.geometry.coordinates[0]).toEqual([-9.041, 53.214]);
    expect(json.bbox).toEqual([-9.118, 53.192, -8.871, 53.305]);
  });

  it("takes the first farrier round Y1 and Y2 in 46.7 km", () => {
    const result = solveDayRoute({
      ...base,
      stops: [
        { id: "H03", placeId: "Y1", serviceMinutes: 45 },
        { id: "H08", placeId: "Y2", serviceMinutes: 60 },
        { id: "H04", placeId: "Y1", serviceMinutes: 45 },
      ],
      precedence: [["H03", "H08"]],
    });
    if (result.status !== "solved") throw new Error(result.reason);
    expect(result.stops.map((stop) => stop.placeId)).toEqual(["Y1", "Y1", "Y2"]);
    expect(Math.abs(result.totalTravelMetres / 1000 - 46.7)).toBeLessThan(0.15);
  });

  it("says plainly which stop cannot be met when a window is out of reach", () => {
    const result = solveDayRoute({
      ...base,
      stops: [
        { id: "H16", placeId: "Y3", serviceMinutes: 60 },
        {
          id: "H22",
          placeId: "Y4",
          serviceMinutes: 75,
          window: { openMs: at("07:30"), closeMs: at("07:40") },
        },
      ],
    });
    expect(result).toMatchObject({ status: "infeasible", stopIds: ["H22"] });
  });

  it("plans an empty day, and refuses a place without drive times", () => {
    const empty = solveDayRoute({ ...base, stops: [] });
    expect(empty).toMatchObject({ status: "solved", totalTravelSeconds: 0, stops: [] });
    expect(() =>
      solveDayRoute({ ...base, stops: [{ id: "x", placeId: "nowhere", serviceMinutes: 5 }] }),
    ).toThrow(RangeError);
  });
});

describe("limits", () => {
  const big = randomDay(30, 3, true);
  const loose: DayRouteProblem = {
    ...big,
    endMs: big.endMs + 40_000_000,
    stops: big.stops.map(({ id, placeId, serviceMinutes }) => ({ id, placeId, serviceMinutes })),
  };

  it("gives the same answer for the same seed", () => {
    const problem = randomDay(9, 8, true);
    expect(solveDayRoute(problem, { seed: 4 })).toEqual(solveDayRoute(problem, { seed: 4 }));
  });

  it("stops when told to and still hands back a sound day with an honest bound", () => {
    let asked = 0;
    const result = solveDayRoute(loose, { shouldStop: () => ++asked > 40 });
    if (result.status !== "solved") throw new Error(result.reason);
    expectSound(loose, result);
    expect(result.proof).toBe("bound");
    expect(result.lowerBoundSeconds).toBeLessThanOrEqual(result.totalTravelSeconds);
  });

  it("uses only the clock it was given", () => {
    let clockMs = 0;
    const result = solveDayRoute(loose, { nowMs: () => (clockMs += 10), timeLimitMs: 300 });
    expect(result.status).toBe("solved");
  });
});
