import {
  bookReset,
  changeCase,
  closeCase,
  draftCourse,
  replyToPrescription,
  requestDose,
  tickFirstAid,
  writeFirstAidSheet,
} from "@heelward/contracts";
import * as cases from "../features/cases/service.ts";
import * as firstAid from "../features/firstaid/service.ts";
import * as courses from "../features/medication/courses.ts";
import * as requests from "../features/medication/requests.ts";
import * as prescriptions from "../features/prescriptions/service.ts";
import * as resets from "../features/resets/service.ts";
import { Problem } from "../http/problem.ts";
import { cancelVisit, checkInYard, examine, sendNote, takeCall } from "./actions.ts";
import { endCourse, liftHolds } from "./medicines.ts";
import { iso, known, type Telling } from "./story.ts";

/** Runs what the rules must refuse; that it was asked for stays in the record. */
const mustBeRefused = async (what: string, attempt: () => Promise<unknown>): Promise<void> => {
  try {
    await attempt();
  } catch (error) {
    if (error instanceof Problem && error.slug === "rule-violated") return;
    throw error;
  }
  throw new Error(`${what} was to be refused and was not`);
};

const leadVet = (telling: Telling, atMs: number, horse: string, vet: string, cause: string) =>
  telling.perform(
    atMs,
    vet,
    changeCase,
    {
      params: { caseId: known(telling.register.cases, horse) },
      body: { leadVetId: known(telling.register.people, vet), cause, causeConfidence: "likely" },
    },
    async (work, { params, body }) => {
      const before = await cases.read(work, params.caseId);
      return cases.change(work, params.caseId, before.version, body);
    },
  );

/** The sheet for the yard, with its first steps ticked by the carer. */
const giveFirstAid = async (
  telling: Telling,
  atMs: number,
  horse: string,
  carer: string,
  iceOrderedByVet: boolean,
): Promise<void> => {
  const { perform, register } = telling;
  const sheet = await perform(
    atMs,
    "R1",
    writeFirstAidSheet,
    {
      params: { caseId: known(register.cases, horse) },
      body: {
        feetAffected: ["LF", "RF"],
        canLiftFeet: "with difficulty",
        foamAvailable: true,
        padsAvailable: true,
        outside: true,
        iceOrderedByVet,
        box: {
          widthM: 3.6,
          lengthM: 3.6,
          bedding: "shavings",
          floor: "rubber",
          water: "inside on the wall",
        },
      },
    },
    (work, { params, body }) => firstAid.write(work, params.caseId, body),
  );
  for (const [index, step] of sheet.steps.filter((one) => one.checklist).entries()) {
    const doneMs = atMs + (4 + 3 * index) * 60_000;
    // One tick after the other, as they were made.
    // oxlint-disable-next-line no-await-in-loop
    await perform(
      doneMs,
      carer,
      tickFirstAid,
      { params: { sheetId: sheet.id }, body: { stepId: step.id, doneAt: iso(doneMs) } },
      (work, { params, body }) => firstAid.tick(work, params.sheetId, body),
    );
  }
};

