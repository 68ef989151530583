import fc from "fast-check";

import { beforeAll, describe, expect, it } from "vitest";
import { loadHighs, type ModelSolver } from "../../testdata/load-highs.ts";
import { inventedHorizon } from "../../testdata/invented-horizon.ts";
import { solveDayRoute } from "../day/solve-day-route.ts";
import { dayNumber, horizonModel } from "./horizon-model.ts";
import type { HorizonPlan, HorizonProblem } from "./horizon-types.ts";
import { greedyHorizon } from "./improve-horizon.ts";
import { draftCost } from "./horizon-draft.ts";
import { latenessBound } from "./lateness-bound.ts";
import { planHorizon } from "./plan-horizon.ts";

/** Checks every promise of a plan from the wording of the rules, not from the planner's own tables. */
const expectSoundPlan = (problem: HorizonProblem, plan: HorizonPlan): void => {
  const firstDay = Math.min(...problem.days.map((day) => dayNumber(day.on)));
  const seen = new Set<string>();
  for (const { farrierId, on, route } of plan.days) {
    const day = problem.days.find((d) => d.farrierId === farrierId && d.on === on);
    if (day === undefined) throw new Error("works on a day off");
    const farrier = problem.farriers.find((f) => f.id === farrierId)!;
    const rows = problem.drive.placeIds;
    let left = route.departMs;
    let place = day.startPlaceId;
    expect(left).toBeGreaterThanOrEqual(day.startMs);
    expect(route.returnMs).toBeLessThanOrEqual(day.endMs);
    if (day.dayBreak !== undefined) {
      const { dayBreak } = route;
      if (dayBreak === undefined) expect(route.returnMs).toBeLessThanOrEqual(day.dayBreak.untilMs);
      else {
        expect(dayBreak.endMs - dayBreak.startMs).toBe(day.dayBreak.minutes * 60_000);
        expect(dayBreak.startMs).toBeGreaterThanOrEqual(day.dayBreak.fromMs);
        expect(dayBreak.startMs).toBeLessThanOrEqual(day.dayBreak.untilMs);
        for (const stop of route.stops)
          expect(stop.leaveMs <= dayBreak.startMs || stop.startMs >= dayBreak.endMs).toBe(true);
      }
    }
    for (const stop of route.stops) {
      expect(seen.has(stop.stopId)).toBe(false);
      seen.add(stop.stopId);
      const reset = problem.resets.find((r) => r.id === stop.stopId)!;
      const opening = problem.openings.find((o) => o.placeId === reset.placeId && o.on === on);
      if (opening === undefined) throw new Error("visits a closed yard");
      const driveMs =
        problem.drive.seconds[rows.indexOf(place)]![rows.indexOf(stop.placeId)]! * 1000;
      expect(stop.startMs).toBeGreaterThanOrEqual(left + driveMs - 1);
      expect(stop.startMs).toBeGreaterThanOrEqual(opening.openMs);
      expect(stop.leaveMs).toBeLessThanOrEqual(opening.closeMs);
      expect(stop.leaveMs - stop.startMs).toBe(reset.serviceMinutes * 60_000);
      expect(on >= reset.earliestOn).toBe(true);
      if (reset.ceilingOn !== undefined && dayNumber(reset.ceilingOn) >= firstDay)
        expect(on <= reset.ceilingOn).toBe(true);
      for (const skill of reset.skills ?? []) expect(farrier.skills).toContain(skill);
      if (reset.onlyFarrierIds !== undefined) expect(reset.onlyFarrierIds).toContain(farrierId);
      if (reset.helperNeeded === true) {
        expect(stop.startMs).toBeGreaterThanOrEqual(opening.helper!.openMs);
        expect(stop.leaveMs).toBeLessThanOrEqual(opening.helper!.closeMs);
      }
      if (reset.vetNeeded === true)
        expect(
          (problem.vetVisits ?? []).some(
            (visit) =>
              visit.placeId === reset.placeId &&
              visit.on === on &&
              visit.openMs <= stop.startMs &&
              visit.closeMs >= stop.leaveMs,
          ),
        ).toBe(true);
      if (reset.fixed !== undefined)
        expect([farrierId, on]).toEqual([reset.fixed.farrierId, reset.fixed.on]);
      left = stop.leaveMs;
      place = stop.placeId;
    }
  }
  for (const { resetId } of plan.assignments) expect(seen.has(resetId)).toBe(true);
  expect(plan.assignments.length).toBe(seen.size);
  expect(plan.assignments.length + plan.unplaced.length).toBe(problem.resets.length);
  const late = problem.resets.reduce((sum, reset) => {
    const placed = plan.assignments.find((a) => a.resetId === reset.id);
    return placed === undefined
      ? sum
      : sum + reset.welfareWeight * Math.max(0, dayNumber(placed.on) - dayNumber(reset.dueOn));
  }, 0);
  expect(plan.score.latePoints).toBeGreaterThanOrEqual(late - 1e-9);
  expect(plan.latePointsLowerBound).toBeLessThanOrEqual(plan.score.latePoints + 1e-9);
  expect(plan.driveSecondsLowerBound).toBeLessThanOrEqual(plan.score.driveSeconds + 1e-6);
};

