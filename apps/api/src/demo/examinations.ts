import {
  addLabResult,
  checkHorse,
  examineHorse,
  readLabResult,
  weighHorse,
} from "@heelward/contracts";
import { addDays } from "@heelward/domain/time";
import * as examinations from "../features/examinations/service.ts";
import * as horses from "../features/horses/service.ts";
import * as laboratory from "../features/laboratory/service.ts";
import { STORY_DAY } from "./calendar.ts";
import { LABS, PAIN } from "./data/clinic.ts";
import { WEIGHTS } from "./data/weights.ts";
import { carerOf, vetOf } from "./who.ts";
import { liftHolds } from "./medicines.ts";
import { iso, known, type Telling } from "./story.ts";

/** Weighings at another time than the morning round. */
const WEIGHING_TIMES: Readonly<Record<string, string>> = {
  "H01 2026-07-06": "20:00",
  "H02 2025-10-15": "07:40",
  "H02 2026-05-11": "07:00",
  "H02 2026-08-23": "07:25",
  "H13 2026-02-16": "09:20",
  "H14 2026-04-28": "08:20",
  "H17 2026-09-25": "10:10",
  "H19 2026-04-02": "16:00",
};

/** Weighed by the vet who needed the weight. */
const WEIGHED_BY_VET = new Set([
  "H01 2026-07-06",
  "H02 2026-08-23",
  "H13 2026-02-16",
  "H14 2026-04-28",
]);

/**
 * The monthly round falls on the day after the story ends, so it is told a day before it ends; the
 * old mare's check is booked for the last day itself and not yet done.
 */
const roundDay = (horse: string, on: string): string | null =>
  on <= STORY_DAY ? on : horse === "H02" ? null : addDays(STORY_DAY, -1);

export const tellOfWeights = ({ calendar, perform, register, tell }: Telling): void => {
  for (const [horse, on, weightKg, method] of WEIGHTS) {
    const day = roundDay(horse, on);
    if (day === null) continue;
    const key = `${horse} ${on}`;
    const atMs = calendar.at(day, WEIGHING_TIMES[key] ?? "07:30");
    tell(
      atMs,
      `weighing of ${horse}`,
      async () => {
        await perform(
          atMs,
          WEIGHED_BY_VET.has(key) ? vetOf(horse) : carerOf(horse),
          weighHorse,
          {
            params: { horseId: known(register.horses, horse) },
            body: {
              method: method === "tape" ? "tape" : "scale",
              weightKg,
              weighedAt: iso(atMs),
              ...(method === "tape" || method === "weighbridge" ? {} : { note: method }),
            },
          },
          (work, { params, body }) => horses.weigh(work, params.horseId, body),
        );
      },
      horse,
    );
  }
};

/** Scores that the yard took, not the vet: five signs only. */
const YARD_SCORES: Readonly<
  Record<
    string,
    {
      readonly time: string;
      readonly signs?: readonly string[];
      readonly notes?: string;
      readonly heart?: number;
    }
  >
> = {
  "H02 2026-08-22": { time: "18:10", notes: "Pottery on stones since the morning." },
  "H07 2026-06-12": { time: "08:20", notes: "Short on the turn." },
  "H22 2026-09-03": { time: "07:20" },
  "H22 2026-10-10": { time: "07:15" },
  "H22 2026-10-13": { time: "07:05" },
  "H22 2026-10-14": { time: "06:55", notes: "Shifting weight, resting either front foot." },
};

const SCORE_TIMES: Readonly<Record<string, string>> = {
  "H01 2026-07-06": "20:05",
  "H07 2026-06-19": "17:30",
  "H13 2026-02-16": "09:30",
  "H13 2026-02-23": "06:40",
  "H13 2026-03-09": "11:00",
  "H14 2026-05-03": "09:20",
  "H17 2026-09-25": "10:20",
  "H19 2026-04-19": "19:40",
  "H19 2026-04-03": "10:00",
};

