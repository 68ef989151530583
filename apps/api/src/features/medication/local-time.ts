import { dayText, localDateOf, type InstantMs } from "@heelward/domain/time";

/** An instant as the yard's clock shows it, for tables: `2026-10-14 20:30`. */
export const localTimeText = (atMs: InstantMs, timeZone: string): string =>
  new Intl.DateTimeFormat("sv-SE", {
    timeZone,
    dateStyle: "short",
    timeStyle: "short",
  }).format(atMs);

/** An instant as people read it, on the yard's clock: `14 October 2026 at 20:30`. */
export const momentText = (atMs: InstantMs, timeZone: string): string =>
  `${dayText(localDateOf(atMs, timeZone))} at ${localTimeText(atMs, timeZone).slice(-5)}`;
