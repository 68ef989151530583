import { describe, expect, it } from "vitest";
import { MS_PER_HOUR } from "../time/index.ts";
import { summariseIce, type IceEntry } from "./index.ts";

const t0 = Date.parse("2026-04-28T10:00:00Z");
const at = (hours: number, more: Partial<IceEntry> = {}): IceEntry => ({
  kind: "checked",
  ...more,
  atMs: t0 + hours * MS_PER_HOUR,
});

/** Limits: refilled every 2 h (Kullmann 2014), hoof below 10 °C (review of cooling, Vet J 2023). */
describe("ice log", () => {
  it("shows the one gap of 3 h 10 min among two-hourly looks", () => {
    const log = [at(0, { kind: "on" }), at(2), at(4), at(4 + 3 + 1 / 6), at(9)];
    const summary = summariseIce(log, t0 + 9 * MS_PER_HOUR);
    expect(summary.gaps).toHaveLength(1);
    expect(summary.gaps[0]).toEqual({
      fromMs: t0 + 4 * MS_PER_HOUR,
      toMs: t0 + (4 + 3 + 1 / 6) * MS_PER_HOUR,
    });
    expect(summary.findings).toHaveLength(1);
  });

  it("takes two hours as in time and a minute more as a gap", () => {
    const gaps = (hours: number) =>
      summariseIce([at(0, { kind: "on" }), at(hours)], t0 + hours * MS_PER_HOUR).gaps.length;
    expect(gaps(2)).toBe(0);
    expect(gaps(2 + 1 / 60)).toBe(1);
  });

  it("adds up the hours of the last day and counts a gap only as long as ice lasts", () => {
    const log = [at(0, { kind: "on" }), at(2), at(4, { kind: "off" }), at(10, { kind: "on" })];
    expect(summariseIce(log, t0 + 11 * MS_PER_HOUR).hoursInLastDay).toBeCloseTo(5, 10);
    expect(summariseIce(log, t0 + 20 * MS_PER_HOUR).hoursInLastDay).toBeCloseTo(6, 10);
    expect(summariseIce(log, t0 + 27 * MS_PER_HOUR).hoursInLastDay).toBeCloseTo(3, 10);
    expect(summariseIce([], t0).hoursInLastDay).toBe(0);
  });

  it("warns at 10 °C, not below, and of sore skin", () => {
    const warnings = (more: Partial<IceEntry>) =>
      summariseIce([at(0, { kind: "on", ...more })], t0).findings.length;
    expect(warnings({ hoofWallCelsius: 9.9 })).toBe(0);
    expect(warnings({ hoofWallCelsius: 10 })).toBe(1);
    expect(warnings({ skinSore: true })).toBe(1);
  });

  it("ignores entries that are still to come", () => {
    expect(summariseIce([at(5, { kind: "on" })], t0).hoursInLastDay).toBe(0);
  });
});