/** The pony whose owner asks for the big horse's dose. */
const thimble = (telling: Telling): void => {
  const { calendar, perform, register, tell } = telling;
  const called = calendar.at("2026-07-06", "18:40");
  tell(called, "call about H01", async () => {
    await takeCall(telling, called, "R1", "H01", {
      caller: "Síle Duskerry",
      answers: {
        canStand: true,
        willMove: "only when forced",
        canLiftFrontFoot: "with difficulty",
        leansBack: true,
        feetWarm: true,
        pulsesStrong: true,
        shiftsWeight: true,
      },
      feetAffected: ["LF", "RF"],
      notes:
        "Slow on the turn. Told: stop, stand still, bring the deep bed to him, no medicine from home.",
    });
    await giveFirstAid(telling, called + 8 * 60_000, "H01", "C1", false);
  });
  const seen = calendar.at("2026-07-06", "20:15");
  tell(seen, "lead of H01", () =>
    leadVet(telling, seen, "H01", "V1", "endocrine (insulin)").then(() => undefined),
  );
  const asked = calendar.at("2026-07-09", "09:15");
  tell(asked, "request for H01", async () => {
    await perform(
      asked,
      "C1",
      requestDose,
      {
        params: { horseId: known(register.horses, "H01") },
        body: {
          drugKey: "phenylbutazone",
          doseMg: 2000,
          timesPerDay: 2,
          askedBy: "Orsolya Penhallick, owner",
          words: "2 g twice a day like the big cob had.",
        },
      },
      (work, { params, body }) => requests.request(work, params.horseId, body),
    );
  });
  const answered = calendar.at("2026-07-09", "09:45");
  tell(answered, "answer for H01", () =>
    sendNote(telling, answered, "V1", "H01", {
      toRole: "carer",
      urgent: true,
      situation: "Thimble: more bute is refused, paracetamol instead",
      found: "2 g twice a day would be 15.3 mg/kg, 347 % of a pony's limit.",
      mustDo: "Paracetamol 5.2 g twice a day, deeper pads; the film is brought forward",
      callMeIf: "he lies down more, goes off hay, or his dung loosens",
    }),
  );
};

/** The sinker, and the wedge that made it worse. */
const harbourDrum = (telling: Telling): void => {
  const { calendar, perform, register, tell } = telling;
  const called = calendar.at("2026-02-13", "06:20");
  tell(called, "call about H13", async () => {
    await takeCall(telling, called, "R1", "H13", {
      caller: "Ana Corvisk",
      answers: { canStand: true, willMove: "freely", grainBreakIn: true },
      feetAffected: ["LF", "RF"],
      notes: "Broke into the feed store overnight; how much is not known.",
    });
    await giveFirstAid(telling, called + 10 * 60_000, "H13", "C3", true);
  });
  const seen = calendar.at("2026-02-13", "08:50");
  tell(seen, "first look at H13", async () => {
    await examine(telling, seen, "V1", "H13", {
      obelGrade: 0,
      fiveSignScore: 1,
      heartRatePerMinute: 48,
      notes: "Feet in ice from 08:30.",
    });
    await leadVet(telling, seen, "H13", "V1", "grain overload");
  });
  const alarm = calendar.at("2026-02-23", "05:50");
  tell(alarm, "red flag of H13", async () => {
    await checkInYard(telling, alarm, "C3", "H13", {
      heartRatePerMinute: 68,
      signs: ["cannotLiftEitherFrontFoot", "ledgeOrDipAtHairline"],
      digitalPulses: { LF: "bounding", RF: "bounding" },
      notes: "Hairline ledge felt all round both fores. Vet called 05:52.",
    });
  });
  const lifted = calendar.at("2026-02-23", "06:55");
  tell(lifted, "hold of H13 lifted", () =>
    liftHolds(
      telling,
      lifted,
      "V1",
      "H13",
      "Seen: sinking, not a harm of the medicine. Pain relief goes on.",
    ),
  );
  const closed = calendar.at("2026-03-09", "15:40");
  tell(closed, "closing of H13", async () => {
    await endCourse(telling, closed - 60_000, "V1", "H13 bute", "Put to sleep at home.");
    await endCourse(telling, closed - 60_000, "V1", "H13 paracetamol", "Put to sleep at home.");
    await perform(
      closed,
      "V1",
      closeCase,
      {
        params: { caseId: known(register.cases, "H13") },
        body: {
          reason: "welfare decision",
          note: "Sinker of both fores after grain. Put to sleep at home at 15:20.",
          welfareTalk:
            "With the owner at the box and the farrier by phone: score 12 of 12 for four days on all the relief that limits and visits allow, heart 84, down 20 hours in 24, sole 8.5 mm. No treatment left that spares him. The owner agreed.",
          farrierToldById: known(register.people, "V1"),
          carerToldById: known(register.people, "V1"),
        },
      },
      async (work, { params, body }) => {
        const before = await cases.read(work, params.caseId);
        return cases.close(work, params.caseId, before.version, body);
      },
    );
  });
};

