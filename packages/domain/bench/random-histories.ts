import { judgeCourse, judgeDose, scheduledDoses } from "../src/medication/index.ts";
import type {
  Course,
  DoseEvent,
  Hold,
  MedicationContext,
  WeightReading,
} from "../src/medication/index.ts";
import { localDateOf } from "../src/time/index.ts";
import { wallMinute } from "./wall-clock.ts";
import { simulatorAllows, type SimDose } from "./naive-simulator.ts";

/** A small seeded generator (mulberry32), so that a failing history can be run again. */
export const seeded = (seed: number) => {
  let state = seed >>> 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
  return {
    next,
    chance: (share: number): boolean => next() < share,
    whole: (from: number, to: number): number => from + Math.floor(next() * (to - from + 1)),
    pick: <T>(values: readonly T[]): T => {
      const value = values[Math.floor(next() * values.length)];
      if (value === undefined) throw new Error("nothing to pick from");
      return value;
    },
  };
};

const ZONES = ["Europe/Dublin", "America/New_York", "Australia/Lord_Howe", "Asia/Kolkata"] as const;
/** Weeks around the clock changes of those zones, and one without. */
const STARTS = ["2026-03-02", "2026-03-20", "2026-10-16", "2026-10-26", "2026-06-10"] as const;
const GAPS_MINUTES = [
  60, 240, 659, 690, 719, 720, 721, 1380, 1439, 1440, 1441, 1470, 1500, 2879, 2880, 2881,
] as const;

const drugOfPick = (
  share: number,
): { drugKey: string; presentationKey: string; vein: boolean; perKg: number } =>
  share < 0.55
    ? {
        drugKey: "phenylbutazone",
        presentationKey: "phenylbutazone-powder-1g",
        vein: false,
        perKg: 2.2,
      }
    : share < 0.65
      ? {
          drugKey: "phenylbutazone",
          presentationKey: "phenylbutazone-injection-200mg-ml",
          vein: true,
          perKg: 2.2,
        }
      : share < 0.8
        ? {
            drugKey: "suxibuzone",
            presentationKey: "suxibuzone-granules-1.5g",
            vein: false,
            perKg: 3.125,
          }
        : share < 0.9
          ? {
              drugKey: "flunixin",
              presentationKey: "flunixin-injection-50mg-ml",
              vein: true,
              perKg: 0.55,
            }
          : share < 0.96
            ? {
                drugKey: "meloxicam",
                presentationKey: "meloxicam-suspension-15mg-ml",
                vein: false,
                perKg: 0.3,
              }
            : {
                drugKey: "ketoprofen",
                presentationKey: "ketoprofen-injection-100mg-ml",
                vein: true,
                perKg: 1.1,
              };

export interface HistoryResult {
  readonly decisions: number;
  readonly allowed: number;
  /** Text of the first disagreement, or undefined. */
  readonly disagreement: string | undefined;
}

const MINUTE = 60_000;

