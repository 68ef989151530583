import type { requestDose } from "@heelward/contracts";
import type { Finding } from "@heelward/domain/evidence";
import { isAllowed } from "@heelward/domain/evidence";
import {
  drugOf,
  judgeCourse,
  judgeDose,
  weightInForce,
  type CourseRequest,
  type DoseEvent,
  type Drug,
  type Presentation,
} from "@heelward/domain/medication";
import { addDays, localDateOf, MS_PER_HOUR } from "@heelward/domain/time";
import type { z } from "zod";
import { decodeCursor, toPage } from "../../http/cursor.ts";
import { badField, notFound } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import type { HorseMedication } from "./context.ts";
import { lockTreatable } from "./course-lock.ts";
import { openCourses, tellVet } from "./holds.ts";
import { keepRequest } from "./refusals.ts";
import * as store from "./store.ts";
import { measureOf } from "./views.ts";

type Wish = z.output<NonNullable<typeof requestDose.body>>;

const clock = (minutes: number): string =>
  `${String(Math.floor(minutes / 60)).padStart(2, "0")}:${String(minutes % 60).padStart(2, "0")}`;

/** Times of a day for so many doses, from eight in the morning to eight in the evening. */
const spread = (times: number): readonly string[] =>
  times === 1
    ? ["08:00"]
    : Array.from({ length: times }, (_, index) =>
        clock(8 * 60 + Math.round((index * 12 * 60) / (times - 1))),
      );

const presentationFor = (medication: HorseMedication, drug: Drug): Presentation | undefined => {
  const running = openCourses(medication).find((course) => course.drugKey === drug.key);
  return (
    drug.presentations.find((one) => one.key === running?.presentationKey) ??
    drug.presentations.find(
      (one) =>
        one.jurisdictions.includes(medication.context.jurisdiction) && one.routes.includes("oral"),
    ) ??
    drug.presentations[0]
  );
};

/**
 * One day of the wish by itself against the limit of the day the horse is on: what was given before
 * keeps its place in the count of days and adds nothing to the sum.
 */
const dayByItself = (
  { context }: HorseMedication,
  drug: Drug,
  presentation: Presentation,
  wish: Wish,
) => {
  const dose: DoseEvent = {
    id: "the wish",
    drugKey: drug.key,
    presentationKey: presentation.key,
    route: presentation.routes[0] ?? "oral",
    doseMg: wish.doseMg * wish.timesPerDay,
    givenAtMs: context.atMs,
    outcome: "given",
    givenBy: wish.askedBy,
    givenByRole: "vet",
  };
  const alone = {
    ...context,
    doses: context.doses.map((given) => ({ ...given, doseMg: Number.MIN_VALUE })),
  };
  const fact = judgeDose(dose, alone, { alreadyGiven: true });
  return {
    share: fact.ok ? fact.value.shareOfLimit : undefined,
    findings: judgeDose(dose, alone).findings,
  };
};

/** The wish as a course of one day in place of what runs of the same medicine. */
const asCourse = (
  medication: HorseMedication,
  drug: Drug,
  presentation: Presentation,
  wish: Wish,
): readonly Finding[] => {
  const { context } = medication;
  const replaced = openCourses(medication).find((course) => course.drugKey === drug.key);
  const request: CourseRequest = {
    drugKey: drug.key,
    presentationKey: presentation.key,
    route: presentation.routes[0] ?? "oral",
    startOn: addDays(localDateOf(context.atMs + MS_PER_HOUR, context.zone), 1),
    supersedesCourseId: replaced?.id,
    steps: [
      {
        fromDay: 1,
        toDay: 1,
        doseMg: wish.doseMg,
        timesLocal: spread(wish.timesPerDay),
        everyDays: 1,
      },
    ],
  };
  return judgeCourse(request, context).findings;
};

const judgeWish = (
  medication: HorseMedication,
  drug: Drug,
  presentation: Presentation,
  wish: Wish,
) => {
  const alone = dayByItself(medication, drug, presentation, wish);
  const own = alone.findings.filter((finding) => finding.outcome === "block");
  const seen = new Set(own.map((finding) => finding.rule));
  const course = asCourse(medication, drug, presentation, wish);
  return {
    share: alone.share,
    findings: [...own, ...course.filter((finding) => !seen.has(finding.rule))],
  };
};

/**
 * Keeps a wish for more or other medicine with the arithmetic. It is never a dose and never becomes
 * one: whatever it says, a vet drafts and signs, or does not.
 */
export const request = async (work: Work, horseId: string, wish: Wish) => {
  const medication = await lockTreatable(work, horseId, null);
  const { horse, context } = medication;
  const drug = drugOf(wish.drugKey);
  const presentation = drug === undefined ? undefined : presentationFor(medication, drug);
  if (drug === undefined || presentation === undefined)
    throw badField("/drugKey", "is not in the formulary");
  const { share, findings } = judgeWish(medication, drug, presentation, wish);
  const refused = !isAllowed(findings);
  const weightKg = weightInForce(context)?.weightKg;
  const mgPerKgPerDay = weightKg === undefined ? null : (wish.doseMg * wish.timesPerDay) / weightKg;
  const percentOfLimit = share === undefined ? null : 100 * share;
  const what = `${drug.name} ${measureOf(drug.key, presentation.key, wish.doseMg)}, ${wish.timesPerDay} a day`;
  const id = await keepRequest(work, {
    horseId,
    caseId: horse.openCaseId,
    kind: refused ? "dose request" : store.ASKED_WITHIN_LIMITS,
    request: { ...wish, mgPerKgPerDay, percentOfLimit },
    findings,
    title: refused
      ? `Refused: ${what}, asked for by ${wish.askedBy}`
      : `${wish.askedBy} asks for ${what}; for the vet to decide`,
  });
  await tellVet(work, horse, {
    situation: `${wish.askedBy} asks for ${what}`,
    found: refused
      ? `Refused: ${findings.find((finding) => finding.outcome === "block")?.detail ?? ""}`
      : "Inside the limits; nothing is given unless you sign it",
    mustDo: "Ring back: is the pain worse? Decide what helps within the limits",
    urgent: refused,
  });
  return {
    id,
    requestedAt: new Date(work.nowMs).toISOString(),
    refused,
    findings,
    mgPerKgPerDay,
    percentOfLimit,
  };
};

export const listRefused = async (
  work: Work,
  horseId: string,
  query: { readonly limit: number; readonly cursor?: string | undefined },
) => {
  if ((await store.findHorses(work.tx, { ids: [horseId] })).length === 0) throw notFound("horse");
  const after = decodeCursor(query.cursor, 2);
  const found = await store.findRefusals(work.tx, horseId, { after, limit: query.limit + 1 });
  const { rows, nextCursor } = toPage(found, query.limit, (row) => [
    row.requestedAt.toISOString(),
    row.id,
  ]);
  return {
    items: rows.map((row) => ({
      ...row,
      requestedAt: row.requestedAt.toISOString(),
      request: JSON.parse(JSON.stringify(row.request)) as null,
      findings: [...row.findings],
    })),
    nextCursor,
  };
};