/** The cancelled visit that nobody rebooked. */
const marlHopper = (telling: Telling): void => {
  const { calendar, tell } = telling;
  const cancelled = calendar.at("2026-06-01", "07:50");
  tell(cancelled, "cancelled visit to H07", () =>
    cancelVisit(telling, cancelled, "F1", "H07", {
      kind: "cancelled",
      detail: "Van off the road; told by text.",
      personToRebook: "R1",
    }),
  );
};

/** The good leg that carried too long, and the plan that was not yet signed. */
const sixpenceLane = (telling: Telling): void => {
  const { calendar, tell } = telling;
  const rested = calendar.at("2026-04-19", "18:50");
  tell(rested, "red flag of H19", async () => {
    await checkInYard(telling, rested, "C4", "H19", {
      signs: ["supportLimbSuddenlyRested"],
      digitalPulses: { RF: "raised" },
      notes: "Suddenly rests the right fore. Vet called.",
    });
  });
  const lifted = calendar.at("2026-04-19", "19:50");
  tell(lifted, "hold of H19 lifted", () =>
    liftHolds(telling, lifted, "V2", "H19", "Seen: the foot, not the medicine. Films tomorrow."),
  );
  const waiting = calendar.at("2026-04-21", "08:10");
  tell(waiting, "draft of H19 not worked from", () =>
    sendNote(telling, waiting, "F2", "H19", {
      toRole: "vet",
      urgent: true,
      situation: "Sixpence Lane: the new plan is a draft, I do not work from it",
      done: "First-aid foam only, right fore",
      mustDo: "Sign it or ring me: I am at the yard",
      byWhen: "this morning",
    }),
  );
};

/** The old mare: a weight too old, then a weight that fell. */
const tansyFogg = (telling: Telling): void => {
  const { calendar, perform, register, tell } = telling;
  const seen = calendar.at("2026-08-23", "07:05");
  tell(seen, "first look at H02", () =>
    examine(telling, seen, "V2", "H02", {
      obelGrade: 1,
      digitalPulses: { LF: "raised", RF: "raised" },
      notes: "As the yard saw it yesterday. Cob of 148 cm, dosed as a horse; old, so no loading.",
    }),
  );
  const lifted = calendar.at("2026-08-23", "07:12");
  tell(lifted, "hold of H02 lifted", () =>
    liftHolds(telling, lifted, "V2", "H02", "Seen: a flare of laminitis; pergolide goes on."),
  );
  const tried = calendar.at("2026-08-23", "07:22");
  tell(tried, "bute for H02 on an old weight", () =>
    mustBeRefused("a course on a weight of 104 days", () =>
      perform(
        tried,
        "V2",
        draftCourse,
        {
          params: { horseId: known(register.horses, "H02") },
          body: {
            drugKey: "phenylbutazone",
            presentationKey: "phenylbutazone-paste-200mg-ml",
            route: "oral",
            steps: [
              { fromDay: 1, toDay: 5, doseMg: 900, timesLocal: ["08:00", "20:00"], everyDays: 1 },
            ],
            startOn: calendar.on("2026-08-23"),
          },
        },
        (work, { params, body }) => courses.draft(work, params.horseId, body),
      ),
    ),
  );
  const teeth = calendar.at("2026-09-16", "11:00");
  tell(teeth, "teeth of H02", () =>
    sendNote(telling, teeth, "V2", "H02", {
      toRole: "carer",
      situation: "Tansy Fogg: sharp lower cheek teeth, soaked hay left uneaten",
      done: "Teeth done, ration worked out again",
      mustDo: "Soaked hay in small nets, weigh what is left; the aim is to stop the loss",
      byWhen: "from today",
      callMeIf: "she leaves more than a third",
    }),
  );
};