/** Adds vet visits, fixed and promised visits to an invented problem. */
const withAgreements = (problem: HorizonProblem): HorizonProblem => {
  const { openings, days, resets } = problem;
  const vetVisits = openings
    .filter((_, index) => index % 3 === 0)
    .map((opening, index) => ({
      id: `V${index}`,
      vetId: "vet",
      placeId: opening.placeId,
      on: opening.on,
      openMs: opening.openMs + 3_600_000,
      closeMs: opening.openMs + 4 * 3_600_000,
    }));
  return {
    ...problem,
    vetVisits,
    resets: resets.map((reset, index) => {
      const day = days[(index * 7) % days.length]!;
      if (index % 6 === 1) return { ...reset, vetNeeded: true };
      if (index % 6 === 2) return { ...reset, promised: { farrierId: day.farrierId, on: day.on } };
      if (index % 9 === 3) return { ...reset, fixed: { farrierId: day.farrierId, on: day.on } };
      if (index % 9 === 4) return { ...reset, onlyFarrierIds: ["F1"] };
      return reset;
    }),
  };
};

describe("a plan over weeks", () => {
  it("never breaks a window, a ceiling, hours, a break, a skill or a fixed visit, and books nobody twice", () => {
    fc.assert(
      fc.property(
        fc.integer(),
        fc.integer({ min: 1, max: 45 }),
        fc.integer({ min: 1, max: 3 }),
        fc.integer({ min: 3, max: 16 }),
        (seed, resets, farriers, days) => {
          const problem = withAgreements(
            inventedHorizon({ resets, farriers, days, yards: Math.ceil(resets / 5) }, seed),
          );
          fc.pre(problem.days.length > 0);
          expectSoundPlan(problem, planHorizon(problem, { rounds: 60, seed }));
        },
      ),
      { numRuns: 60, seed: 3 },
    );
  });

  it("lets only one farrier at a time share a vet's visit", () => {
    fc.assert(
      fc.property(fc.integer(), (seed) => {
        const invented = inventedHorizon({ resets: 14, farriers: 3, days: 7, yards: 2 }, seed);
        const problem = withAgreements({
          ...invented,
          resets: invented.resets.map((reset) => ({ ...reset, vetNeeded: true })),
        });
        const plan = planHorizon(problem, { rounds: 40 });
        const users = new Map<string, Set<string>>();
        for (const { resetId, farrierId, on } of plan.assignments) {
          const reset = problem.resets.find((r) => r.id === resetId)!;
          if (reset.vetNeeded !== true) continue;
          const key = `${reset.placeId} ${on}`;
          users.set(key, (users.get(key) ?? new Set()).add(farrierId));
        }
        for (const farriers of users.values()) expect(farriers.size).toBe(1);
      }),
      { numRuns: 15, seed: 9 },
    );
  });

  it("is never worse than placing one after the other, and the same seed gives the same plan", () => {
    const problem = inventedHorizon({ resets: 40, farriers: 2, days: 14, yards: 8 }, 21);
    const greedy = planHorizon(problem, { rounds: 0 });
    const plan = planHorizon(problem, { rounds: 400, seed: 2 });
    expect(plan.score.latePoints).toBeLessThanOrEqual(greedy.score.latePoints);
    expect(plan).toEqual(planHorizon(problem, { rounds: 400, seed: 2 }));
  });

  it("refuses days of one farrier that overlap and dates that are none", () => {
    const problem = inventedHorizon({ resets: 3, farriers: 1, days: 3, yards: 2 }, 1);
    expect(() => planHorizon({ ...problem, days: [...problem.days, problem.days[0]!] })).toThrow(
      /overlap/,
    );
    expect(() =>
      planHorizon({ ...problem, resets: [{ ...problem.resets[0]!, dueOn: "14/10/2026" }] }),
    ).toThrow(RangeError);
  });

  it("stops when told to, still with a sound plan, and reports progress on the way", () => {
    const problem = inventedHorizon({ resets: 60, farriers: 2, days: 10, yards: 10 }, 5);
    let asked = 0;
    const shares: number[] = [];
    const plan = planHorizon(problem, {
      rounds: 100_000,
      shouldStop: () => ++asked > 120,
      onProgress: ({ latePoints }) => shares.push(latePoints),
    });
    expect(plan.finished).toBe(false);
    expectSoundPlan(problem, plan);
    expect(shares.length).toBeGreaterThan(1);
    expect(shares.at(-1)).toBeLessThanOrEqual(shares[0]!);
  });
});

