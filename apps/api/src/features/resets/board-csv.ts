import type { Reset } from "@heelward/contracts";
import { DateTime } from "luxon";
import type { Bytes } from "../../http/route.ts";
import type { Work } from "../../http/work.ts";
import { csvOf } from "../radiographs/export/measurements-csv.ts";
import { BOARD_LIMIT, views } from "./rows.ts";
import { findResets } from "./store.ts";

const HEAD = [
  "Horse",
  "Yard",
  "Farrier",
  "State",
  "Days late",
  "Due on",
  "Book by",
  "Ceiling",
  "Latest safe day",
  "Booked for (yard's time)",
  "Whose move",
  "Action",
  "Why",
  "Tried",
] as const;

const line = (reset: Reset): readonly (string | number | null)[] => [
  reset.horse.name,
  reset.yard.name,
  reset.farrier?.name ?? null,
  reset.state,
  reset.daysLate,
  reset.dueOn,
  reset.bookBy,
  reset.ceilingOn,
  reset.latestSafeOn,
  reset.bookedFor === null
    ? null
    : DateTime.fromISO(reset.bookedFor, { zone: reset.yard.timeZone }).toFormat("yyyy-MM-dd HH:mm"),
  reset.whoseMove.person,
  reset.whoseMove.action,
  reset.reasons.join("; "),
  reset.contactLine,
];

/** The open board as a table that no spreadsheet takes for formulas, earliest due first. */
export const exportBoard = async (
  work: Work,
  filter: { readonly farrierId?: string | undefined; readonly yardId?: string | undefined },
): Promise<Bytes> => {
  const rows = await findResets(work, { ...filter, isOpen: true, limit: BOARD_LIMIT });
  return {
    bytes: new TextEncoder().encode(csvOf([HEAD, ...(await views(work, rows)).map(line)])),
    mediaType: "text/csv; charset=utf-8",
    fileName: "resets.csv",
  };
};
