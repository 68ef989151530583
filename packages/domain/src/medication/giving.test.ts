import { Temporal } from "@js-temporal/polyfill";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { addDays, atLocalTime, MS_PER_HOUR, MS_PER_MINUTE } from "../time/index.ts";
import {
  doseDayView,
  earliestAllowedAt,
  judgeDose,
  judgeSigns,
  ledger,
  mergeDoseRecords,
  nextReviewOn,
  scheduledDoses,
  slotsOf,
  type Course,
  type DoseEvent,
  type MedicationContext,
} from "./index.ts";

const ZONE = "Europe/Dublin";
const at = (date: string, time: string): number => atLocalTime(date, time, ZONE);

const twiceDaily: Course = {
  id: "c1",
  drugKey: "paracetamol",
  presentationKey: "paracetamol-powder",
  route: "oral",
  startOn: "2026-06-01",
  zone: ZONE,
  status: "signed",
  signedAtMs: at("2026-06-01", "07:00"),
  weightKgUsed: 500,
  steps: [{ fromDay: 1, toDay: 10, doseMg: 10_000, timesLocal: ["08:00", "20:00"], everyDays: 1 }],
};
const onceDaily: Course = {
  ...twiceDaily,
  id: "c2",
  drugKey: "meloxicam",
  presentationKey: "meloxicam-suspension-15mg-ml",
  steps: [{ fromDay: 1, toDay: 10, doseMg: 150, timesLocal: ["08:00"], everyDays: 1 }],
};

const context = (
  courses: readonly Course[],
  more: Partial<MedicationContext> = {},
): MedicationContext => ({
  animal: { type: "horse", bornOn: "2014-05-01", conditions: [], foodChain: "excluded" },
  weights: [{ weightKg: 500, method: "scale", takenAtMs: at("2026-05-30", "08:00") }],
  courses,
  doses: [],
  holds: [],
  atMs: at("2026-06-02", "08:00"),
  zone: ZONE,
  jurisdiction: "EU",
  ...more,
});

const given = (
  course: Course,
  slot: number,
  atMs = slot,
  more: Partial<DoseEvent> = {},
): DoseEvent => ({
  id: `${course.id} ${String(slot)} ${String(atMs)}`,
  courseId: course.id,
  drugKey: course.drugKey,
  route: course.route,
  doseMg: course.steps[0]?.doseMg ?? 0,
  givenAtMs: atMs,
  scheduledAtMs: slot,
  outcome: "given",
  givenBy: "carer",
  givenByRole: "carer",
  ...more,
});

const why = (dose: DoseEvent, where: MedicationContext): readonly string[] =>
  judgeDose(dose, where)
    .findings.filter((finding) => finding.outcome === "block")
    .map((finding) => finding.rule.replace(/^medication\/|@1$/gu, ""));

describe("late, early, missed (house rule: half the interval, never double)", () => {
  const slot = at("2026-06-03", "08:00");

  it("lets a once-daily dose be given up to 12 h late and leaves it out from then on", () => {
    const where = context([onceDaily]);
    const late = judgeDose(given(onceDaily, slot, slot + 3 * MS_PER_HOUR), where);
    expect(late.ok && late.value.timing).toBe("late");
    expect(late.ok && late.value.lateMinutes).toBe(180);
    expect(why(given(onceDaily, slot, slot + 12 * MS_PER_HOUR - 1), where)).toEqual([]);
    expect(why(given(onceDaily, slot, slot + 12 * MS_PER_HOUR), where)).toEqual(["missed"]);
  });

  it("halves that for twice a day: 6 h", () => {
    const where = context([twiceDaily]);
    expect(why(given(twiceDaily, slot, slot + 6 * MS_PER_HOUR - 1), where)).toEqual([]);
    expect(why(given(twiceDaily, slot, slot + 6 * MS_PER_HOUR), where)).toEqual(["missed"]);
  });

  it("refuses a dose a quarter of the interval before its time", () => {
    const where = context([twiceDaily]);
    expect(why(given(twiceDaily, slot, slot - 3 * MS_PER_HOUR), where)).toEqual([]);
    expect(why(given(twiceDaily, slot, slot - 3 * MS_PER_HOUR - 1), where)).toEqual(["too-early"]);
  });

  it("never lets two doses stand within half the interval: a dose 5 h 59 late and the next on time clash only below 6 h", () => {
    const evening = at("2026-06-03", "20:00");
    const lateBy = (minutes: number) =>
      why(
        given(twiceDaily, evening),
        context([twiceDaily], { doses: [given(twiceDaily, slot, slot + minutes * MS_PER_MINUTE)] }),
      );
    expect(lateBy(360)).toEqual([]);
    expect(lateBy(361)).toEqual(["half-interval"]);
  });

  it("tells the vet after two doses missed in a row, not after one", () => {
    const doses = scheduledDoses(twiceDaily)
      .filter((dose) => dose.atMs < at("2026-06-04", "00:00"))
      .map((dose) => given(twiceDaily, dose.atMs));
    const atNoon = (missing: number) =>
      ledger(
        context([twiceDaily], {
          atMs: at("2026-06-04", "02:00"),
          doses: doses.slice(0, doses.length - missing),
        }),
      ).missedTwice;
    expect(atNoon(1)).toEqual([]);
    expect(atNoon(2)).toEqual([{ courseId: "c1", doses: 2 }]);
  });
});

