import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { CLOCK_SLACK_MS, happenedAt, isClockWrong, readClock } from "./clock.ts";

const NOON = Date.parse("2026-10-14T12:00:00Z");
const MINUTE = 60_000;

describe("a phone's clock against the service's", () => {
  it("is read as network time is: the service's time against the middle of question and answer", () => {
    // Source: RFC 5905 §8 with T2 = T3: offset = ((T2 - T1) + (T3 - T4)) / 2.
    const [t1, t2, t4] = [NOON, NOON + 5 * MINUTE, NOON + 400];
    expect(readClock(t1, t4, t2)).toEqual({
      offsetMs: (t2 - t1 + (t2 - t4)) / 2,
      uncertaintyMs: 200,
      deviceAtMs: t4,
    });
  });

  it("is called wrong only beyond its slack and beyond what the reading itself leaves open", () => {
    expect(isClockWrong(readClock(NOON, NOON, NOON + CLOCK_SLACK_MS))).toBe(false);
    expect(isClockWrong(readClock(NOON, NOON, NOON + CLOCK_SLACK_MS + 1))).toBe(true);
    expect(
      isClockWrong(readClock(NOON, NOON + 10 * MINUTE, NOON + 5 * MINUTE + CLOCK_SLACK_MS)),
    ).toBe(false);
  });

  it("corrects what was written by exactly as much as the clock is out, whatever that is", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -86_400_000, max: 86_400_000 }),
        fc.integer({ min: 0, max: 8 * 3_600_000 }),
        (skewMs, agoMs) => {
          const before = readClock(
            NOON - 9 * 3_600_000 - skewMs,
            NOON - 9 * 3_600_000 - skewMs,
            NOON - 9 * 3_600_000,
          );
          const after = readClock(NOON - skewMs, NOON - skewMs, NOON);
          const found = happenedAt({ deviceAtMs: NOON - agoMs - skewMs, before }, after);
          expect(found).toEqual({ atMs: NOON - agoMs, isUncertain: false });
        },
      ),
    );
  });

  it("says so when the clock was set in between, and keeps the time between what is known for certain", () => {
    // Right at six, then set two hours ahead in the yard; the work was at ten by the wrong clock.
    const six = readClock(NOON - 6 * 60 * MINUTE, NOON - 6 * 60 * MINUTE, NOON - 6 * 60 * MINUTE);
    const wrong = readClock(NOON + 120 * MINUTE, NOON + 120 * MINUTE, NOON);
    const found = happenedAt({ deviceAtMs: NOON + 60 * MINUTE, before: six }, wrong);
    expect(found).toEqual({ atMs: NOON - 60 * MINUTE, isUncertain: true });
  });

  it("never puts a time after it arrived or before what the phone wrote earlier", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -10 * 3_600_000, max: 10 * 3_600_000 }),
        fc.integer({ min: -10 * 3_600_000, max: 10 * 3_600_000 }),
        fc.integer({ min: -10 * 3_600_000, max: 0 }),
        (skewBefore, skewAfter, earlierAgo) => {
          const before = readClock(NOON - skewBefore, NOON - skewBefore, NOON);
          const laterMs = NOON + 8 * 3_600_000;
          const after = readClock(laterMs - skewAfter, laterMs - skewAfter, laterMs);
          const earlierMs = laterMs + earlierAgo;
          const { atMs } = happenedAt({ deviceAtMs: NOON, before }, after, earlierMs);
          expect(atMs).toBeLessThanOrEqual(laterMs);
          expect(atMs).toBeGreaterThanOrEqual(earlierMs);
        },
      ),
    );
  });
});
