import { describe, expect, it } from "vitest";
import { daysOf } from "./choices.ts";
import type { PlanChoice } from "./queries.ts";

const choice = (resetId: string, farrier: string, startAt: string): PlanChoice => ({
  resetId,
  resetVersion: 1,
  horse: { id: resetId, name: resetId },
  yard: { id: "y", name: "Yard" },
  farrier: { id: farrier, name: farrier },
  on: startAt.slice(0, 10),
  startAt,
  minutes: 45,
  lateDays: 0,
  movedPromise: false,
  why: "",
  wouldImprove: null,
  filmNeeded: null,
});

describe("a plan read day by day", () => {
  it("keeps each farrier's day together, in the order of the hours, and loses no visit", () => {
    const days = daysOf([
      choice("late", "Ada", "2026-10-15T13:00:00.000Z"),
      choice("next", "Ada", "2026-10-16T08:00:00.000Z"),
      choice("early", "Ada", "2026-10-15T08:00:00.000Z"),
      choice("other", "Ben", "2026-10-15T09:00:00.000Z"),
    ]);
    expect(
      days.map((day) => [day.on, day.farrier.name, day.choices.map((one) => one.resetId)]),
    ).toEqual([
      ["2026-10-15", "Ada", ["early", "late"]],
      ["2026-10-15", "Ben", ["other"]],
      ["2026-10-16", "Ada", ["next"]],
    ]);
  });
});
