import type { MonitoringTaskView } from "@heelward/contracts";
import type { Source } from "@heelward/domain/evidence";
import { drugOf, lastDayOf, monitoringTasks } from "@heelward/domain/medication";
import {
  healingCurve,
  hormonesOpenOn,
  metabolicRechecks,
  seasonTasks,
  titrationStep,
  type MetabolicState,
  type MetabolicValues,
} from "@heelward/domain/metabolic";
import { addDays, dayText, localDateOf } from "@heelward/domain/time";
import type { HorseMedication } from "../medication/context.ts";
import { drugName, isOver } from "../medication/views.ts";
import { dailyScores, RETHINK_PROMPT } from "../metabolic/curves.ts";
import type { TaskFacts } from "./facts.ts";

/** An undone task of a course that is over is shown this long. Source: house rule. */
const SHOWN_AFTER_END_DAYS = 30;
/** What stands for a test that a laboratory reports in parts. */
const STANDS_FOR: Readonly<Record<string, readonly string[]>> = {
  haematology: ["white cells", "haematocrit"],
};

type CourseRow = HorseMedication["courses"][number];

/** A task before it is known whether it is done. */
interface Wanted {
  readonly key: string;
  readonly kind: MonitoringTaskView["kind"];
  readonly courseId: string | null;
  readonly title: string;
  readonly why: string;
  readonly tests: readonly string[];
  readonly opensOn: string;
  readonly dueOn: string;
  /** First day whose sample or check counts. */
  readonly countsFrom: string;
  readonly source: Source;
}

const titleOf = (tests: readonly string[]): string => `Blood: ${tests.join(", ")}`;

/** The tests the formulary and the course itself ask for. */
const ofCourse = (course: CourseRow, { sampleEarlyDays }: MetabolicValues): readonly Wanted[] => {
  const drug = drugOf(course.drugKey);
  if (drug === undefined) return [];
  const isAgonist = drug.classes.includes("dopamine agonist");
  const name = drugName(course.drugKey);
  const booked = monitoringTasks({
    drugKey: course.drugKey,
    startOn: course.startOn,
    lastDay: lastDayOf(course.steps),
  })
    // A dopamine agonist's first re-test follows each change of dose; see below.
    .filter(
      (task) => !(isAgonist && task.kind === "blood" && task.dueOn === addDays(course.startOn, 35)),
    )
    .map((task): Wanted => {
      const isBaseline = task.dueOn === course.startOn;
      const early = isBaseline ? sampleEarlyDays.baseline : sampleEarlyDays.interval;
      return {
        key: `course/${course.id}/${task.kind}/${task.dueOn}`,
        kind: task.kind,
        courseId: course.id,
        title: task.kind === "weigh" ? "Weigh again" : titleOf(task.tests),
        why: `${isBaseline ? "Baseline" : "Interval"} with ${name}`,
        tests: task.tests,
        opensOn: isBaseline ? task.dueOn : addDays(task.dueOn, -sampleEarlyDays.interval),
        dueOn: task.dueOn,
        countsFrom: addDays(task.dueOn, -early),
        source: task.source,
      };
    });
  const retests = isAgonist
    ? course.steps.map((step): Wanted => {
        const changedOn = addDays(course.startOn, step.fromDay - 1);
        const { retestFrom, retestBy, source } = titrationStep(
          step.doseMg,
          course.weightKg,
          changedOn,
        );
        return {
          key: `course/${course.id}/titration/${changedOn}`,
          kind: "blood",
          courseId: course.id,
          title: titleOf(["ACTH"]),
          why: `${name} changed to ${step.doseMg} mg on ${dayText(changedOn)}: blood 4 to 6 weeks on`,
          tests: ["ACTH"],
          opensOn: retestFrom,
          dueOn: retestBy,
          countsFrom: retestFrom,
          source,
        };
      })
    : [];
  const recheckTests = drug.monitoring[0]?.tests ?? [];
  const recheck =
    course.recheckOn === null || recheckTests.length === 0
      ? []
      : [
          {
            key: `course/${course.id}/recheck/${course.recheckOn}`,
            kind: "blood" as const,
            courseId: course.id,
            title: titleOf(recheckTests),
            why: `Day the vet fixed when ${name} was signed`,
            tests: recheckTests,
            opensOn: addDays(course.recheckOn, -sampleEarlyDays.interval),
            dueOn: course.recheckOn,
            countsFrom: addDays(course.recheckOn, -sampleEarlyDays.interval),
            source: drug.monitoring[0]?.source ?? drug.review.source,
          },
        ];
  return [...booked, ...retests, ...recheck];
};

const ENDOCRINE: readonly string[] = ["insulin dysregulation", "PPID"];

const stateOf = (
  facts: TaskFacts,
  insulinOn: string | undefined,
  last: string | null,
): MetabolicState => {
  const changes = [
    ...(facts.ration === undefined ? [] : [facts.ration.startsOn]),
    ...facts.medication.courses
      .filter((course) => drugOf(course.drugKey)?.classes.includes("SGLT2 inhibitor") === true)
      .map((course) => course.startOn),
  ];
  if (insulinOn === undefined || changes.some((on) => on > insulinOn)) return "after a change";
  return last === "low" ? "low" : "not yet low";
};

