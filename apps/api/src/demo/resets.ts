import { recordShoeing, type FootPlanView } from "@heelward/contracts";
import { addDays } from "@heelward/domain/time";
import * as shoeing from "../features/shoeing/service.ts";
import { Problem } from "../http/problem.ts";
import { HORSES } from "./data/horses.ts";
import { RESETS } from "./data/resets.ts";
import { PLAN_WORK, type PlanWork } from "./plans.ts";
import { iso, known, type Telling } from "./story.ts";

/** When a visit ended, where the story says more than the day. */
const VISIT_TIMES: Readonly<Record<string, string>> = {
  "H01 2026-07-10": "11:20",
  "H01 2026-08-14": "12:40",
  "H02 2026-08-27": "11:30",
  "H02 2026-09-28": "16:10",
  "H07 2025-12-15": "11:00",
  "H07 2026-06-20": "14:10",
  "H07 2026-07-13": "13:20",
  "H07 2026-10-05": "10:40",
  "H13 2026-02-24": "10:50",
  "H14 2026-05-11": "10:35",
  "H14 2026-07-06": "12:20",
  "H19 2026-04-03": "12:10",
  "H19 2026-04-21": "11:05",
  "H19 2026-06-01": "15:00",
};

/** Reached the service later than it happened: no signal at the yard. */
const RECEIVED: Readonly<Record<string, string>> = { "H19 2026-04-21": "12:20" };

const WORDS: Readonly<
  Record<
    string,
    { readonly notes?: string; readonly noteToVet?: string; readonly growthLineMm?: number }
  >
> = {
  "H07 2026-10-05": {
    notes: "Stood well, one person, no sedation. Boots for the first two days.",
    noteToVet:
      "Plan followed. Sole untouched, nothing worrying. Ring if she shifts her feet. Film wanted in three months unless something changes.",
    growthLineMm: 61,
  },
  "H07 2026-06-20": { notes: "Day 47: the visit of day 28 was never rebooked." },
  "H19 2026-04-21": { notes: "Foam only until the plan was signed at 09:12; shoe on at 11:05." },
  "H14 2026-05-11": {
    notes: "Nerve blocks by the vet, handler with the foal. Both clogs on in 35 minutes.",
  },
  "H13 2026-02-24": { notes: "Wedge and cast off with the vet present." },
};

/** The three whose next visit nobody has booked by the last day. */
const UNBOOKED: Readonly<Record<string, string>> = {
  H22: "The owner does not answer; the yard will ask.",
  H08: "The owner is away until the week after and rings back.",
  H16: "The yard's hay delivery blocks the bay that week.",
};

const visitTime = (horse: string, on: string, index: number): string =>
  VISIT_TIMES[`${horse} ${on}`] ??
  `${String(9 + Math.floor((index % 8) * 0.75)).padStart(2, "0")}:${["30", "10", "50", "20"][index % 4] ?? "30"}`;

/** Shoe, fill and fixing that a horse wears outside a plan, from the words on its card. */
const usualWork = (feet: string): Pick<FootPlanView, "shoe" | "supportFill" | "fixing"> => {
  if (feet.startsWith("heart-bar"))
    return { shoe: "heart-bar", supportFill: "none", fixing: "nails" };
  if (feet.includes("glue-on"))
    return { shoe: "glue-on", supportFill: "back-two-thirds", fixing: "glue" };
  if (feet.startsWith("rolled toe"))
    return { shoe: "rolled-toe", supportFill: "none", fixing: "nails" };
  if (feet.startsWith("rolled bar"))
    return { shoe: "rolled-bar", supportFill: "none", fixing: "nails" };
  return { shoe: "bare", supportFill: "none", fixing: "none" };
};

/** What the horse of a worked case wore before its bout. */
const BEFORE_BOUT: Readonly<Record<string, string>> = {
  H13: "rolled toe",
  H14: "rolled toe",
  H19: "rolled toe",
};

const feetOf = (horse: string, on: string): readonly ("LF" | "RF")[] =>
  // From April on the left fore is in a cast: only the right is shod.
  horse === "H19" && on >= "2026-04-03" ? ["RF"] : ["LF", "RF"];

/** Booked for another day than the one on which the horse was next seen. */
const BOOKED_FOR: Readonly<Record<string, string>> = { "H07 2026-05-04": "2026-06-01" };

