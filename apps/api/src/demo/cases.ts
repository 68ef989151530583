import { changeCase, changeInterval, openCase, type changePhase } from "@heelward/contracts";
import type { z } from "zod";
import * as cases from "../features/cases/service.ts";
import * as resets from "../features/resets/service.ts";
import { alterHorse, movePhase } from "./actions.ts";
import { HORSES, type DemoHorse } from "./data/horses.ts";
import { FIRST_INTERVAL_DAYS } from "./people.ts";
import { known, type Telling } from "./story.ts";
import { vetOf } from "./who.ts";

type Phase = z.input<NonNullable<typeof changePhase.body>>["phase"];

/** Horses whose case opens with a bout inside the year. */
const OPENED_LATER = new Set(["H01", "H13", "H14"]);
/** Came home from hospital with the other limb at risk. */
const OPENED_ON: Readonly<Record<string, readonly [on: string, time: string]>> = {
  H07: ["2025-10-15", "08:30"],
  H19: ["2026-04-02", "15:00"],
};

const firstPhase = ({ id, state }: DemoHorse): Phase =>
  // The old mare and the one with the mild bout were quiet when the year began.
  id !== "H02" && id !== "H17" && state.startsWith("chronic") ? "chronic active" : "maintenance";

const isAtRisk = ({ state }: DemoHorse): boolean => state.startsWith("at risk");

/** Cases that no phone call opens. */
export const tellOfOpenings = (telling: Telling): void => {
  const { calendar, perform, register, tell } = telling;
  for (const horse of HORSES.filter((one) => !OPENED_LATER.has(one.id))) {
    const atMs = calendar.at(...(OPENED_ON[horse.id] ?? (["2025-10-14", "15:00"] as const)));
    const vet = vetOf(horse.id);
    tell(atMs, `case of ${horse.id}`, async () => {
      const opened = await perform(
        atMs,
        vet,
        openCase,
        {
          body: {
            horseId: known(register.horses, horse.id),
            phase: firstPhase(horse),
            cause: horse.cause,
            feetAffected: horse.id === "H19" ? ["RF"] : ["LF", "RF"],
            leadVetId: known(register.people, vet),
          },
        },
        (work, { body }) => cases.open(work, body),
      );
      register.cases.set(horse.id, opened.id);
    });
    if (isAtRisk(horse)) tellOfLongInterval(telling, horse);
  }
};

/** A horse that never had a bout is trimmed like a sound one: longer than a case in maintenance, with a signed reason. */
const tellOfLongInterval = (
  { calendar, perform, register, tell }: Telling,
  horse: DemoHorse,
): void => {
  const atMs = calendar.at("2025-12-15", "16:00");
  tell(atMs, `interval of ${horse.id}`, async () => {
    await perform(
      atMs,
      "V2",
      changeInterval,
      {
        params: { resetId: known(register.resets, horse.id) },
        body: {
          intervalDays: horse.interval_days,
          lengthenReason: "At risk by blood only, never a bout: trimmed like a sound horse.",
        },
      },
      async (work, { params, body }) => {
        const before = await resets.read(work, params.resetId);
        return resets.change(work, params.resetId, before.version, body);
      },
    );
  });
};

interface Move {
  readonly horse: string;
  readonly on: string;
  readonly time: string;
  readonly to: Phase;
  readonly reason: string;
  readonly mustDo: string;
}

