import type { OtherMedicineView, recordOtherMedicine } from "@heelward/contracts";
import { STEROID_WATCH_SETTING } from "@heelward/domain/cases";
import { steroidAlarm } from "@heelward/domain/metabolic";
import { dayText, localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import { dayColumn } from "../../http/dates.ts";
import { assertNotFuture } from "../../http/instants.ts";
import { newId } from "../../http/new-id.ts";
import { notFound, ruleViolated } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import * as handoffs from "../handoffs/service.ts";
import { settingValue } from "../settings/values.ts";
import { asJson } from "./as-json.ts";
import { lockTreatable } from "./course-lock.ts";
import { findOtherMedicines, latestInsulinReading, type OtherMedicineRow } from "./record-store.ts";
import { recheckCoursesAfterChange } from "./recheck.ts";
import { findHorses } from "./store.ts";

type NewMedicine = z.output<NonNullable<typeof recordOtherMedicine.body>>;

const view = (row: OtherMedicineRow): OtherMedicineView => ({
  ...row,
  givenAt: row.givenAt.toISOString(),
  findings: [...row.findings],
});

/** The word a reading stands for; a sugar test above its cut-off counts as high insulin. */
const bandOf = (reading: string | null): "low" | "middle" | "high" | "not known" =>
  reading === "low" || reading === "middle" || reading === "high"
    ? reading
    : reading === "positive"
      ? "high"
      : "not known";

/**
 * Records a medicine that no course covers: the dose rules look at it from now on, and courses that
 * run are judged again. A steroid in an animal at risk needs the vet's reason and opens a watch.
 */
export const record = async (
  work: Work,
  horseId: string,
  input: NewMedicine,
): Promise<OtherMedicineView> => {
  const { tx, actor, nowMs } = work;
  const before = await lockTreatable(work, horseId, null);
  const { horse } = before;
  assertNotFuture(input.givenAt, nowMs, "/givenAt");
  const alarm =
    input.class === "corticosteroid"
      ? steroidAlarm(
          {
            on: localDateOf(Date.parse(input.givenAt), horse.timeZone),
            insulinBand: bandOf(await latestInsulinReading(tx, horseId)),
            conditions: horse.conditions,
          },
          await settingValue(work, STEROID_WATCH_SETTING.key, localDateOf(nowMs, horse.timeZone)),
        )
      : undefined;
  if (alarm?.watchUntil !== undefined && input.reason === undefined)
    throw ruleViolated(alarm.finding.detail, [{ ...alarm.finding, field: "/reason" }]);
  const findings = alarm === undefined ? [] : [alarm.finding];
  const id = newId();
  await tx.otherMedicine.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId,
      caseId: horse.openCaseId,
      name: input.name,
      class: input.class,
      route: input.route,
      amount: input.amount ?? null,
      batch: input.batch ?? null,
      givenAt: new Date(input.givenAt),
      givenBy: input.givenBy,
      recordedBy: actor.personId,
      reason: input.reason ?? null,
      watchUntil: alarm?.watchUntil === undefined ? null : dayColumn(alarm.watchUntil),
      findings: asJson(findings),
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "medicine.recorded",
    subjectType: "other medicine",
    subjectId: id,
    horseId,
    payload: input,
  });
  await recordEvent(work, {
    horseId,
    caseId: horse.openCaseId,
    kind: "medicine",
    title: `${input.name} (${input.class}) given by ${input.givenBy}`,
    detail: [input.amount, input.reason].filter((part) => part !== undefined).join("; ") || null,
    at: Date.parse(input.givenAt),
    refType: "other medicine",
    refId: id,
  });
  if (alarm?.watchUntil !== undefined)
    await handoffs.write(work, {
      horseId,
      toRole: "carer",
      urgent: true,
      situation: `${horse.name}: a steroid was given`.slice(0, 200),
      mustDo: `Feel all four feet for heat and pulse every day until ${dayText(alarm.watchUntil)}`,
      callMeIf: "Warm feet, a stronger pulse, short or shifting steps: ring at once",
    });
  await recheckCoursesAfterChange(work, before, `${input.name} was given`);
  work.announce("queue");
  const [row] = await findOtherMedicines(tx, { id });
  if (row === undefined) throw new Error("the medicine just written is not there");
  return view(row);
};

export const list = async (work: Work, horseId: string) => {
  if ((await findHorses(work.tx, { ids: [horseId] })).length === 0) throw notFound("horse");
  return { items: (await findOtherMedicines(work.tx, { horseId })).map(view) };
};