const isBookingRefusal = (error: unknown): boolean =>
  error instanceof Problem &&
  (error.extras.findings ?? []).some(
    (finding) => finding.outcome === "block" && finding.rule.startsWith("cycle/booking"),
  );

type NextReset =
  | { readonly bookedFor: string }
  | { readonly noDateReason: string; readonly personToBook: string };

/** What the horse wears since the last plan that was carried out. */
const lastWork = (horse: string, on: string): PlanWork | undefined =>
  PLAN_WORK.filter((one) => one.horse === horse && one.doneOn !== null && one.doneOn < on).at(-1);

/** Today's two visits have their time in the farrier's day; later ones are booked for their due day. */
const BOOKED_TIMES: Readonly<Record<string, string>> = { H03: "09:00", H04: "09:50" };

/** Every visit of the year, with the next one booked before leaving. */
export const tellOfResets = ({ calendar, perform, register, tell }: Telling): void => {
  for (const [index, row] of RESETS.entries()) {
    const [horse, on, farrier, , beforeMm, afterMm] = row;
    const key = `${horse} ${on}`;
    const doneMs = calendar.at(on, visitTime(horse, on, index));
    const received = RECEIVED[key];
    const atMs = received === undefined ? doneMs : calendar.at(on, received);
    const card = HORSES.find((one) => one.id === horse);
    const next = RESETS.find((one) => one[0] === horse && one[1] > on);
    const plan = PLAN_WORK.find((one) => one.doneOn === on && one.horse === horse);
    tell(
      atMs,
      `visit to ${horse}`,
      async () => {
        const usual = usualWork(BEFORE_BOUT[horse] ?? card?.feet ?? "");
        const kept = plan === undefined ? undefined : known(register.plans, plan.plan);
        const work = plan ?? lastWork(horse, on) ?? usual;
        const words = WORDS[key];
        const body = (nextReset: NextReset) => ({
          ...(kept === undefined ? {} : { prescriptionId: kept.id }),
          startedAt: iso(doneMs - 40 * 60_000),
          doneAt: iso(doneMs),
          asPlanned: true,
          feet: feetOf(horse, on).map((foot) => ({
            foot,
            breakoverBeforeMm: foot === "LF" ? beforeMm : Math.max(0, beforeMm - 0.5),
            breakoverAfterMm: afterMm,
            heelRemovedMm: plan === undefined ? 2 : plan.heelMm(foot),
            wedgeDegrees: plan?.wedgeDegrees ?? 0,
            shoe: work.shoe,
            supportFill: work.supportFill,
            fixing: work.fixing,
            newGrowthLineMm: words?.growthLineMm ?? null,
          })),
          ...(words?.notes === undefined ? {} : { notes: words.notes }),
          ...(words?.noteToVet === undefined ? {} : { noteToVet: words.noteToVet }),
          nextReset,
        });
        const record = async (nextReset: NextReset): Promise<void> => {
          const recorded = await perform(
            atMs,
            farrier,
            recordShoeing,
            {
              params: { horseId: known(register.horses, horse) },
              body: body(nextReset),
              ...(received === undefined ? {} : { clientTime: doneMs }),
            },
            (inside, { params, body: sent }) => shoeing.record(inside, params.horseId, sent),
          );
          register.resets.set(horse, recorded.nextResetId);
        };
        const nobody = (why: string): NextReset => ({
          noDateReason: why,
          personToBook: known(register.people, "M1"),
        });
        const unbooked = next === undefined ? UNBOOKED[horse] : undefined;
        if (unbooked !== undefined) {
          await record(nobody(unbooked));
          return;
        }
        const day = BOOKED_FOR[key] ?? next?.[1] ?? addDays(on, card?.interval_days ?? 28);
        const time =
          next === undefined ? (BOOKED_TIMES[horse] ?? "10:00") : visitTime(horse, day, index + 1);
        try {
          await record({ bookedFor: iso(calendar.planned(day, time)) });
        } catch (error) {
          // The day the horse was really seen lay past what may be booked: then the office is to find one.
          if (!isBookingRefusal(error)) throw error;
          await record(nobody("No slot inside the interval; the office finds one."));
        }
      },
      horse,
    );
  }
};