const MOVES: readonly Move[] = [
  {
    horse: "H01",
    on: "2026-07-10",
    time: "12:00",
    to: "subacute",
    reason: "Four days on; comfort better, bone steady on film.",
    mustDo: "Trim on the bed, breakover first; no walking on hard ground.",
  },
  {
    horse: "H01",
    on: "2026-09-11",
    time: "12:30",
    to: "maintenance",
    reason: "Sound without pain relief since the end of July; insulin 61 and falling.",
    mustDo: "Resets at 28 days; turnout only when the vet says so.",
  },
  {
    horse: "H02",
    on: "2026-08-23",
    time: "07:20",
    to: "acute",
    reason: "Flare: pottery on stones, autumn rise.",
    mustDo: "Two people, short holds; trim on the next visit with a plan.",
  },
  {
    horse: "H02",
    on: "2026-09-16",
    time: "12:00",
    to: "subacute",
    reason: "Comfortable at a walk; weight loss from the teeth is dealt with.",
    mustDo: "Carry on with the plan; no sole off.",
  },
  {
    horse: "H13",
    on: "2026-02-27",
    time: "12:00",
    to: "chronic active",
    reason: "The bone is going down on three films: the bout has become sinking.",
    mustDo: "No shoe and no wedge; flat foam and sand bed only.",
  },
  {
    horse: "H14",
    on: "2026-05-08",
    time: "17:50",
    to: "chronic active",
    reason: "The bone has turned on film: rotation 1 to 5 degrees in a week.",
    mustDo: "Read the plan before you come; wooden clogs, no hammering.",
  },
  {
    horse: "H17",
    on: "2026-09-25",
    time: "10:30",
    to: "acute",
    reason: "Mild bout, insulin high.",
    mustDo: "No reset today beyond the trim; boots to walk.",
  },
  {
    horse: "H17",
    on: "2026-10-02",
    time: "10:30",
    to: "subacute",
    reason: "Better on meloxicam, bed and hay alone.",
    mustDo: "Next trim at 21 days.",
  },
  {
    horse: "H19",
    on: "2026-04-19",
    time: "20:00",
    to: "acute",
    reason: "The right fore, which carries for two, is suddenly rested.",
    mustDo: "No new shoe before the films; first-aid foam.",
  },
  {
    horse: "H19",
    on: "2026-05-15",
    time: "12:00",
    to: "chronic active",
    reason: "Cast off; the inside is still low, the sinking has stopped.",
    mustDo: "Hold the width on the outside until the next film.",
  },
];

/** Phases, and what a bout changed on the horse's card. */
export const tellOfPhases = (telling: Telling): void => {
  const { calendar, perform, register, tell } = telling;
  for (const { horse, on, time, ...body } of MOVES) {
    const atMs = calendar.at(on, time);
    tell(atMs, `phase of ${horse}`, () =>
      movePhase(telling, atMs, vetOf(horse), horse, {
        phase: body.to,
        reason: body.reason,
        mustDo: body.mustDo,
      }),
    );
  }
  const intervals: Readonly<Record<string, readonly [on: string, time: string]>> = {
    H01: ["2026-08-14", "12:15"],
    H02: ["2026-09-28", "15:10"],
    H13: ["2026-02-16", "13:30"],
    H14: ["2026-05-08", "18:30"],
    H19: ["2026-04-03", "11:20"],
  };
  for (const horse of HORSES.filter((one) => FIRST_INTERVAL_DAYS[one.id] !== undefined)) {
    const when = intervals[horse.id];
    if (when === undefined) continue;
    const atMs = calendar.at(...when);
    tell(atMs, `card of ${horse.id}`, () =>
      alterHorse(telling, atMs, vetOf(horse.id), horse.id, {
        resetIntervalDays: horse.interval_days,
      }),
    );
  }
  const foaled = calendar.at("2026-04-27", "08:30");
  tell(foaled, "foaling of H14", () =>
    alterHorse(telling, foaled, "V1", "H14", { pregnant: false, lactating: true }),
  );
  const weaned = calendar.at("2026-09-28", "09:00");
  tell(weaned, "weaning of H14", () =>
    alterHorse(telling, weaned, "V1", "H14", { lactating: false }),
  );
  const sound = calendar.at("2026-07-31", "10:30");
  tell(sound, "soundness of H01", async () => {
    await perform(
      sound,
      "V1",
      changeCase,
      {
        params: { caseId: known(register.cases, "H01") },
        body: {
          soundWithoutReliefSince: calendar.on("2026-07-31"),
          cause: "endocrine (insulin)",
          causeConfidence: "confirmed",
        },
      },
      async (work, { params, body }) => {
        const before = await cases.read(work, params.caseId);
        return cases.change(work, params.caseId, before.version, body);
      },
    );
  });
};
