import type { Reset } from "@heelward/contracts";
import { describe, expect, it } from "vitest";
import { inTurn } from "./together.ts";

const reset = (name: string, yard: string, daysLate: number, minutes: number): Reset =>
  ({
    id: name,
    horse: { id: name, name, type: "horse" },
    yard: { id: yard, name: yard, timeZone: "UTC" },
    daysLate,
    bookedMinutes: null,
    estimatedMinutes: minutes,
  }) as unknown as Reset;

describe("visits booked together", () => {
  it("go yard by yard, the most pressing first, with half an hour between yards and no overlap", () => {
    const first = Date.parse("2026-10-15T08:00:00Z");
    const visits = inTurn(
      [reset("b", "near", -2, 30), reset("late", "far", 7, 60), reset("a", "far", -9, 45)],
      first,
    );
    expect(
      visits.map((one) => [one.reset.id, new Date(one.startMs).toISOString().slice(11, 16)]),
    ).toEqual([
      ["late", "08:00"],
      ["a", "09:00"],
      ["b", "10:15"],
    ]);
  });
});