/** Heart beats a minute, where the vet counted them in the worked cases. */
const HEART_RATES: Readonly<Record<string, number>> = {
  "H13 2026-02-16": 56,
  "H13 2026-02-20": 60,
  "H13 2026-02-23": 68,
  "H13 2026-02-27": 64,
  "H13 2026-03-05": 76,
  "H13 2026-03-09": 84,
  "H14 2026-04-30": 68,
  "H14 2026-05-09": 64,
  "H14 2026-05-22": 48,
  "H14 2026-07-06": 40,
};

export const tellOfScores = ({ calendar, perform, register, tell }: Telling): void => {
  for (const [horse, on, obelGrade, fiveSignScore] of PAIN) {
    const key = `${horse} ${on}`;
    const yard = YARD_SCORES[key];
    const atMs = calendar.at(on, yard?.time ?? SCORE_TIMES[key] ?? "09:40");
    tell(
      atMs,
      `score of ${horse}`,
      async () => {
        if (yard !== undefined) {
          await perform(
            atMs,
            carerOf(horse),
            checkHorse,
            {
              params: { horseId: known(register.horses, horse) },
              body: {
                fiveSignScore,
                notes: yard.notes ?? null,
                examinedAt: iso(atMs),
              },
            },
            (work, { params, body }) => examinations.check(work, params.horseId, body),
          );
          return;
        }
        await perform(
          atMs,
          vetOf(horse),
          examineHorse,
          {
            params: { caseId: known(register.cases, horse) },
            body: {
              obelGrade,
              fiveSignScore,
              heartRatePerMinute: HEART_RATES[key] ?? null,
              examinedAt: iso(atMs),
            },
          },
          (work, { params, body }) => examinations.examine(work, params.caseId, body),
        );
      },
      horse,
    );
  }
};

type LabBody = Parameters<typeof laboratory.add>[2];

const LABORATORY = "Tarravane Veterinary Laboratory";
/** The one result that nobody has read yet. */
const UNREAD = "H01 2026-10-12 insulin";

const numberIn = (text: string): number | undefined => {
  const found = /\((\d+(?:\.\d+)?)\)/.exec(text)?.[1];
  return found === undefined ? undefined : Number(found);
};

export const tellOfLabs = (telling: Telling): void => {
  const { calendar, perform, register, tell } = telling;
  for (const [horse, on, test, value, unit, reading, note] of LABS) {
    const isUnread = `${horse} ${on} ${test}` === UNREAD;
    const takenOn = calendar.on(on);
    const atMs = isUnread ? calendar.at(STORY_DAY, "06:30") : calendar.at(addDays(on, 1), "09:00");
    const cutoff = test === "ACTH" ? numberIn(reading) : undefined;
    tell(
      atMs,
      `${test} of ${horse}`,
      async () => {
        const added = await perform(
          atMs,
          "N1",
          addLabResult,
          {
            params: { horseId: known(register.horses, horse) },
            body: {
              takenOn,
              test: test as LabBody["test"],
              value,
              unit,
              laboratory: LABORATORY,
              ...(cutoff === undefined ? {} : { cutoff }),
              ...(test === "insulin" ? { feeding: "hay only" as const } : {}),
              ...(note === "" || isUnread ? {} : { note }),
            },
          },
          (work, { params, body }) => laboratory.add(work, params.horseId, body),
        );
        if (isUnread) return;
        await perform(
          atMs + 45 * 60_000,
          vetOf(horse),
          readLabResult,
          { params: { resultId: added.id }, body: { release: true } },
          (work, { params, body }) =>
            laboratory.markRead(work, params.resultId, added.version, body),
        );
        if (added.heldCourseIds.length > 0)
          await liftHolds(
            telling,
            atMs + 50 * 60_000,
            vetOf(horse),
            horse,
            "Read with the horse in front of me: carried on for now, tested again soon.",
          );
      },
      horse,
    );
  }
};