describe("explanations", () => {
  const problem = inventedHorizon({ resets: 2, farriers: 1, days: 9, yards: 1 }, 4);
  const [first] = problem.resets;
  const workdays = [...new Set(problem.days.map((day) => day.on))].sort();
  const open = workdays.filter((on) => problem.openings.some((o) => o.on === on));
  const reset = {
    ...first!,
    skills: [],
    helperNeeded: false,
    earliestOn: open[0]!,
    dueOn: open[0]!,
    ceilingOn: open.at(-1)!,
  };

  it("says that a yard is closed on the days that would have been in time", () => {
    const plan = planHorizon({
      ...problem,
      resets: [reset],
      openings: problem.openings.filter((opening) => opening.on > open[1]!),
    });
    expect(plan.assignments[0]!.why).toContain("yard closed");
    expect(plan.assignments[0]!.wouldImprove).toContain("yard opens");
  });

  it("says which skill is missing when nobody can do the work", () => {
    const plan = planHorizon({ ...problem, resets: [{ ...reset, skills: ["bar shoe"] }] });
    expect(plan.unplaced[0]!.why).toContain("skill");
    expect(plan.unplaced[0]!.wouldImprove).toContain("skill");
  });

  it("leaves a reset unplaced rather than past its ceiling, and asks for the vet", () => {
    const plan = planHorizon({
      ...problem,
      resets: [{ ...reset, ceilingOn: open[0]! }],
      openings: problem.openings.filter((opening) => opening.on !== open[0]),
    });
    expect(plan.unplaced[0]!.wouldImprove).toContain("vet's signed reason");
  });

  it("places a horse past its ceiling before the plan began as soon as it can", () => {
    const plan = planHorizon({
      ...problem,
      resets: [
        { ...reset, earliestOn: "2026-08-01", dueOn: "2026-09-01", ceilingOn: "2026-09-10" },
      ],
    });
    expect(plan.assignments[0]!.on).toBe(open[0]);
    expect(plan.assignments[0]!.wouldImprove).toBeUndefined();
  });
});

describe("planning again", () => {
  it("keeps promises where moving them wins little, and moves what a sick farrier leaves behind", () => {
    const problem = inventedHorizon({ resets: 24, farriers: 2, days: 14, yards: 6 }, 33);
    const plan = planHorizon(problem, { rounds: 300 });
    const promised: HorizonProblem = {
      ...problem,
      resets: problem.resets.map((reset) => {
        const placed = plan.assignments.find((a) => a.resetId === reset.id);
        return placed === undefined
          ? reset
          : { ...reset, promised: { farrierId: placed.farrierId, on: placed.on } };
      }),
    };
    const again = planHorizon(promised, { rounds: 300, seed: 5 });
    expect(again.score.movedPromises).toBeLessThanOrEqual(promised.resets.length * 0.1);
    const busiest = plan.days.reduce((most, day) =>
      day.route.stops.length > most.route.stops.length ? day : most,
    );
    const sick: HorizonProblem = {
      ...promised,
      days: promised.days.filter(
        (day) => day.farrierId !== busiest.farrierId || day.on !== busiest.on,
      ),
    };
    const replanned = planHorizon(sick, { rounds: 300, seed: 5 });
    expectSoundPlan(sick, replanned);
    const kept = replanned.assignments.filter((a) => !a.movedPromise).length;
    expect(kept).toBeGreaterThan((plan.assignments.length - busiest.route.stops.length) * 0.6);
  });
});

