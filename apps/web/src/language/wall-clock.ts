import { atLocalTime } from "@heelward/domain/time";
import { instantText } from "./instant-text.ts";

export { instantText, nowIn, wallClockOf } from "./instant-text.ts";

/**
 * The instant of a wall-clock moment `YYYY-MM-DDTHH:MM` in a zone, by the same rule as the service:
 * a repeated hour takes the first, a skipped one moves forward.
 */
export const instantOf = (wallClock: string, timeZone: string): string => {
  const [date = "", time = ""] = wallClock.split("T");
  return instantText(atLocalTime(date, time.slice(0, 5), timeZone), timeZone);
};