/** Runs one random history; both readings are asked about every dose. */
export const runHistory = (seed: number, doses: number): HistoryResult => {
  const random = seeded(seed);
  const zone = random.pick(ZONES);
  const pony = random.chance(0.35);
  const years = random.pick([6, 14, 19, 20, 27]);
  const us = random.chance(0.2);
  const excluded = !random.chance(0.04);
  const tightenedMg = random.chance(0.15) ? 3000 : undefined;
  const start = Date.parse(`${random.pick(STARTS)}T06:00:00Z`) / MINUTE;
  const weights: WeightReading[] = [
    {
      weightKg: pony ? random.whole(110, 320) : random.whole(330, 720),
      method: "scale",
      takenAtMs: (start - 600) * MINUTE,
    },
  ];
  const history: DoseEvent[] = [];
  const shadow: SimDose[] = [];
  const courses: Course[] = [];
  const holds: Hold[] = [];
  let minute = start;
  let decisions = 0;
  let allowed = 0;
  let chosen = drugOfPick(random.next());
  for (let turn = 0; turn < doses; turn += 1) {
    const jump = random.next();
    minute +=
      jump < 0.6
        ? random.pick(GAPS_MINUTES)
        : jump < 0.9
          ? random.whole(30, 3000)
          : jump < 0.94
            ? random.whole(14, 16) * 1440
            : random.whole(1, 4) * 1440;
    if (random.chance(0.08)) {
      const last = weights.at(-1)?.weightKg ?? 400;
      weights.push({
        weightKg: Math.max(90, Math.round(last * (0.85 + 0.3 * random.next()))),
        method: "scale",
        takenAtMs: (minute - 5) * MINUTE,
      });
    }
    if (random.chance(0.06))
      holds.push({
        id: `hold-${String(turn)}`,
        why: "vet",
        reason: "held",
        fromMs: minute * MINUTE,
      });
    else if (random.chance(0.5)) {
      const open = holds.findIndex((hold) => hold.releasedAtMs === undefined);
      const hold = holds[open];
      if (hold !== undefined) holds[open] = { ...hold, releasedAtMs: (minute - 1) * MINUTE };
    }
    if (random.chance(0.25)) chosen = drugOfPick(random.next());
    const doseMinute = random.chance(0.1) ? minute - random.whole(1, 3000) : minute;
    const givenAtMs = doseMinute * MINUTE;
    const weightKg = weights.findLast((reading) => reading.takenAtMs <= givenAtMs)?.weightKg ?? 0;
    if (weightKg === 0) continue;
    const units = random.pick([0.25, 0.5, 0.9, 1, 1.014, 1.016, 1.5, 2, 2.03, 3]);
    const doseMg = random.chance(0.15)
      ? random.pick([1000, 1500, 2000, 2500, 4000, 4001])
      : chosen.perKg * weightKg * units;
    const bound = random.chance(0.4);
    const freshStart = bound && random.chance(0.25);
    const carriedOnFrom = bound && random.chance(0.2) ? random.whole(2, 8) : undefined;
    const id = `dose-${String(turn)}`;
    const route = chosen.vein ? "intravenous" : "oral";
    const course: Course = {
      id: `course-${String(turn)}`,
      drugKey: chosen.drugKey,
      presentationKey: chosen.presentationKey,
      route,
      startOn: localDateOf(givenAtMs, zone),
      zone,
      status: "signed",
      signedAtMs: givenAtMs - MINUTE,
      weightKgUsed: weightKg,
      restartsSeries: freshStart,
      continuesFromDay: carriedOnFrom,
      steps: [
        { fromDay: 1, toDay: 1, doseMg, timesLocal: [wallTime(givenAtMs, zone)], everyDays: 1 },
      ],
    };
    const scheduledAtMs = scheduledDoses(course)[0]?.atMs ?? 0;
    const isBound = bound && scheduledAtMs === givenAtMs;
    if (isBound) courses.push(course);
    const outcome = random.chance(0.06) ? "refused" : random.chance(0.05) ? "spat out" : "given";
    const event: DoseEvent = {
      id,
      drugKey: chosen.drugKey,
      presentationKey: chosen.presentationKey,
      route,
      doseMg,
      givenAtMs,
      outcome,
      givenBy: "vet",
      givenByRole: "vet",
      ...(isBound ? { courseId: course.id, scheduledAtMs } : {}),
    };
    const candidate: SimDose = {
      minute: doseMinute,
      drug: chosen.drugKey,
      mg: doseMg,
      vein: chosen.vein,
      outcome,
      freshStart: isBound && freshStart,
      course: isBound ? course.id : undefined,
      carriedOnFrom: isBound ? carriedOnFrom : undefined,
      courseStartMinute: doseMinute,
    };
    if (shadow.some((dose) => dose.minute === doseMinute)) continue;
    const context: MedicationContext = {
      animal: {
        type: pony ? "pony" : "horse",
        bornOn: `${String(2026 - years)}-01-01`,
        conditions: [],
        foodChain: excluded ? "excluded" : "not excluded",
      },
      weights,
      courses,
      doses: history,
      holds,
      atMs: givenAtMs,
      zone,
      jurisdiction: us ? "US" : "EU",
      settings:
        tightenedMg === undefined
          ? undefined
          : { ceilings: [{ ceilingId: "pbz/absolute", absoluteMg: tightenedMg }] },
    };
    const judged = judgeDose(event, context);
    const held =
      isBound &&
      holds.some(
        (hold) =>
          hold.fromMs <= givenAtMs &&
          (hold.releasedAtMs === undefined || hold.releasedAtMs > givenAtMs),
      );
    const bute = chosen.drugKey === "phenylbutazone" || chosen.drugKey === "suxibuzone";
    const simAnimal = {
      pony,
      years,
      weightKg,
      us,
      zone,
      ...(tightenedMg === undefined ? {} : { maxDailyBute: tightenedMg }),
    };
    const expected =
      outcome === "refused" ||
      (!held && (us || excluded || !bute) && simulatorAllows(shadow, candidate, simAnimal));
    decisions += 1;
    if (judged.ok) allowed += 1;
    if (judged.ok !== expected)
      return {
        decisions,
        allowed,
        disagreement: JSON.stringify({
          seed,
          turn,
          zone,
          pony,
          years,
          us,
          weightKg,
          ledger: judged.ok,
          simulator: expected,
          findings: judged.findings.filter((f) => f.outcome === "block").map((f) => f.detail),
          event,
          shadow,
        }),
      };
    if (judged.ok || random.chance(0.15)) {
      history.push(event);
      shadow.push(candidate);
    }
  }
  return { decisions, allowed, disagreement: undefined };
};

