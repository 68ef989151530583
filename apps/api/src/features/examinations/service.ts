import type { checkHorse, Examination } from "@heelward/contracts";
import { proposeSupportLimbWatch } from "@heelward/domain/cases";
import { isAllowed, type Finding } from "@heelward/domain/evidence";
import {
  examinationRedFlags,
  isRedFlag,
  judgeExamination,
  RED_FLAG_CAUTION,
  type EarlierCheck,
  type RedFlagSigns,
  type VitalSigns,
} from "@heelward/domain/examination";
import { judgeBodyCondition, judgeCrestyNeck } from "@heelward/domain/horse";
import { daysBetween, localDateOf, MS_PER_DAY } from "@heelward/domain/time";
import type { z } from "zod";
import { decodeCursor, toPage } from "../../http/cursor.ts";
import { isoDay } from "../../http/dates.ts";
import { defined } from "../../http/defined.ts";
import { assertNotFuture } from "../../http/instants.ts";
import { newId } from "../../http/new-id.ts";
import { ruleViolated } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import * as cases from "../cases/service.ts";
import * as horses from "../horses/service.ts";
import { holdRunningCourses } from "../medication/recheck.ts";
import * as store from "./store.ts";

type Seen = z.output<NonNullable<typeof checkHorse.body>>;

/** How far back an earlier score still says something about today's. */
const LOOK_BACK_DAYS = 60;

const vitalSigns = (
  one: Pick<Seen, "heartRatePerMinute" | "respirationPerMinute" | "temperatureC">,
): VitalSigns =>
  defined({
    heartRatePerMinute: one.heartRatePerMinute ?? undefined,
    breathsPerMinute: one.respirationPerMinute ?? undefined,
    temperatureCelsius: one.temperatureC ?? undefined,
  });

const judge = (input: Seen): readonly Finding[] => {
  const judged = judgeExamination(
    defined({
      obelGrade: input.obelGrade ?? undefined,
      lamenessGrade: input.lamenessGrade ?? undefined,
      fiveSign: input.fiveSignScore === null ? undefined : { total: input.fiveSignScore },
      vitalSigns: vitalSigns(input),
    }),
  );
  return [
    ...judged.findings,
    ...(input.bodyCondition === null ? [] : judgeBodyCondition(input.bodyCondition).findings),
    ...(input.crestyNeck === null ? [] : judgeCrestyNeck(input.crestyNeck).findings),
  ];
};

/** What the check says about danger, seen against the last weeks. */
const redFlags = async (
  { tx }: Work,
  horseId: string,
  timeZone: string,
  input: Seen,
): Promise<readonly Finding[]> => {
  const atMs = Date.parse(input.examinedAt);
  const earlier = await store.findExaminations(tx, {
    horseId,
    sinceMs: atMs - LOOK_BACK_DAYS * MS_PER_DAY,
    limit: 200,
  });
  const previous: EarlierCheck[] = earlier.map((one) => ({
    atMs: Date.parse(one.examinedAt),
    vitalSigns: vitalSigns(one),
    ...(one.fiveSignScore === null ? {} : { fiveSignTotal: one.fiveSignScore }),
  }));
  const running = await tx.medicationCourse.count({
    where: { horseId, status: { in: ["signed", "held"] } },
  });
  const reset = await tx.reset.findFirst({
    where: { horseId, status: { in: ["open", "booked"] } },
  });
  return examinationRedFlags(
    {
      atMs,
      signs: Object.fromEntries(input.signs.map((sign) => [sign, true])) as RedFlagSigns,
      vitalSigns: vitalSigns(input),
      ...(input.fiveSignScore === null ? {} : { fiveSignTotal: input.fiveSignScore }),
      onAntiInflammatory: running > 0,
      ...(reset === null
        ? {}
        : {
            resetDaysLate: Math.max(
              0,
              daysBetween(isoDay(reset.dueOn), localDateOf(atMs, timeZone)),
            ),
          }),
    },
    previous,
  );
};

const words = (input: Seen): string =>
  [
    input.obelGrade === null ? "" : `Obel ${input.obelGrade}`,
    input.fiveSignScore === null ? "" : `five-sign score ${input.fiveSignScore} of 12`,
    input.lamenessGrade === null ? "" : `lameness ${input.lamenessGrade} of 5`,
    input.heartRatePerMinute === null ? "" : `heart rate ${input.heartRatePerMinute}`,
    input.temperatureC === null ? "" : `${input.temperatureC} °C`,
  ]
    .filter((part) => part !== "")
    .join(", ");