describe("one dose, one record", () => {
  const slot = at("2026-06-03", "08:00");
  const first = given(twiceDaily, slot, slot + 60_000, { id: "a", givenBy: "Ana" });
  const second = given(twiceDaily, slot, slot + 120_000, { id: "b", givenBy: "Jonty" });

  it("asks when a second person ticks the same slot and never counts it twice", () => {
    expect(why(second, context([twiceDaily], { doses: [first] }))).toContain("duplicate-slot");
    const both = context([twiceDaily], { doses: [first, second], atMs: slot + 180_000 });
    expect(mergeDoseRecords(both.doses).kept).toEqual([first]);
    expect(ledger(both).possibleDuplicates).toEqual([second]);
    expect(ledger(both).totals[0]?.last24hMg).toBe(10_000);
  });

  it("gives the same answer in whichever order two phones arrive", () => {
    fc.assert(
      fc.property(fc.shuffledSubarray([first, second], { minLength: 2 }), (doses) => {
        expect(mergeDoseRecords(doses).kept.map(({ id }) => id)).toEqual(["a"]);
      }),
    );
  });

  it("does nothing when the very same record comes twice", () => {
    const judged = judgeDose(first, context([twiceDaily], { doses: [first] }));
    expect(judged.ok && judged.value.replay).toBe(true);
  });

  it("writes down as a breach what is already inside the horse, but not a duplicate", () => {
    const late = given(twiceDaily, slot, slot + 7 * MS_PER_HOUR, { id: "late" });
    const judged = judgeDose(late, context([twiceDaily]), { alreadyGiven: true });
    expect(judged.ok && judged.value.breach).toBe(true);
    expect(
      judgeDose(second, context([twiceDaily], { doses: [first] }), { alreadyGiven: true }).ok,
    ).toBe(false);
  });

  it("counts a dose spat out in full and a refused one not at all", () => {
    const total = (outcome: DoseEvent["outcome"]) =>
      ledger(context([twiceDaily], { doses: [{ ...first, outcome }], atMs: slot + 180_000 }))
        .totals[0]?.last24hMg ?? 0;
    expect([total("given"), total("spat out"), total("refused"), total("not given")]).toEqual([
      10_000, 10_000, 0, 0,
    ]);
  });
});

