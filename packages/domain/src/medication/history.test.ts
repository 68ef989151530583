import { describe, expect, it } from "vitest";
import { isAllowed } from "../evidence/index.ts";
import { addDays, atLocalTime } from "../time/index.ts";
import {
  judgeCourse,
  judgeDose,
  missingReasons,
  scheduledDoses,
  type Animal,
  type Course,
  type CourseStep,
  type DoseEvent,
  type MedicationContext,
  type Route,
  type WeightReading,
} from "./index.ts";

/**
 * One invented year of treatment on an invented yard, dose by dose: whatever a vet signed under the
 * printed schedules must be allowed, and the requests that were turned down must be refused.
 */
const ZONE = "Europe/Dublin";
const at = (date: string, time: string): number => atLocalTime(date, time, ZONE);

const animal = (more: Partial<Animal> = {}): Animal => ({
  type: "horse",
  bornOn: "2015-05-01",
  conditions: [],
  foodChain: "excluded",
  ...more,
});

const weighed = (
  date: string,
  weightKg: number,
  method: WeightReading["method"] = "scale",
): WeightReading => ({ weightKg, method, takenAtMs: at(date, "07:00") });

const step = (
  fromDay: number,
  toDay: number,
  doseMg: number,
  timesLocal: readonly string[],
  everyDays = 1,
): CourseStep => ({ fromDay, toDay, doseMg, timesLocal, everyDays });

interface Stretch {
  readonly drugKey: string;
  readonly presentationKey: string;
  readonly route?: Route;
  readonly startOn: string;
  readonly steps: readonly CourseStep[];
  readonly reviewedOn?: readonly string[];
  readonly continuesFromDay?: number;
}

const POWDER = "phenylbutazone-powder-1g";
const PASTE = "phenylbutazone-paste-200mg-ml";

/** Signs each stretch, then gives every dose on time; returns what the rules said on the way. */
const live = (
  who: Animal,
  weights: readonly WeightReading[],
  stretches: readonly Stretch[],
): { readonly refused: readonly string[]; readonly context: MedicationContext } => {
  const refused: string[] = [];
  let context: MedicationContext = {
    animal: who,
    weights,
    courses: [],
    doses: [],
    holds: [],
    atMs: 0,
    zone: ZONE,
    jurisdiction: "EU",
  };
  stretches.forEach((stretch, index) => {
    const id = `course-${String(index)}`;
    const first = scheduledDoses({ ...stretch, zone: ZONE })[0]?.atMs ?? 0;
    context = {
      ...context,
      atMs: first - 60_000,
      courses: context.courses.map((course) =>
        scheduledDoses(course).every((dose) => dose.atMs < first)
          ? { ...course, status: "finished" }
          : course,
      ),
    };
    const request = { id, route: "oral" as const, ...stretch };
    const judged = judgeCourse(request, context);
    if (!judged.ok)
      refused.push(
        ...judged.findings
          .filter((f) => f.outcome === "block")
          .map((f) => `${stretch.startOn} ${f.detail}`),
      );
    const course: Course = {
      ...request,
      zone: ZONE,
      status: "signed",
      signedAtMs: first - 60_000,
      reviewedAtMs: (stretch.reviewedOn ?? []).map((on) => at(on, "12:00")),
      weightKgUsed: 1,
    };
    context = { ...context, courses: [...context.courses, course] };
  });
  const all = context.courses
    .map((course) => ({ ...course, status: "signed" as const }))
    .flatMap((course) => scheduledDoses(course).map((dose) => ({ course, dose })))
    .toSorted((a, b) => a.dose.atMs - b.dose.atMs);
  for (const { course, dose } of all) {
    const event: DoseEvent = {
      id: `${course.id} ${String(dose.atMs)}`,
      courseId: course.id,
      drugKey: course.drugKey,
      route: course.route,
      doseMg: dose.doseMg,
      givenAtMs: dose.atMs,
      scheduledAtMs: dose.atMs,
      outcome: "given",
      givenBy: "vet or carer",
      givenByRole: course.route === "intravenous" ? "vet" : "carer",
    };
    const now = {
      ...context,
      atMs: dose.atMs,
      courses: context.courses.map((entry) => ({
        ...entry,
        status: "signed" as const,
        reviewedAtMs: (entry.reviewedAtMs ?? []).filter((when) => when <= dose.atMs),
      })),
    };
    const judged = judgeDose(event, now);
    if (!judged.ok)
      refused.push(
        ...judged.findings
          .filter((f) => f.outcome === "block")
          .map((f) => `${dose.on} ${dose.timeLocal} ${f.detail}`),
      );
    context = { ...context, doses: [...context.doses, event] };
  }
  return { refused, context };
};

