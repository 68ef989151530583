const MS_PER_MINUTE = 60_000;

const parts = (at: Date, timeZone: string) =>
  Object.fromEntries(
    new Intl.DateTimeFormat("en-GB", {
      timeZone,
      year: "numeric",
      month: "2-digit",
      day: "2-digit",
      hour: "2-digit",
      minute: "2-digit",
      hourCycle: "h23",
    })
      .formatToParts(at)
      .map((part) => [part.type, part.value]),
  );

/** `YYYY-MM-DDTHH:MM` on the wall clock of a zone, as `datetime-local` wants it. */
export const wallClockOf = (instant: string, timeZone: string): string => {
  const { year, month, day, hour, minute } = parts(new Date(instant), timeZone);
  return `${year ?? ""}-${month ?? ""}-${day ?? ""}T${hour ?? ""}:${minute ?? ""}`;
};

const offsetText = (minutes: number): string => {
  const sign = minutes < 0 ? "-" : "+";
  const two = (value: number) => String(Math.floor(value)).padStart(2, "0");
  return `${sign}${two(Math.abs(minutes) / 60)}:${two(Math.abs(minutes) % 60)}`;
};

/** An instant with the zone's own offset: `2026-10-14T07:10:00+01:00`. */
export const instantText = (atMs: number, timeZone: string): string => {
  const wall = wallClockOf(new Date(atMs).toISOString(), timeZone);
  const asUtc = Date.parse(`${wall}:00Z`);
  const minuteMs = Math.floor(atMs / MS_PER_MINUTE) * MS_PER_MINUTE;
  return `${wall}:00${offsetText((asUtc - minuteMs) / MS_PER_MINUTE)}`;
};

/** This minute, as an instant with the zone's offset. */
export const nowIn = (timeZone: string): string => instantText(Date.now(), timeZone);