const record = async (
  work: Work,
  horseId: string,
  caseId: string | null,
  kind: "examination" | "care check",
  input: Seen,
) => {
  const { tx, actor, nowMs } = work;
  assertNotFuture(input.examinedAt, nowMs, "/examinedAt");
  const found = await horses.read(work, horseId);
  const judged = judge(input);
  if (!isAllowed(judged))
    throw ruleViolated("A figure of this examination is not possible.", judged);
  const flags = await redFlags(work, horseId, found.yard.timeZone, input);
  const proposed = proposeSupportLimbWatch(input.lamenessGrade ?? 0);
  const findings = [
    ...flags,
    ...judged,
    ...(proposed === undefined ? [] : [proposed]),
    ...(flags.length === 0 ? [RED_FLAG_CAUTION] : []),
  ];
  const isAlarm = flags.some(isRedFlag) || flags.some((flag) => flag.outcome === "warn");
  const id = newId();
  const { examinedAt, ...fields } = input;
  await tx.examination.create({
    data: {
      ...fields,
      practiceId: actor.practiceId,
      id,
      horseId,
      caseId,
      kind,
      examinedAt: new Date(examinedAt),
      examinedBy: actor.personId,
      createdAt: new Date(nowMs),
      isRedFlag: isAlarm,
      digitalPulses: defined(fields.digitalPulses),
      hoofHeat: defined(fields.hoofHeat),
      findings: JSON.parse(JSON.stringify(findings)) as object,
    },
  });
  work.audit({
    event: kind === "examination" ? "horse.examined" : "horse.checked",
    subjectType: "examination",
    subjectId: id,
    horseId,
    payload: { isRedFlag: isAlarm, input },
  });
  await recordEvent(work, {
    horseId,
    caseId,
    kind: isAlarm ? "red flag" : kind,
    at: Date.parse(examinedAt),
    refType: "examination",
    refId: id,
    title: isAlarm
      ? `Red flag: ${flags[0]?.detail ?? "see the check"}`
      : kind === "examination"
        ? "Examined by the vet"
        : "Yard check",
    detail: [words(input), ...flags.slice(1).map((flag) => flag.detail), input.notes ?? ""]
      .filter((part) => part !== "")
      .join(". "),
    data: { fiveSignScore: input.fiveSignScore, obelGrade: input.obelGrade },
    ...(kind === "examination" ? { forOwner: "The vet examined your horse." } : {}),
  });
  const heldCourseIds =
    isAlarm && kind === "care check"
      ? await holdRunningCourses(work, horseId, flags[0]?.detail ?? "red flag in the yard", flags)
      : [];
  work.announce("queue");
  const [stored] = await store.findExaminations(tx, { id, limit: 1 });
  if (stored === undefined) throw new Error("the examination just written is not there");
  return { ...stored, heldCourseIds };
};

/** A vet's examination within a case. */
export const examine = async (work: Work, caseId: string, input: Seen): Promise<Examination> => {
  const found = await cases.readOpen(work, caseId);
  return record(work, found.horse.id, caseId, "examination", input);
};

/** A check in the yard; a red flag holds what is running and calls the vet in the same transaction. */
export const check = async (work: Work, horseId: string, input: Seen) => {
  const found = await horses.read(work, horseId);
  return record(work, horseId, found.openCaseId, "care check", input);
};

/** The newest examinations and checks of a horse, for pages that show more than them. */
export const latestOf = ({ tx }: Work, horseId: string, limit: number): Promise<Examination[]> =>
  store.findExaminations(tx, { horseId, limit });

export const list = async (
  work: Work,
  horseId: string,
  query: { readonly limit: number; readonly cursor?: string | undefined },
) => {
  await horses.read(work, horseId);
  const after = decodeCursor(query.cursor, 2);
  const found = await store.findExaminations(work.tx, { horseId, after, limit: query.limit + 1 });
  const { rows, nextCursor } = toPage(found, query.limit, (row) => [row.examinedAt, row.id]);
  return { items: [...rows], nextCursor };
};