describe("holds, signatures and reviews", () => {
  const bute: Course = {
    ...twiceDaily,
    id: "bute",
    drugKey: "phenylbutazone",
    presentationKey: "phenylbutazone-powder-1g",
    steps: [{ fromDay: 1, toDay: 40, doseMg: 1000, timesLocal: ["08:00"], everyDays: 1 }],
  };
  const on = (day: number, course: Course = bute, more: Partial<MedicationContext> = {}) => {
    const slot = at(addDays("2026-06-01", day - 1), "08:00");
    return why(given(course, slot), context([course], more));
  };

  it("needs a vet from day 6 unless somebody signed on day 4 or 5 (label: stop if no response by day 4-5)", () => {
    expect(on(5)).toEqual([]);
    expect(on(6)).toEqual(["needs-vet"]);
    const signed = (date: string) => ({ ...bute, reviewedAtMs: [at(date, "12:00")] });
    expect(on(6, signed("2026-06-05"))).toEqual([]);
    expect(on(6, signed("2026-06-04"))).toEqual([]);
    expect(on(6, signed("2026-06-03"))).toEqual(["needs-vet"]);
  });

  it("then asks for a signature every 14 days, every 7 from 15 years (house rules; Lees 1985 for the aged)", () => {
    const signed = { ...bute, reviewedAtMs: [at("2026-06-05", "12:00")] };
    expect(nextReviewOn(signed, context([signed]))).toBe("2026-06-19");
    expect(on(19, signed)).toEqual([]);
    expect(on(20, signed)).toEqual(["needs-vet"]);
    const old = {
      animal: { type: "horse", bornOn: "2011-05-01", conditions: [], foodChain: "excluded" },
    } as const;
    expect(nextReviewOn(signed, context([signed], old))).toBe("2026-06-12");
    const young = { animal: { ...old.animal, bornOn: "2011-06-03" } };
    expect(nextReviewOn(signed, context([signed], young))).toBe("2026-06-19");
  });

  it("refuses a draft, a stopped course and a held one until the release", () => {
    expect(on(1, { ...bute, status: "draft", signedAtMs: undefined })).toEqual(["not-signed"]);
    expect(on(1, { ...bute, status: "stopped" })).toEqual(["course-over"]);
    const hold = {
      id: "h",
      courseId: "bute",
      why: "red flag",
      reason: "off feed",
      fromMs: at("2026-06-02", "08:00"),
    } as const;
    expect(on(1, bute, { holds: [hold] })).toEqual([]);
    expect(on(2, bute, { holds: [hold] })).toEqual(["held"]);
    expect(on(2, bute, { holds: [{ ...hold, courseId: undefined }] })).toEqual(["held"]);
    expect(on(3, bute, { holds: [{ ...hold, releasedAtMs: at("2026-06-03", "08:00") }] })).toEqual(
      [],
    );
  });

  it("refuses more than was signed, a dose at no planned time, and one that no course covers", () => {
    const slot = at("2026-06-02", "08:00");
    expect(why(given(bute, slot, slot, { doseMg: 1001 }), context([bute]))).toEqual([
      "more-than-signed",
    ]);
    expect(why(given(bute, slot + 60_000), context([bute]))).toEqual(["not-scheduled"]);
    const loose = given(bute, slot, slot, { courseId: undefined, scheduledAtMs: undefined });
    expect(why(loose, context([bute]))).toEqual(["no-course"]);
    expect(why({ ...loose, givenByRole: "vet" }, context([]))).toEqual([]);
    expect(why({ ...loose, route: "intravenous" }, context([]))).toEqual([
      "no-course",
      "vein-by-vet",
    ]);
  });

  it("asks of a vet's single dose what a signature would have asked: pregnancy, illness, medicines beside it", () => {
    const single = {
      ...given(onceDaily, 0, at("2026-06-02", "08:00")),
      courseId: undefined,
      scheduledAtMs: undefined,
      givenByRole: "vet",
    };
    const where = (more: Partial<MedicationContext["animal"]>) =>
      context([], {
        animal: {
          type: "horse",
          bornOn: "2014-05-01",
          conditions: [],
          foodChain: "excluded",
          ...more,
        },
      });
    expect(why(single, where({}))).toEqual([]);
    expect(why(single, where({ pregnant: true }))).toEqual(["pregnancy"]);
    expect(why(single, where({ conditions: ["colic"] }))).toEqual(["condition"]);
    expect(why(single, where({ bornOn: "2026-05-01" }))).toEqual(["age"]);
    expect(
      why(
        single,
        where({
          medicinesGiven: [
            { name: "gentamicin", class: "nephrotoxic", givenAtMs: at("2026-06-01", "08:00") },
          ],
        }),
      ),
    ).toEqual(["nephrotoxic"]);
  });

  it("holds every drug a red sign may come from, and only tells the vet on amber", () => {
    const pergolide = { ...bute, id: "p", drugKey: "pergolide" };
    const red = judgeSigns(["gut"], [bute, pergolide]);
    expect([red.level, red.holdCourseIds, red.tell]).toEqual([
      "red",
      ["bute"],
      ["vet", "practice manager"],
    ]);
    expect(judgeSigns(["off-feed"], [bute, pergolide]).holdCourseIds).toEqual(["bute", "p"]);
    const amber = judgeSigns(["count"], [bute]);
    expect([amber.level, amber.holdCourseIds, amber.tell]).toEqual(["amber", [], ["vet"]]);
    expect(judgeSigns([], [bute]).level).toBe("none");
  });
});

