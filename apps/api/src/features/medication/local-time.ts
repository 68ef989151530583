import type { InstantMs } from "@heelward/domain/time";

/** An instant as the yard's clock shows it: `2026-10-14 20:30`. */
export const localTimeText = (atMs: InstantMs, timeZone: string): string =>
  new Intl.DateTimeFormat("sv-SE", {
    timeZone,
    dateStyle: "short",
    timeStyle: "short",
  }).format(atMs);