/** The farrier who rightly said no. */
const seaLavender = (telling: Telling): void => {
  const { calendar, perform, register, tell } = telling;
  const called = calendar.at("2026-04-27", "07:05");
  tell(called, "call about H14", () =>
    takeCall(telling, called, "R1", "H14", {
      caller: "Ana Corvisk",
      answers: { canStand: true, willMove: "freely", hoursSinceFoalingWithoutAfterbirth: 5 },
      feetAffected: ["LF", "RF"],
      notes: "Foaled 02:10; afterbirth not complete by 05:30.",
    }),
  );
  const seen = calendar.at("2026-04-28", "08:10");
  tell(seen, "first look at H14", async () => {
    await examine(telling, seen, "V1", "H14", {
      obelGrade: 0,
      heartRatePerMinute: 60,
      temperatureC: 39.8,
      notes: "Ice to above the fetlock from 11:00, logged every two hours for 72 h.",
    });
    await leadVet(telling, seen, "H14", "V1", "sepsis after retained afterbirth");
  });
  const booked = calendar.at("2026-05-08", "19:45");
  tell(booked, "visit to H14 booked", async () => {
    await perform(
      booked,
      "F2",
      bookReset,
      {
        params: { resetId: known(register.resets, "H14") },
        body: {
          bookedFor: iso(calendar.at("2026-05-09", "09:00")),
          minutes: 90,
          job: "wooden clogs, both fores",
        },
      },
      async (work, { params, body }) => {
        const before = await resets.read(work, params.resetId);
        return resets.book(work, params.resetId, before.version, body);
      },
    );
  });
  const declined = calendar.at("2026-05-09", "09:40");
  const why =
    "Pain: needs nerve block and handler. Cannot stand 20 s on either foot, foal loose. No shoe fitted, foam taped again, vet rung.";
  tell(declined, "decline of H14-p1", async () => {
    const plan = known(register.plans, "H14-p1");
    const answer = await perform(
      declined,
      "F2",
      replyToPrescription,
      { params: { prescriptionId: plan.id }, body: { reply: "declined", text: why } },
      (work, { params, body }) =>
        prescriptions.reply(work, params.prescriptionId, plan.version, body),
    );
    register.plans.set("H14-p1", { id: answer.id, version: answer.version });
    await cancelVisit(telling, declined + 60_000, "F2", "H14", {
      kind: "declined",
      detail: why,
      rebookFor: iso(calendar.at("2026-05-11", "10:00")),
    });
  });
};

/** The cob whose passport nobody has seen. */
const kettleHarrier = (telling: Telling): void => {
  const { calendar, perform, register, tell } = telling;
  const tried = calendar.at("2026-09-25", "16:30");
  tell(tried, "bute for H17", () =>
    mustBeRefused("bute without a passport", () =>
      perform(
        tried,
        "V2",
        draftCourse,
        {
          params: { horseId: known(register.horses, "H17") },
          body: {
            drugKey: "phenylbutazone",
            presentationKey: "phenylbutazone-powder-1g",
            route: "oral",
            steps: [{ fromDay: 1, toDay: 5, doseMg: 1000, timesLocal: ["18:00"], everyDays: 1 }],
            startOn: calendar.on("2026-09-25"),
          },
        },
        (work, { params, body }) => courses.draft(work, params.horseId, body),
      ),
    ),
  );
};

/** What the tables do not hold of the six worked cases, and of the passport that was never seen. */
export const tellOfWorkedCases = (telling: Telling): void => {
  thimble(telling);
  harbourDrum(telling);
  marlHopper(telling);
  sixpenceLane(telling);
  tansyFogg(telling);
  seaLavender(telling);
  kettleHarrier(telling);
};