describe("the carer's day", () => {
  it("shows each dose by part of the day with its state and the measure", () => {
    const doses = [given(twiceDaily, at("2026-06-03", "08:00"))];
    const view = (time: string) =>
      doseDayView(context([twiceDaily], { doses, atMs: at("2026-06-03", time) }));
    expect(view("12:00").morning.map(({ status, amount }) => [status, amount])).toEqual([
      ["given", "10 g of powder (10000 mg)"],
    ]);
    expect(
      ["12:00", "19:00", "20:59", "21:01", "23:00"].map((time) => view(time).evening[0]?.status),
    ).toEqual(["upcoming", "due", "due", "late", "late"]);
    expect(
      doseDayView(context([twiceDaily], { doses, atMs: at("2026-06-04", "02:00") }), "2026-06-03")
        .evening[0]?.status,
    ).toBe("missed");
    expect(view("21:01").evening[0]?.lateMinutes).toBe(61);
  });

  it("finds the earliest time the limits let a loose dose through: 24 h after the last", () => {
    const last = given(onceDaily, at("2026-06-02", "08:00"), undefined, {
      courseId: undefined,
      doseMg: 300,
    });
    const wanted = {
      ...last,
      id: "next",
      givenByRole: "vet",
      givenAtMs: at("2026-06-02", "20:00"),
    };
    expect(earliestAllowedAt(wanted, context([], { doses: [last] }))).toBe(
      at("2026-06-03", "08:00"),
    );
  });
});

describe("midnight", () => {
  const bute = (id: string, date: string, time: string): DoseEvent => ({
    id,
    drugKey: "phenylbutazone",
    presentationKey: "phenylbutazone-powder-1g",
    route: "oral",
    doseMg: 1100,
    givenAtMs: at(date, time),
    outcome: "given",
    givenBy: "vet",
    givenByRole: "vet",
  });

  it("adds 23:30 and 00:30 together although they are two calendar days, from day 6 on", () => {
    const earlier = Array.from({ length: 6 }, (_, day) =>
      bute(`d${String(day)}`, addDays("2026-06-01", day), "23:30"),
    );
    const next = (date: string, time: string) =>
      why(bute("next", date, time), context([], { doses: earlier }));
    expect(next("2026-06-07", "00:30")).toEqual(["rolling-limit"]);
    expect(next("2026-06-07", "23:29")).toEqual(["rolling-limit"]);
    expect(next("2026-06-07", "23:30")).toEqual([]);
  });

  it("takes the limit of the earlier day while a window still touches it: day 5 evening and day 6 morning", () => {
    const doses = Array.from({ length: 5 }, (_, day) => [
      bute(`m${String(day)}`, addDays("2026-06-01", day), "08:00"),
      bute(`e${String(day)}`, addDays("2026-06-01", day), "20:00"),
    ]).flat();
    const next = (time: string) => why(bute("next", "2026-06-06", time), context([], { doses }));
    expect(next("08:00")).toEqual([]);
    expect(
      why(
        bute("evening", "2026-06-06", "20:00"),
        context([], { doses: [...doses, bute("morning", "2026-06-06", "08:00")] }),
      ),
    ).toEqual(["calendar-day-limit", "rolling-limit"]);
  });
});

