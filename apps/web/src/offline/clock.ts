/**
 * The device's clock against the service's. Offsets are service time minus device time, in ms: what
 * must be added to a device time to get the service's.
 */
export interface ClockReading {
  readonly offsetMs: number;
  /** Half the round trip: the offset is known no better. */
  readonly uncertaintyMs: number;
  /** Device time of the reading, epoch ms. */
  readonly deviceAtMs: number;
}

/** A clock further out than this is told, and times are corrected. House rule. */
export const CLOCK_SLACK_MS = 2 * 60_000;

/**
 * One reading, from a question sent and answered at these device times and the service's clock in the
 * answer. Source: the offset of RFC 5905 §8 (network time), with the service's two times taken as one.
 */
export const readClock = (
  sentAtMs: number,
  answeredAtMs: number,
  serviceAtMs: number,
): ClockReading => ({
  offsetMs: Math.round(serviceAtMs - (sentAtMs + answeredAtMs) / 2),
  uncertaintyMs: Math.ceil(Math.max(0, answeredAtMs - sentAtMs) / 2),
  deviceAtMs: answeredAtMs,
});

/** True when the clock is further out than {@link CLOCK_SLACK_MS} and more than the reading's own uncertainty. */
export const isClockWrong = ({ offsetMs, uncertaintyMs }: ClockReading): boolean =>
  Math.abs(offsetMs) > CLOCK_SLACK_MS + uncertaintyMs;

/** What is known of the time of something written on the device. */
export interface Moment {
  readonly deviceAtMs: number;
  /** The last reading before it was written; null when there was none. */
  readonly before: ClockReading | null;
}

/** When something happened, in service time. */
export interface Happened {
  readonly atMs: number;
  /** The clock was changed between the readings before and after: the time is a bound, not a reading. */
  readonly isUncertain: boolean;
}

/**
 * When something happened in service time: device time plus the offset. Where the clock was changed
 * between the reading before it and the one after it, the offset that puts it between the two readings
 * is taken; what fits neither is put on the nearer end. Never before what the device wrote earlier
 * (`notBeforeMs`) and never after the reading that follows it.
 */
export const happenedAt = (
  { deviceAtMs, before }: Moment,
  after: ClockReading,
  notBeforeMs = Number.NEGATIVE_INFINITY,
): Happened => {
  const latest = after.deviceAtMs + after.offsetMs;
  const earliest = Math.max(
    notBeforeMs,
    before === null ? Number.NEGATIVE_INFINITY : before.deviceAtMs + before.offsetMs,
  );
  const byAfter = deviceAtMs + after.offsetMs;
  const wasChanged = before !== null && Math.abs(before.offsetMs - after.offsetMs) > CLOCK_SLACK_MS;
  const candidates = wasChanged ? [deviceAtMs + before.offsetMs, byAfter] : [byAfter];
  const fits = candidates.find((one) => one >= earliest - 1 && one <= latest);
  const atMs = Math.min(latest, Math.max(earliest, fits ?? byAfter));
  return { atMs, isUncertain: wasChanged };
};