/** Weight, crest and insulin of an animal with a hormone cause and an open case. */
const ofCause = (facts: TaskFacts, today: string): readonly Wanted[] => {
  const { horse } = facts.medication;
  if (
    horse.openCaseId === null ||
    !ENDOCRINE.some((condition) => horse.conditions.includes(condition))
  )
    return [];
  const insulin = facts.results.findLast((row) => row.test === "insulin");
  const crest = facts.scores.findLast(
    (row) => row.crestyNeck !== null || row.bodyCondition !== null,
  );
  const began = facts.ration?.startsOn ?? today;
  const last = {
    weightOn: facts.weighedOn.at(-1) ?? addDays(began, -7),
    crestOn:
      crest === undefined ? addDays(began, -14) : localDateOf(crest.at.getTime(), horse.timeZone),
    insulinOn: insulin?.on ?? began,
  };
  return metabolicRechecks(
    stateOf(facts, insulin?.on, insulin?.reading ?? null),
    last,
    facts.figures,
  ).map((recheck): Wanted => ({
    key: `recheck/${recheck.what}/${recheck.dueOn}`,
    kind: recheck.what === "insulin" ? "blood" : recheck.what === "weight" ? "weigh" : "condition",
    courseId: null,
    title:
      recheck.what === "insulin"
        ? titleOf(["insulin"])
        : recheck.what === "weight"
          ? "Weigh again"
          : "Score condition and crest",
    why: "Hormone cause: followed until it is under control",
    tests: recheck.what === "insulin" ? ["insulin"] : [recheck.what],
    opensOn: addDays(recheck.dueOn, -facts.figures.sampleEarlyDays.interval),
    dueOn: recheck.dueOn,
    // The date itself was counted from the last one done, so nothing older answers it.
    countsFrom: addDays(recheck.dueOn, 1),
    source: recheck.source,
  }));
};

/** What the season asks for on a day. */
const ofSeason = (facts: TaskFacts, on: string): readonly Wanted[] =>
  seasonTasks(facts.medication.horse.conditions, on, facts.hemisphere, facts.figures).map(
    (task): Wanted => {
      const isAutumn = task.kind === "autumn ACTH";
      const opensOn = isAutumn ? hormonesOpenOn(on, facts.hemisphere) : on;
      return {
        key: `season/${task.kind}/${on.slice(0, 4)}`,
        kind: isAutumn ? "blood" : "season",
        courseId: null,
        title: isAutumn
          ? titleOf(["ACTH"])
          : task.kind === "frost"
            ? "Frost: keep off the grass"
            : "Spring grass: fence, muzzle or keep off",
        why: task.why,
        tests: isAutumn ? ["ACTH"] : [],
        opensOn,
        dueOn: task.dueOn,
        countsFrom: opensOn,
        source: task.source,
      };
    },
  );

const WATCH: Source = {
  id: "house/steroid-watch",
  citation: "14 days of daily feet after a steroid in an animal at risk",
  status: "house rule",
};

const ofSteroids = (facts: TaskFacts): readonly Wanted[] =>
  facts.others.flatMap((row): readonly Wanted[] =>
    row.watchUntil === null
      ? []
      : [
          {
            key: `watch/${row.id}`,
            kind: "watch",
            courseId: null,
            title: `Feel the feet daily until ${dayText(row.watchUntil)}`,
            why: `${row.name} in an animal at risk${row.reason === null ? "" : `: ${row.reason}`}`,
            tests: [],
            opensOn: localDateOf(row.givenAt.getTime(), facts.medication.horse.timeZone),
            dueOn: row.watchUntil,
            countsFrom: row.watchUntil,
            source: WATCH,
          },
        ],
  );

const TREATED: readonly string[] = ["acute", "subacute"];

/** The prompt to think again about a case that heals slowly. */
const ofHealing = (facts: TaskFacts, today: string): readonly Wanted[] => {
  const { horse } = facts.medication;
  if (horse.openCaseId === null || !TREATED.includes(horse.phase ?? "")) return [];
  const scores = dailyScores(
    facts.scores.filter((row) => row.caseId === horse.openCaseId),
    horse.timeZone,
  );
  const curve = healingCurve(scores, today, facts.figures);
  const last = scores.at(-1);
  if (curve?.rethink !== true || last === undefined) return [];
  return [
    {
      key: `healing/${horse.openCaseId}/${last.on}`,
      kind: "rethink",
      courseId: null,
      title: curve.slow ? "Slow case: think again" : "Worse again: think again",
      why: RETHINK_PROMPT,
      tests: [],
      opensOn: last.on,
      dueOn: last.on,
      countsFrom: last.on,
      source: curve.source,
    },
  ];
};