const pony262 = animal({ type: "pony", bornOn: "2014-05-01", heightCm: 122 });

const THIMBLE: readonly Stretch[] = [
  {
    drugKey: "phenylbutazone",
    presentationKey: "phenylbutazone-injection-200mg-ml",
    route: "intravenous",
    startOn: "2026-07-06",
    steps: [step(1, 1, 1150, ["20:05"])],
  },
  {
    drugKey: "phenylbutazone",
    presentationKey: POWDER,
    startOn: "2026-07-08",
    steps: [step(1, 13, 1000, ["20:30"], 2)],
    reviewedOn: ["2026-07-10", "2026-07-15"],
  },
  {
    drugKey: "paracetamol",
    presentationKey: "paracetamol-powder",
    startOn: "2026-07-09",
    steps: [step(1, 8, 5200, ["10:00", "22:00"])],
  },
];

const drum = animal({ bornOn: "2017-05-01", heightCm: 168 });
const DRUM_FLUNIXIN: Stretch = {
  drugKey: "flunixin",
  presentationKey: "flunixin-injection-50mg-ml",
  route: "intravenous",
  startOn: "2026-02-13",
  steps: [step(1, 3, 730, ["09:10"])],
};

describe("a signed year", () => {
  it("allows the pony's vein dose, the alternate-day course and the paracetamol beside it", () => {
    const { refused, context } = live(pony262, [weighed("2026-07-06", 262)], THIMBLE);
    expect(refused).toEqual([]);
    expect(context.doses.filter((dose) => dose.drugKey === "phenylbutazone")).toHaveLength(8);
  });

  it("allows the old cob's course on a tape weight only with a written reason, then the smaller one on the scale", () => {
    const cob = animal({ bornOn: "2000-05-01", heightCm: 148 });
    const first: Stretch = {
      drugKey: "phenylbutazone",
      presentationKey: PASTE,
      startOn: "2026-08-23",
      steps: [step(1, 5, 900, ["08:00", "20:00"]), step(6, 22, 900, ["08:00"])],
      reviewedOn: ["2026-08-27", "2026-09-03", "2026-09-10"],
    };
    const judged = judgeCourse(
      { route: "oral", ...first },
      {
        animal: cob,
        weights: [weighed("2026-05-11", 438), weighed("2026-08-23", 428, "tape")],
        courses: [],
        doses: [],
        holds: [],
        atMs: at("2026-08-23", "07:30"),
        zone: ZONE,
        jurisdiction: "EU",
      },
    );
    expect(judged.ok).toBe(true);
    const asked = missingReasons(judged.findings, []).map((finding) => finding.detail);
    expect(asked.join(" ")).toContain("4.58 mg/kg at 393 kg");
    const { refused } = live(
      cob,
      [weighed("2026-08-23", 428, "tape"), weighed("2026-09-14", 385)],
      [
        first,
        {
          drugKey: "phenylbutazone",
          presentationKey: PASTE,
          startOn: "2026-09-14",
          steps: [step(1, 8, 800, ["09:35"])],
          reviewedOn: ["2026-09-21"],
        },
        {
          drugKey: "phenylbutazone",
          presentationKey: PASTE,
          startOn: "2026-09-23",
          steps: [step(1, 5, 800, ["09:35"], 2)],
          reviewedOn: [],
        },
      ],
    );
    expect(refused).toEqual([]);
  });

  it("allows both courses of the Connemara cross, with a new run and its loading after seven months", () => {
    const mare = animal({ bornOn: "2011-05-01", heightCm: 149 });
    const { refused } = live(
      mare,
      [
        weighed("2025-10-15", 402, "tape"),
        weighed("2025-11-01", 402, "tape"),
        weighed("2026-06-15", 389, "tape"),
      ],
      [
        {
          drugKey: "phenylbutazone",
          presentationKey: POWDER,
          startOn: "2025-10-16",
          steps: [
            step(1, 1, 1500, ["08:00", "20:00"]),
            step(2, 5, 1000, ["08:00"]),
            step(2, 5, 500, ["20:00"]),
            step(6, 24, 500, ["08:00"]),
            step(26, 30, 500, ["08:00"], 2),
          ],
          reviewedOn: ["2025-10-20", "2025-10-27", "2025-11-03", "2025-11-10"],
        },
        {
          drugKey: "phenylbutazone",
          presentationKey: POWDER,
          startOn: "2026-06-20",
          steps: [
            step(1, 1, 1500, ["08:00", "20:00"]),
            step(2, 5, 1000, ["08:00"]),
            step(2, 5, 500, ["20:00"]),
            step(6, 14, 500, ["08:00"]),
          ],
          reviewedOn: ["2026-06-24", "2026-07-01"],
        },
      ],
    );
    expect(refused).toEqual([]);
  });

  it("allows the big gelding's switch 24 h 50 min after flunixin, kept to 4 g, with paracetamol beside it", () => {
    const { refused } = live(
      drum,
      [weighed("2026-02-13", 668, "tape"), weighed("2026-02-16", 668)],
      [
        DRUM_FLUNIXIN,
        {
          drugKey: "phenylbutazone",
          presentationKey: POWDER,
          startOn: "2026-02-16",
          steps: [
            step(1, 1, 2000, ["10:00", "22:00"]),
            step(2, 5, 1500, ["10:00"]),
            step(2, 5, 1000, ["22:00"]),
            step(6, 21, 1000, ["10:00"]),
          ],
          reviewedOn: ["2026-02-20", "2026-03-06"],
        },
        {
          drugKey: "paracetamol",
          presentationKey: "paracetamol-powder",
          startOn: "2026-02-21",
          steps: [step(1, 16, 13000, ["08:00", "20:00"])],
          reviewedOn: ["2026-03-06"],
        },
      ],
    );
    expect(refused).toEqual([]);
  });

  it("allows the nursing mare's five days of flunixin, the switch at 25 h and the long tail", () => {
    const { refused } = live(
      animal({ lactating: true }),
      [weighed("2026-04-28", 590, "tape")],
      [
        {
          drugKey: "flunixin",
          presentationKey: "flunixin-injection-50mg-ml",
          route: "intravenous",
          startOn: "2026-04-28",
          steps: [step(1, 5, 640, ["09:00"])],
        },
        {
          drugKey: "phenylbutazone",
          presentationKey: POWDER,
          startOn: "2026-05-03",
          steps: [
            step(1, 1, 2000, ["10:00", "22:00"]),
            step(2, 5, 1500, ["10:00"]),
            step(2, 5, 1000, ["22:00"]),
            step(6, 34, 1000, ["10:00"]),
          ],
          reviewedOn: ["2026-05-07", "2026-05-16", "2026-05-29"],
        },
        {
          drugKey: "paracetamol",
          presentationKey: "paracetamol-powder",
          startOn: "2026-05-08",
          steps: [step(1, 13, 11500, ["08:00", "20:00"])],
        },
      ],
    );
    expect(refused).toEqual([]);
  });

  it("allows bute carried on from hospital, then meloxicam after 36 h with the softer notice", () => {
    const { refused, context } = live(
      animal({ bornOn: "2019-05-01" }),
      [weighed("2026-04-02", 512), weighed("2026-05-01", 512)],
      [
        {
          drugKey: "phenylbutazone",
          presentationKey: POWDER,
          startOn: "2026-04-02",
          continuesFromDay: 6,
          steps: [step(1, 31, 1000, ["20:00"])],
          reviewedOn: ["2026-04-06", "2026-04-16", "2026-04-30"],
        },
        {
          drugKey: "meloxicam",
          presentationKey: "meloxicam-suspension-15mg-ml",
          startOn: "2026-05-04",
          steps: [step(1, 14, 300, ["08:00"])],
        },
      ],
    );
    expect(refused).toEqual([]);
    const again = judgeCourse(
      {
        id: "meloxicam",
        drugKey: "meloxicam",
        presentationKey: "meloxicam-suspension-15mg-ml",
        route: "oral",
        startOn: "2026-05-04",
        steps: [step(1, 14, 300, ["08:00"])],
      },
      {
        ...context,
        atMs: at("2026-05-03", "09:00"),
        courses: [],
        doses: context.doses.filter((dose) => dose.drugKey === "phenylbutazone"),
      },
    );
    expect(
      again.findings.find((f) => f.rule === "medication/nsaid-switch-notice@1")?.detail,
    ).toContain("36 h after");
  });

  it("allows meloxicam where the passport was never seen, and pergolide through a whole year", () => {
    const meloxicam = live(
      animal({ foodChain: "passport not seen" }),
      [weighed("2026-09-25", 500, "tape")],
      [
        {
          drugKey: "meloxicam",
          presentationKey: "meloxicam-suspension-15mg-ml",
          startOn: "2026-09-25",
          steps: [step(1, 8, 290, ["08:00"])],
        },
      ],
    );
    expect(meloxicam.refused).toEqual([]);
    for (const [weightKg, doseMg] of [
      [438, 1],
      [575, 1],
      [165, 0.5],
      [503, 1],
      [420, 1],
    ] as const) {
      const year = live(
        animal({ bornOn: "2004-05-01", type: weightKg < 300 ? "pony" : "horse" }),
        [weighed("2025-10-14", weightKg)],
        [
          {
            drugKey: "pergolide",
            presentationKey: "pergolide-tablet-1mg",
            startOn: "2025-10-15",
            steps: [step(1, 365, doseMg, ["08:00"])],
          },
        ],
      );
      expect(year.refused).toEqual([]);
    }
  });
});

