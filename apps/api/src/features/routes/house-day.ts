import type { Setting } from "@heelward/domain/evidence";

const houseDay = (key: string, value: number, unit: string, citation: string): Setting<number> => ({
  key: `routing/${key}`,
  value,
  unit,
  source: { id: `house-day-${key}`, citation, status: "house rule" },
  since: "2026-01-01",
  change: "free",
});
/** No plan goes past this many hours after the start. */
const LONGEST_DAY = houseDay("longest-day", 12, "h", "House rule: twelve hours from gate to gate");
/** A day longer than this is pointed out. */
const LONG_DAY = houseDay("long-day", 10, "h", "House rule: past ten hours feet are done tired");
/** Work on one horse where the booking does not say. */
const USUAL_VISIT = houseDay("usual-visit", 45, "min", "Common practice, no source");
/** A booked time missed by more than this is worth a call to the yard. */
const TOLD_TIME = houseDay("told-time", 30, "min", "House rule: half an hour either way");
/** Due without a booking this many days ahead is pointed out. */
const LOOK_AHEAD = houseDay("look-ahead", 3, "days", "House rule: time enough to ring and book");

/** The figures of a day's route a practice may set. */
export const HOUSE_DAY = {
  longestDay: LONGEST_DAY,
  longDay: LONG_DAY,
  usualVisit: USUAL_VISIT,
  toldTime: TOLD_TIME,
  lookAhead: LOOK_AHEAD,
} as const;