const isShown = (course: CourseRow, wanted: Wanted, isDone: boolean, nowMs: number): boolean => {
  const today = localDateOf(nowMs, course.timeZone);
  if (course.status === "stopped") {
    const stoppedOn =
      course.stoppedAt === null ? today : localDateOf(course.stoppedAt.getTime(), course.timeZone);
    return isDone && wanted.dueOn <= stoppedOn;
  }
  return (
    isDone ||
    !isOver(course, nowMs) ||
    course.endOn === null ||
    addDays(course.endOn, SHOWN_AFTER_END_DAYS) >= today
  );
};

/** The first day on which every test of a task had a result that counts for it. */
const doneOnOf = (wanted: Wanted, facts: TaskFacts, today: string) => {
  if (wanted.kind === "watch")
    return { missing: [], doneOn: today > wanted.dueOn ? wanted.dueOn : null };
  const days = wanted.tests.map((test): string | undefined => {
    if (test === "weight") return facts.weighedOn.find((on) => on >= wanted.countsFrom);
    const names = [test, ...(STANDS_FOR[test] ?? [])];
    return facts.results.find((row) => names.includes(row.test) && row.on >= wanted.countsFrom)?.on;
  });
  const missing = wanted.tests.filter((_, index) => days[index] === undefined);
  const known = days.flatMap((on) => (on === undefined ? [] : [on])).toSorted();
  return {
    missing,
    doneOn: missing.length > 0 || known.length === 0 ? null : (known.at(-1) ?? null),
  };
};

const settle = (wanted: Wanted, facts: TaskFacts, today: string): MonitoringTaskView => {
  const { horse } = facts.medication;
  const { missing, doneOn } = doneOnOf(wanted, facts, today);
  const waiver = facts.waivers.find((one) => one.taskKey === wanted.key);
  const state =
    doneOn !== null
      ? "done"
      : waiver !== undefined
        ? "waived"
        : today < wanted.opensOn
          ? "later"
          : today > wanted.dueOn && wanted.kind !== "watch"
            ? "late"
            : "due";
  return {
    key: wanted.key,
    kind: wanted.kind,
    horse: { id: horse.id, name: horse.name },
    courseId: wanted.courseId,
    title: wanted.title,
    why: wanted.why,
    tests: [...wanted.tests],
    missing: [...missing],
    opensOn: wanted.opensOn,
    dueOn: wanted.dueOn,
    state,
    doneOn,
    waivedBecause: waiver?.reason ?? null,
    lapsedBecause: null,
    source: wanted.source,
  };
};

/**
 * A blood test of a course that nobody took is not late for ever: it lapses when a later test of the
 * same course asks for the same and has opened, and a baseline also once the course is so far on that
 * a sample would be no baseline. It stays in sight with the reason; the test that follows it is late
 * in its own right.
 */
const withLapses = (
  tasks: readonly MonitoringTaskView[],
  baselineKeys: ReadonlySet<string>,
  today: string,
  { baselineLapsesDays }: MetabolicValues,
): readonly MonitoringTaskView[] =>
  tasks.map((task) => {
    if (task.state !== "late" || task.kind !== "blood") return task;
    const later = tasks.find(
      (one) =>
        one.kind === "blood" &&
        one.dueOn > task.dueOn &&
        one.opensOn <= today &&
        task.missing.every((test) => one.tests.includes(test)),
    );
    const because =
      later !== undefined
        ? `Never taken; the test due ${dayText(later.dueOn)} stands in its place.`
        : baselineKeys.has(task.key) && today > addDays(task.dueOn, baselineLapsesDays)
          ? `Never taken; ${String(baselineLapsesDays)} days into the course it would be no baseline any more.`
          : null;
    return because === null ? task : { ...task, state: "lapsed", lapsedBecause: because };
  });

/**
 * Every task of a horse, worked out from its signed courses, results, weighings and the season: none
 * is stored, so none can be forgotten when a course changes. A result fulfils what it was due for.
 */
export const tasksOf = (facts: TaskFacts, nowMs: number): MonitoringTaskView[] => {
  const today = localDateOf(nowMs, facts.medication.horse.timeZone);
  const ofCourses = facts.medication.courses.flatMap((course) => {
    const wanted = ofCourse(course, facts.figures);
    const baselines = new Set(
      wanted.filter((one) => one.dueOn === course.startOn).map((one) => one.key),
    );
    const settled = withLapses(
      wanted.map((one) => settle(one, facts, today)),
      baselines,
      today,
      facts.figures,
    );
    return settled.filter((task, index) => {
      const of = wanted[index];
      return of !== undefined && isShown(course, of, task.state === "done", nowMs);
    });
  });
  return [
    ...ofCourses,
    ...[
      ...ofCause(facts, today),
      ...ofSeason(facts, today),
      ...ofSteroids(facts),
      ...ofHealing(facts, today),
    ].map((wanted) => settle(wanted, facts, today)),
  ].toSorted((a, b) =>
    a.dueOn === b.dueOn ? a.key.localeCompare(b.key) : a.dueOn < b.dueOn ? -1 : 1,
  );
};

/** What the season asks of a horse on a day, past or to come. */
export const seasonTasksOf = (facts: TaskFacts, on: string): MonitoringTaskView[] =>
  ofSeason(facts, on).map((wanted) => settle(wanted, facts, on));
