import { judgeDose, ledger } from "../src/medication/index.ts";
import type { Course, DoseEvent, MedicationContext } from "../src/medication/index.ts";
import { addDays, atLocalTime } from "../src/time/index.ts";

/**
 * Time of one ledger decision on a five-year history: daily pergolide, and bute every day, which no
 * horse should get and which is the longest run the ledger could meet. Prints medians in ms.
 */
const ZONE = "Europe/Dublin";
const START = "2021-01-01";
const DAYS = 5 * 365;
const at = (day: number, time: string): number => atLocalTime(addDays(START, day), time, ZONE);

const course = (id: string, drugKey: string, presentationKey: string, doseMg: number): Course => ({
  id,
  drugKey,
  presentationKey,
  route: "oral",
  startOn: START,
  zone: ZONE,
  status: "signed",
  signedAtMs: at(0, "06:00"),
  reviewedAtMs: Array.from({ length: DAYS / 10 }, (_, index) => at(4 + index * 10, "12:00")),
  weightKgUsed: 500,
  steps: [{ fromDay: 1, toDay: DAYS + 10, doseMg, timesLocal: ["08:00"], everyDays: 1 }],
});
const courses = [
  course("bute", "phenylbutazone", "phenylbutazone-powder-1g", 1000),
  course("pergolide", "pergolide", "pergolide-tablet-1mg", 1),
];
const doses: readonly DoseEvent[] = courses.flatMap((entry) =>
  Array.from({ length: DAYS }, (_, day) => ({
    id: `${entry.id}-${String(day)}`,
    courseId: entry.id,
    drugKey: entry.drugKey,
    route: "oral" as const,
    doseMg: entry.steps[0]?.doseMg ?? 0,
    givenAtMs: at(day, "08:00"),
    scheduledAtMs: at(day, "08:00"),
    outcome: "given" as const,
    givenBy: "carer",
  })),
);
const slot = at(DAYS, "08:00");
const context: MedicationContext = {
  animal: { type: "horse", bornOn: "2014-05-01", conditions: [], foodChain: "excluded" },
  weights: [{ weightKg: 500, method: "scale", takenAtMs: slot - 86_400_000 }],
  courses,
  doses,
  holds: [],
  atMs: slot,
  zone: ZONE,
  jurisdiction: "EU",
};
const next: DoseEvent = {
  ...(doses[DAYS - 1] as DoseEvent),
  id: "next",
  givenAtMs: slot,
  scheduledAtMs: slot,
};

const medianMs = (run: () => unknown): number => {
  const times: number[] = [];
  for (let round = 0; round < 60; round += 1) {
    const from = performance.now();
    run();
    times.push(performance.now() - from);
  }
  return Number((times.toSorted((a, b) => a - b)[30] ?? 0).toFixed(2));
};

console.log(
  JSON.stringify({
    doses: doses.length,
    judgeDoseMs: medianMs(() => judgeDose(next, context)),
    ledgerMs: medianMs(() => ledger(context)),
    allowed: judgeDose(next, context).ok,
  }),
);
