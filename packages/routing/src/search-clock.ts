/** How a search may be limited from outside. Nothing here reads a clock by itself. */
export interface SearchLimits {
  /** Asked often; `true` makes the search return the best it has. */
  readonly shouldStop?: () => boolean;
  /** The caller's clock in ms; only differences are used. Needed for `timeLimitMs` to count. */
  readonly nowMs?: () => number;
  readonly timeLimitMs?: number;
}

/** The limits as one question. Once it has said yes it keeps saying yes. */
export interface SearchClock {
  readonly isOver: () => boolean;
  /** Share of the time limit used, 0 to 1; 0 when there is no limit. */
  readonly share: () => number;
}

/** Starts the clock at the moment of the call. */
export const startClock = (limits: SearchLimits): SearchClock => {
  const { shouldStop, nowMs, timeLimitMs } = limits;
  const limited = nowMs !== undefined && timeLimitMs !== undefined;
  const startMs = limited ? nowMs() : 0;
  let over = false;
  const share = (): number =>
    limited ? Math.min(1, (nowMs() - startMs) / Math.max(1, timeLimitMs)) : 0;
  return {
    share,
    isOver: () => {
      over ||= shouldStop?.() === true || share() >= 1;
      return over;
    },
  };
};