describe("clock changes", () => {
  it("keeps the yard's clock: 20:00 on 24 October to 08:00 on the 25th is 13 h, no alarm and no second dose", () => {
    const course = { ...twiceDaily, startOn: "2026-10-24" };
    const doses = scheduledDoses(course);
    const evening = doses.find((dose) => dose.on === "2026-10-24" && dose.timeLocal === "20:00");
    const morning = doses.find((dose) => dose.on === "2026-10-25" && dose.timeLocal === "08:00");
    expect(((morning?.atMs ?? 0) - (evening?.atMs ?? 0)) / MS_PER_HOUR).toBe(13);
    expect(doses.filter((dose) => dose.on === "2026-10-25")).toHaveLength(2);
  });

  it("books a dose at 01:30 on 25 October once although the clock shows it twice", () => {
    const night = {
      ...onceDaily,
      startOn: "2026-10-24",
      steps: [{ fromDay: 1, toDay: 3, doseMg: 150, timesLocal: ["01:30"], everyDays: 1 }],
    };
    const doses = scheduledDoses(night).filter((dose) => dose.on === "2026-10-25");
    expect(doses.map((dose) => new Date(dose.atMs).toISOString())).toEqual([
      "2026-10-25T00:30:00.000Z",
    ]);
  });

  it("allows the full daily dose at the same clock time over the 23 h day in March, and refuses it a minute before", () => {
    const dose = given(onceDaily, 0, at("2026-03-28", "08:00"), {
      courseId: undefined,
      scheduledAtMs: undefined,
      doseMg: 300,
      givenByRole: "vet",
    });
    const next = (time: string) =>
      why(
        { ...dose, id: "next", givenAtMs: at("2026-03-29", time) },
        context([], {
          doses: [dose],
          weights: [{ weightKg: 500, method: "scale", takenAtMs: at("2026-03-27", "08:00") }],
        }),
      );
    expect(next("08:00")).toEqual([]);
    expect(next("07:59")).toEqual(["rolling-limit"]);
  });

  it("refuses a second full dose on the 25 h day in October although 24 h 30 min have passed", () => {
    const dose = given(onceDaily, 0, at("2026-10-25", "00:10"), {
      courseId: undefined,
      scheduledAtMs: undefined,
      doseMg: 300,
      givenByRole: "vet",
    });
    const weights = [
      { weightKg: 500, method: "scale", takenAtMs: at("2026-10-24", "08:00") },
    ] as const;
    const next = (date: string, time: string) =>
      why(
        { ...dose, id: "next", givenAtMs: at(date, time) },
        context([], { doses: [dose], weights }),
      );
    expect((at("2026-10-25", "23:40") - at("2026-10-25", "00:10")) / MS_PER_HOUR).toBe(24.5);
    expect(next("2026-10-25", "23:40")).toEqual(["calendar-day-limit"]);
    expect(next("2026-10-26", "00:10")).toEqual([]);
  });

  it("agrees with a second time library about every slot, in five zones through two years", () => {
    const zones = [
      "Europe/Dublin",
      "America/New_York",
      "Australia/Lord_Howe",
      "Asia/Kolkata",
      "Pacific/Auckland",
    ] as const;
    fc.assert(
      fc.property(
        fc.constantFrom(...zones),
        fc.integer({ min: 0, max: 729 }),
        fc.integer({ min: 0, max: 23 }),
        fc.integer({ min: 0, max: 59 }),
        (zone, day, hour, minute) => {
          const startOn = addDays("2026-01-01", day);
          const time = `${String(hour).padStart(2, "0")}:${String(minute).padStart(2, "0")}`;
          const slots = slotsOf(
            {
              ...onceDaily,
              zone,
              startOn,
              steps: [{ fromDay: 1, toDay: 2, doseMg: 1, timesLocal: [time], everyDays: 1 }],
            },
            1,
            2,
          );
          slots.forEach((slot) => {
            const theirs = Temporal.PlainDate.from(slot.on).toZonedDateTime({
              timeZone: zone,
              plainTime: time,
            });
            expect(slot.atMs).toBe(theirs.epochMilliseconds);
          });
          expect(slots).toHaveLength(2);
        },
      ),
      { numRuns: 400 },
    );
  });
});
