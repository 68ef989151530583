import { Problem } from "./problem.ts";

const WINDOW_MS = 60_000;
/** Above this many accounts at once, the oldest windows are forgotten. */
const MOST_ACCOUNTS = 50_000;

/** Counts requests of one account, in this process. */
export interface AccountLimit {
  /** @throws Problem `rate-limited` when there were too many within the minute. */
  readonly count: (account: string, nowMs: number) => void;
}

/** At most so many requests a minute from one account, whatever addresses they come from. */
export const accountLimit = (perMinute: number): AccountLimit => {
  const windows = new Map<string, { startedAtMs: number; requests: number }>();
  return {
    count: (account, nowMs) => {
      const now = windows.get(account);
      if (now === undefined || nowMs - now.startedAtMs >= WINDOW_MS || nowMs < now.startedAtMs) {
        windows.delete(account);
        windows.set(account, { startedAtMs: nowMs, requests: 1 });
        if (windows.size > MOST_ACCOUNTS) {
          const [oldest] = windows.keys();
          if (oldest !== undefined) windows.delete(oldest);
        }
        return;
      }
      now.requests += 1;
      if (now.requests > perMinute)
        throw new Problem("rate-limited", "Too many requests from this account for now.", {
          retryAfterSeconds: Math.ceil((now.startedAtMs + WINDOW_MS - nowMs) / 1000),
        });
    },
  };
};