describe("a plan against a general integer-programming solver (HiGHS)", () => {
  let highs: ModelSolver;
  beforeAll(async () => {
    highs = await loadHighs();
  });

  it.each([1, 2, 3, 4, 5, 6])("finds the optimum of small problem %i", (seed) => {
    const problem = inventedHorizon({ resets: 7, farriers: 2, days: 4, yards: 3 }, seed * 13);
    const model = horizonModel(problem);
    const { days, resets } = problem;
    // One column per farrier's day and set of resets that has a route; choose at most one per day.
    const columns: {
      readonly day: number;
      readonly set: readonly number[];
      readonly cost: number;
    }[] = [];
    days.forEach((day, d) => {
      for (let bits = 1; bits < 1 << resets.length; bits++) {
        const set = resets.map((_, r) => r).filter((r) => (bits & (1 << r)) !== 0);
        if (set.some((r) => typeof model.slots[r * days.length + d] === "string")) continue;
        const route = solveDayRoute({
          startPlaceId: day.startPlaceId,
          endPlaceId: day.endPlaceId,
          startMs: day.startMs,
          endMs: day.endMs,
          drive: problem.drive,
          keepYardTogether: false,
          ...(day.dayBreak === undefined ? {} : { dayBreak: day.dayBreak }),
          stops: set.map((r) => {
            const slot = model.slots[r * days.length + d]!;
            if (typeof slot === "string") throw new Error(slot);
            const { id, placeId, serviceMinutes } = resets[r]!;
            return {
              id,
              placeId,
              serviceMinutes,
              window: { openMs: slot.openMs, closeMs: slot.closeMs },
            };
          }),
        });
        if (route.status !== "solved") continue;
        const placing = set.reduce((sum, r) => sum + model.placeCost[r * days.length + d]!, 0);
        columns.push({
          day: d,
          set,
          cost: placing + route.totalTravelSeconds + model.weights.dayUsedSeconds,
        });
      }
    });
    // In units of one late point, so that the figures stay within the solver's tolerance.
    const unit = 1e4;
    const cover = resets.map(
      (_, r) =>
        ` r${r}: u${r}${columns.map((c, i) => (c.set.includes(r) ? ` + x${i}` : "")).join("")} = 1`,
    );
    const once = days.flatMap((_, d) => {
      const own = columns.flatMap((c, i) => (c.day === d ? [`x${i}`] : []));
      return own.length === 0 ? [] : [` d${d}: ${own.join(" + ")} <= 1`];
    });
    const text = `Minimize\n obj: ${[
      ...resets.map((_, r) => `${model.unplacedCost[r]! / unit} u${r}`),
      ...columns.map((c, i) => `${c.cost / unit} x${i}`),
    ].join(" + ")}\nSubject To\n${[...cover, ...once].join("\n")}\nBinary\n ${[
      ...resets.map((_, r) => `u${r}`),
      ...columns.map((_, i) => `x${i}`),
    ].join(" ")}\nEnd`;
    const solution = highs.solve(text, { mip_rel_gap: 0, mip_abs_gap: 1e-6 });
    expect(solution.Status).toBe("Optimal");
    const plan = planHorizon(problem, { rounds: 1500 });
    const own =
      plan.score.driveSeconds +
      plan.score.daysUsed * model.weights.dayUsedSeconds +
      resets.reduce((sum, reset, r) => {
        const placed = plan.assignments.find((a) => a.resetId === reset.id);
        const d = days.findIndex(
          (day) => day.farrierId === placed?.farrierId && day.on === placed.on,
        );
        return sum + (d < 0 ? model.unplacedCost[r]! : model.placeCost[r * days.length + d]!);
      }, 0);
    expect(Math.abs(own - solution.ObjectiveValue * unit)).toBeLessThan(1);
  });

  it.each([1, 2, 3])("has the lateness bound of the linear programme, problem %i", (seed) => {
    const problem = inventedHorizon({ resets: 40, farriers: 1, days: 9, yards: 5 }, seed * 5);
    const model = horizonModel(problem);
    const { days, resets } = problem;
    const rows = new Set(model.placeOf);
    const terms: string[] = [];
    const fill: string[][] = days.map(() => []);
    const cover = resets.map((reset, r) => {
      const parts: string[] = [];
      days.forEach((_, d) => {
        if (typeof model.slots[r * days.length + d] === "string") return;
        terms.push(`${model.lateDays[r * days.length + d]! * reset.welfareWeight} x_${r}_${d}`);
        fill[d]!.push(`${reset.serviceMinutes * 60} x_${r}_${d}`);
        parts.push(`x_${r}_${d}`);
      });
      terms.push(`${model.unplacedDays[r]! * reset.welfareWeight} u_${r}`);
      return ` c${r}: ${[...parts, `u_${r}`].join(" + ")} = 1`;
    });
    const caps = days.flatMap((day, d) => {
      const nearest = Math.min(
        ...[...rows].map(
          (yard) =>
            model.seconds[model.startOf[d]! * model.places + yard]! +
            model.seconds[yard * model.places + model.endOf[d]!]!,
        ),
      );
      return fill[d]!.length === 0
        ? []
        : [` d${d}: ${fill[d]!.join(" + ")} <= ${(day.endMs - day.startMs) / 1000 - nearest}`];
    });
    const solution = highs.solve(
      `Minimize\n obj: ${terms.join(" + ")}\nSubject To\n${[...cover, ...caps].join("\n")}\nEnd`,
    );
    expect(latenessBound(model)).toBeCloseTo(solution.ObjectiveValue, 3);
    expect(solution.ObjectiveValue).toBeGreaterThan(0);
    expect(draftCost(model, greedyHorizon(model))).toBeGreaterThanOrEqual(
      solution.ObjectiveValue * model.pointCost - 1,
    );
  });
});
