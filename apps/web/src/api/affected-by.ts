import { OPERATION_TABLE } from "virtual:operation-table";

/** Lists that are made of many others, and of the hour: any change may show in them. */
const OF_EVERYTHING: ReadonlySet<string> = new Set([
  "queue",
  "cases",
  "medication",
  "monitoring",
  "portal",
  "outcomes",
]);

/** What else a list is made of, beside its own records. */
const READS: Readonly<Record<string, readonly string[]>> = {
  examinations: ["cases"],
  "first aid": ["cases"],
  handoffs: ["prescriptions", "resets", "radiographs", "medication", "cases"],
  horses: ["yards", "people", "cases"],
  metabolic: ["horses", "laboratory", "medication", "cases"],
  planning: ["plans", "resets", "rota", "cases"],
  prescriptions: ["radiographs", "cases", "portal"],
  resets: ["prescriptions", "reminders", "planning", "cases", "rota"],
  routes: ["resets", "planning", "rota", "prescriptions", "cases"],
  yards: ["people"],
};

/** Set by the release and not by people at work: nothing another person does changes them. */
const SETTLED: ReadonlySet<string> = new Set(["search", "session", "calendar", "audit"]);

/**
 * Whether what an operation answered may be out of date after a change was announced. Files never
 * are: they are kept under their own id and do not change. `everything` is said after a gap, `clock`
 * when only time went by.
 */
export const isAffected = (operationId: string, topics: readonly string[]): boolean => {
  const row = OPERATION_TABLE[operationId];
  if (row === undefined) return false;
  const [method, , flags, tag] = row;
  if (method !== "GET" || flags.includes("b")) return false;
  if (topics.includes("everything") || topics.includes(tag)) return true;
  if (SETTLED.has(tag)) return false;
  return OF_EVERYTHING.has(tag) || (READS[tag]?.some((one) => topics.includes(one)) ?? false);
};
