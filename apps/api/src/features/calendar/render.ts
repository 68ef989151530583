import ical, { ICalCalendarMethod, ICalEventStatus } from "ical-generator";
import type { CalendarEntry } from "./entries.ts";

/** Calendar text (RFC 5545), times in UTC, so that no zone table is needed. */
export const renderCalendar = (name: string, entries: readonly CalendarEntry[]): string => {
  const calendar = ical({
    name,
    prodId: { company: "heelward.invalid", product: "Heelward", language: "EN" },
    method: ICalCalendarMethod.PUBLISH,
    ttl: 1800,
  });
  for (const { date, sequence, changedAt, isCancelled } of entries) {
    const { when } = date;
    calendar.createEvent({
      id: `${date.uid}@heelward.invalid`,
      sequence,
      stamp: changedAt,
      lastModified: changedAt,
      summary: date.summary,
      status: isCancelled ? ICalEventStatus.CANCELLED : ICalEventStatus.CONFIRMED,
      ...(date.place === "" ? {} : { location: date.place }),
      ...(date.note === "" ? {} : { description: date.note }),
      ...("on" in when
        ? { start: new Date(`${when.on}T00:00:00Z`), allDay: true, timezone: "UTC" }
        : { start: new Date(when.startMs), end: new Date(when.endMs) }),
    });
  }
  return calendar.toString();
};
