import {
  addIceEntry,
  changePostalAddress,
  issueWrittenPrescription,
  moveOnLadder,
  recordSupply,
  signFeedingPlan,
  startMovementLadder,
} from "@heelward/contracts";
import { MS_PER_HOUR, type InstantMs } from "@heelward/domain/time";
import type { z } from "zod";
import * as feeding from "../features/metabolic/feeding.ts";
import * as ice from "../features/metabolic/ice.ts";
import * as ladder from "../features/metabolic/ladder.ts";
import * as postalAddress from "../features/medication/postal-address.ts";
import * as written from "../features/medication/written-prescriptions.ts";
import { PRACTICE } from "./data/practice.ts";
import { iso, known, type Telling } from "./story.ts";
import { carerOf, vetOf } from "./who.ts";

type Ration = z.input<NonNullable<typeof signFeedingPlan.body>>;

const RATIONS: readonly (readonly [horse: string, on: string, time: string, ration: Ration])[] = [
  [
    "H01",
    "2026-07-07",
    "14:30",
    {
      dryMatterPercent: 1.5,
      forage: "hay",
      dryShare: 0.85,
      soakHours: 1,
      grazing: false,
      targetWeightKg: 240,
      instructions: "Weigh the hay dry, then soak it. No hard feed.",
    },
  ],
  [
    "H02",
    "2026-09-16",
    "12:20",
    {
      dryMatterPercent: 2,
      forage: "hay",
      dryShare: 0.85,
      grazing: false,
      instructions:
        "Teeth done today: chopped and damped, so that she can eat it. The aim is to stop the loss, so no soaking.",
    },
  ],
];

const tellOfRations = ({ calendar, perform, register, tell }: Telling): void => {
  for (const [horse, on, time, body] of RATIONS) {
    const atMs = calendar.at(on, time);
    tell(
      atMs,
      `ration of ${horse}`,
      async () => {
        await perform(
          atMs,
          vetOf(horse),
          signFeedingPlan,
          { params: { horseId: known(register.horses, horse) }, body },
          (work, input) => feeding.sign(work, input.params.horseId, input.body),
        );
      },
      horse,
    );
  }
};

/** The pony's way back to movement: from the first day without painkillers, one stage up after two weeks. */
const tellOfLadder = ({ calendar, perform, register, tell }: Telling): void => {
  const startedMs = calendar.at("2026-07-31", "12:00");
  const movedMs = calendar.at("2026-08-14", "12:20");
  let ladderId = "";
  tell(
    startedMs,
    "ladder of H01",
    async () => {
      const started = await perform(
        startedMs,
        "V1",
        startMovementLadder,
        { params: { horseId: known(register.horses, "H01") }, body: {} },
        (work, { params, body }) => ladder.start(work, params.horseId, body),
      );
      ladderId = started.id;
    },
    "H01",
  );
  tell(
    movedMs,
    "ladder of H01 up",
    async () => {
      await perform(
        movedMs,
        "V1",
        moveOnLadder,
        {
          params: { ladderId },
          body: { move: "up", reason: "Two weeks off painkillers and level; boots to walk." },
        },
        (work, { params, body }) => ladder.move(work, params.ladderId, 1, body),
      );
    },
    "H01",
  );
};

/** Hoof wall in °C at each change of the ice, read one after the other. */
const HOOF_CELSIUS = [9, 7, 6, 5, 6, 7, 8, 6, 5] as const;
const CHANGE_HOURS = 2;
const ICED_HOURS = 72;
/** The one time the ice was not changed: from this hour on, for 3 h 10 min. */
const GAP = { afterHours: 18, hours: 3 + 10 / 60 } as const;

/** Times on ice as hours since the first bucket, with the gap in the first night. */
const iceTimes = (): readonly (readonly [fromHours: number, toHours: number])[] => {
  const times: (readonly [number, number])[] = [];
  for (let from = 0; from < ICED_HOURS;) {
    if (from === GAP.afterHours) from += GAP.hours;
    const to = Math.min(from + CHANGE_HOURS, ICED_HOURS);
    times.push([from, to]);
    from = to;
  }
  return times;
};

const tellOfIce = ({ calendar, perform, register, tell }: Telling): void => {
  const startMs = calendar.at("2026-04-28", "11:00");
  const atHour = (hours: number): InstantMs => startMs + Math.round(hours * MS_PER_HOUR);
  for (const [index, [from, to]] of iceTimes().entries())
    tell(
      atHour(to),
      "ice of H14",
      async () => {
        await perform(
          atHour(to),
          carerOf("H14"),
          addIceEntry,
          {
            params: { horseId: known(register.horses, "H14") },
            body: {
              fromAt: iso(atHour(from)),
              toAt: iso(atHour(to)),
              feet: ["LF", "RF"],
              hoofCelsius: HOOF_CELSIUS[index % HOOF_CELSIUS.length] ?? 6,
              ...(index === 0 ? { note: "To above the fetlock." } : {}),
            },
          },
          (work, { params, body }) => ice.add(work, params.horseId, body),
        );
      },
      "H14",
    );
};

/** The old mare's tablets for the winter, from a pharmacy: a prescription on paper and its first supply. */
const tellOfPaper = ({ calendar, perform, register, tell }: Telling): void => {
  const addressMs = calendar.at("2026-08-31", "07:31");
  tell(addressMs, "postal address of the practice", async () => {
    await perform(
      addressMs,
      "M1",
      changePostalAddress,
      { body: { postalAddress: `${PRACTICE.town}, ${PRACTICE.county}` } },
      (work, { body }) => postalAddress.change(work, body.postalAddress),
    );
  });
  const writtenMs = calendar.at("2026-08-31", "07:45");
  tell(writtenMs, "written prescription for H02", async () => {
    const paper = await perform(
      writtenMs,
      "V2",
      issueWrittenPrescription,
      {
        params: { courseId: known(register.courses, "H02 pergolide 1.5") },
        body: {
          prescriberQualifications: "MVB",
          keeperName: "Wilmot Traske",
          keeperContact: "through the yard",
          declaresUnderCare: true,
          repeats: 1,
        },
      },
      (work, { params, body }) => written.issue(work, params.courseId, body),
    );
    const suppliedMs = writtenMs + MS_PER_HOUR;
    await perform(
      suppliedMs,
      "M1",
      recordSupply,
      {
        params: { prescriptionId: paper.id },
        body: { suppliedOn: calendar.on("2026-08-31"), quantity: "100 tablets" },
      },
      (work, { params, body }) => written.supply(work, params.prescriptionId, body),
    );
  });
};

/** Feed, movement, ice and paper, where the story speaks of them. */
export const tellOfRecovery = (telling: Telling): void => {
  tellOfRations(telling);
  tellOfLadder(telling);
  tellOfIce(telling);
  tellOfPaper(telling);
};