describe("what was turned down", () => {
  const thimble = live(pony262, [weighed("2026-07-06", 262)], THIMBLE).context;
  const morning = {
    ...thimble,
    atMs: at("2026-07-09", "09:15"),
    doses: thimble.doses.filter((dose) => dose.givenAtMs < at("2026-07-09", "09:15")),
  };

  it("refuses 2 g twice a day for a 262 kg pony and says 15.27 mg/kg, 347 %", () => {
    const judged = judgeCourse(
      {
        drugKey: "phenylbutazone",
        presentationKey: POWDER,
        route: "oral",
        startOn: "2026-07-09",
        supersedesCourseId: "course-1",
        steps: [step(1, 1, 2000, ["10:00", "22:00"])],
      },
      morning,
    );
    expect(judged.ok).toBe(false);
    const text = judged.findings.map((finding) => finding.detail).join(" ");
    expect(text).toContain("15.27 mg/kg");
    expect(text).toContain("347 %");
  });

  it("refuses 500 mg by mouth 12 h after 1150 mg by vein: 6.30 mg/kg over every route", () => {
    const context = { ...morning, doses: morning.doses.slice(0, 1), courses: [] };
    const dose = (hours: number): DoseEvent => ({
      id: "extra",
      drugKey: "phenylbutazone",
      presentationKey: POWDER,
      route: "oral",
      doseMg: 500,
      givenAtMs: at("2026-07-06", "20:05") + hours * 3_600_000,
      outcome: "given",
      givenBy: "vet",
      givenByRole: "vet",
    });
    const soon = judgeDose(dose(12), context);
    expect(soon.ok).toBe(false);
    expect(soon.findings.map((f) => f.detail).join(" ")).toContain("6.30 mg/kg");
    expect(judgeDose(dose(48), context).ok).toBe(true);
  });

  it("refuses the switch at 23 h and allows it at 24 h and at 24 h 50 min", () => {
    const { context } = live(drum, [weighed("2026-02-13", 668)], [DRUM_FLUNIXIN]);
    const start = (time: string) =>
      judgeCourse(
        {
          drugKey: "phenylbutazone",
          presentationKey: POWDER,
          route: "oral",
          startOn: "2026-02-16",
          steps: [step(1, 1, 2000, [time])],
        },
        { ...context, courses: [], atMs: at("2026-02-16", "08:00") },
      );
    expect(start("08:10").ok).toBe(false);
    expect(start("09:09").ok).toBe(false);
    expect(start("09:10").ok).toBe(true);
    expect(start("10:00").ok).toBe(true);
  });

  it("allows suxibuzone 1.5 g twice a day at 500 kg on day 5 and refuses it on day 6", () => {
    const request = (toDay: number) =>
      judgeCourse(
        {
          drugKey: "suxibuzone",
          presentationKey: "suxibuzone-granules-1.5g",
          route: "oral",
          startOn: "2026-07-01",
          steps: [step(1, toDay, 1500, ["08:00", "20:00"])],
        },
        {
          ...morning,
          animal: animal(),
          weights: [weighed("2026-06-30", 500)],
          courses: [],
          doses: [],
          atMs: at("2026-07-01", "07:00"),
        },
      );
    expect(request(5).ok).toBe(true);
    const six = request(6);
    expect(six.ok).toBe(false);
    expect(six.findings.map((f) => f.detail).join(" ")).toContain("4.22 mg/kg");
  });

  it("locks bute and suxibuzone while the passport is unseen, and a not-excluded one too", () => {
    for (const foodChain of ["passport not seen", "not excluded"] as const)
      for (const [drugKey, presentationKey, doseMg] of [
        ["phenylbutazone", POWDER, 1000],
        ["suxibuzone", "suxibuzone-granules-1.5g", 1500],
      ] as const) {
        const judged = judgeCourse(
          {
            drugKey,
            presentationKey,
            route: "oral",
            startOn: "2026-09-25",
            steps: [step(1, 1, doseMg, ["08:00"])],
          },
          {
            ...morning,
            animal: animal({ foodChain }),
            weights: [weighed("2026-09-25", 500)],
            courses: [],
            doses: [],
            atMs: at("2026-09-25", "07:30"),
          },
        );
        expect(isAllowed(judged.findings)).toBe(false);
        expect(judged.findings.filter((f) => f.outcome === "block").map((f) => f.rule)).toEqual([
          "medication/food-chain@1",
        ]);
      }
  });

  it("blocks a new course on a 104-day-old weight and opens it on a tape of the same morning", () => {
    const request = {
      drugKey: "phenylbutazone",
      presentationKey: PASTE,
      route: "oral" as const,
      startOn: addDays("2026-05-11", 104),
      steps: [step(1, 5, 900, ["08:00", "20:00"])],
    };
    const context: MedicationContext = {
      ...morning,
      animal: animal({ bornOn: "2000-05-01" }),
      courses: [],
      doses: [],
      atMs: at("2026-08-23", "07:30"),
      weights: [weighed("2026-05-11", 438)],
    };
    const old = judgeCourse(request, context);
    expect(old.ok).toBe(false);
    expect(old.findings.find((f) => f.rule === "medication/weight-age@1")?.detail).toContain(
      "104 days",
    );
    expect(
      judgeCourse(request, {
        ...context,
        weights: [...context.weights, weighed("2026-08-23", 428, "tape")],
      }).ok,
    ).toBe(true);
  });
});