const wallTime = (atMs: number, zone: string): string => {
  const minute = wallMinute(zone, atMs / MINUTE) % 1440;
  const two = (value: number): string => String(value).padStart(2, "0");
  return `${two(Math.floor(minute / 60))}:${two(minute % 60)}`;
};

/** Rules of `judgeCourse` that the plain reading also knows. */
const SHARED_RULES = new Set([
  "medication/rolling-limit@1",
  "medication/calendar-day-limit@1",
  "medication/nsaid-gap@1",
  "medication/course-length@1",
]);

/** Asks both readings about one random course of several steps on top of a few given doses. */
export const runCourse = (seed: number): HistoryResult => {
  const random = seeded(seed);
  const zone = random.pick(ZONES);
  const pony = random.chance(0.35);
  const years = random.pick([8, 19, 20, 25]);
  const weightKg = pony ? random.whole(110, 320) : random.whole(330, 720);
  const startOn = random.pick([
    "2026-03-05",
    "2026-03-26",
    "2026-10-22",
    "2026-10-30",
    "2026-06-10",
  ]);
  const firstMs = Date.parse(`${startOn}T12:00:00Z`);
  const chosen = drugOfPick(random.next());
  const shadow: SimDose[] = [];
  const history: DoseEvent[] = [];
  for (let index = random.whole(0, 2); index > 0; index -= 1) {
    const before = drugOfPick(random.next());
    const minute = firstMs / MINUTE - random.whole(600, 6000) - index;
    const doseMg = before.perKg * weightKg * random.pick([0.5, 1]);
    shadow.push({
      minute,
      drug: before.drugKey,
      mg: doseMg,
      vein: before.vein,
      outcome: "given",
      freshStart: false,
      course: undefined,
      carriedOnFrom: undefined,
      courseStartMinute: minute,
    });
    history.push({
      id: `given-${String(index)}`,
      drugKey: before.drugKey,
      presentationKey: before.presentationKey,
      route: before.vein ? "intravenous" : "oral",
      doseMg,
      givenAtMs: minute * MINUTE,
      outcome: "given",
      givenBy: "vet",
    });
  }
  let day = 1;
  const steps = Array.from({ length: random.whole(1, 3) }, () => {
    const fromDay = day;
    const toDay = day + random.whole(0, 5);
    day = toDay + 1;
    return {
      fromDay,
      toDay,
      doseMg: chosen.perKg * weightKg * random.pick([0.45, 0.5, 0.99, 1, 1.014, 1.02, 2]),
      everyDays: random.pick([1, 1, 2]),
      timesLocal: random.pick([
        ["08:00"],
        ["08:00", "20:00"],
        ["01:30"],
        ["23:30"],
        ["10:15", "22:15"],
      ]),
    };
  });
  const carriedOnFrom = random.chance(0.2) ? random.whole(2, 7) : undefined;
  const planned = scheduledDoses({ steps, startOn, zone });
  const judged = judgeCourse(
    {
      id: "course",
      drugKey: chosen.drugKey,
      presentationKey: chosen.presentationKey,
      route: chosen.vein ? "intravenous" : "oral",
      startOn,
      steps,
      continuesFromDay: carriedOnFrom,
    },
    {
      animal: {
        type: pony ? "pony" : "horse",
        bornOn: `${String(2026 - years)}-01-01`,
        conditions: [],
        foodChain: "excluded",
      },
      weights: [{ weightKg, method: "scale", takenAtMs: firstMs - 86_400_000 }],
      courses: [],
      doses: history,
      holds: [],
      atMs: firstMs - 43_200_000,
      zone,
      jurisdiction: "EU",
    },
  );
  const plan: readonly SimDose[] = planned.map((dose) => ({
    minute: dose.atMs / MINUTE,
    drug: chosen.drugKey,
    mg: dose.doseMg,
    vein: chosen.vein,
    outcome: "given",
    freshStart: false,
    course: "course",
    carriedOnFrom,
    courseStartMinute: (planned[0]?.atMs ?? 0) / MINUTE,
  }));
  const animal = { pony, years, weightKg, us: false, zone };
  const expected = plan.every((dose) =>
    simulatorAllows([...shadow, ...plan.filter((other) => other !== dose)], dose, animal),
  );
  const allows = !judged.findings.some(
    (finding) => finding.outcome === "block" && SHARED_RULES.has(finding.rule),
  );
  return {
    decisions: 1,
    allowed: allows ? 1 : 0,
    disagreement:
      allows === expected
        ? undefined
        : JSON.stringify({
            seed,
            zone,
            pony,
            years,
            weightKg,
            allows,
            expected,
            steps,
            shadow,
            chosen,
            carriedOnFrom,
            findings: judged.findings.filter((f) => f.outcome === "block").map((f) => f.detail),
          }),
  };
};
