import { randomUUID } from "node:crypto";
import { DateTime } from "luxon";
import type { TestService } from "./service.ts";

const ZONE = "Europe/Dublin";

/** A horse of the day with its signed and accepted plan. */
export interface DayHorse {
  readonly id: string;
  readonly name: string;
  readonly caseId: string;
  readonly planId: string;
}

const NAMES = [
  "Alder",
  "Bramble",
  "Clover",
  "Damson",
  "Elder",
  "Fern",
  "Gorse",
  "Hazel",
  "Ivy",
  "Juniper",
  "Knapweed",
  "Larch",
];

const footPlan = (foot: "LF" | "RF", breakoverFromP3TipMm: number) => ({
  foot,
  toeBackMm: 6,
  breakoverFromP3TipMm,
  breakoverFromFrogTipMm: breakoverFromP3TipMm + 12,
  heelRemoveMm: 2,
  palmarAngleTargetDegrees: { low: 3, high: 5 },
  soleMinMm: 12,
  wedgeDegrees: 0,
  wedgeReason: null,
  shoe: "rolled-bar",
  supportFill: "full",
  fixing: "glue",
  limitMm: 14,
  notes: null,
});

/** Signs a plan behind the service: what it says is not what these tests are about. */
const putPlan = async (
  service: TestService,
  horse: Pick<DayHorse, "id" | "caseId">,
  number: number,
  status: "signed" | "accepted",
): Promise<string> => {
  const id = randomUUID();
  await service.query(
    `INSERT INTO prescriptions (practice_id, id, horse_id, case_id, number, status, aim, feet, do_not, conditions, interval_days, drafted_by, signed_by, signed_at, signed_text, signature)
     VALUES ($1, $2, $3, $4, $5, $6, 'Load the healthy back half', $7, '{"No sole off the toe"}', '{"emergency":false,"vetPresent":false,"nerveBlock":false,"handler":true}', 28, $8, $8, $9, '{}', 'made for a test')`,
    [
      service.practiceId,
      id,
      horse.id,
      horse.caseId,
      number,
      status,
      JSON.stringify([footPlan("LF", 6 + number), footPlan("RF", 6 + number)]),
      service.vet.id,
      new Date(service.now() - 3_600_000),
    ],
  );
  return id;
};

/** A plan that replaces the one in force, as signing it would. */
export const replacePlan = async (service: TestService, horse: DayHorse): Promise<string> => {
  await service.query(
    "UPDATE prescriptions SET status = 'superseded', superseded_at = $2, version = version + 1 WHERE id = $1",
    [horse.planId, new Date(service.now())],
  );
  return putPlan(service, horse, 2, "signed");
};

/** A farrier's day: so many horses at one yard, each with an accepted plan and a booking today. */
export const putFarrierDay = async (
  service: TestService,
  count: number,
): Promise<readonly DayHorse[]> => {
  const start = DateTime.fromMillis(service.now()).setZone(ZONE).startOf("day").plus({ hours: 8 });
  const [{ next } = { next: 1 }] = await service.query(
    "SELECT coalesce(max(number), 0) + 1 AS next FROM cases",
  );
  const horses: DayHorse[] = [];
  for (let index = 0; index < count; index += 1) {
    const [id, caseId] = [randomUUID(), randomUUID()];
    const name = NAMES[index % NAMES.length] ?? "Horse";
    // Each builds on the one before: numbers of cases are counted.
    // oxlint-disable no-await-in-loop
    await service.query(
      "INSERT INTO horses (practice_id, id, name, type, sex, height_cm, yard_id, farrier_id, reset_interval_days) VALUES ($1, $2, $3, 'horse', 'mare', 150, $4, $5, 28)",
      [service.practiceId, id, name, service.yardId, service.farrier.id],
    );
    await service.query(
      "INSERT INTO cases (practice_id, id, horse_id, number, opened_at, phase, phase_since, feet_affected, lead_vet_id) VALUES ($1, $2, $3, $4, $5, 'chronic active', $5, '{LF,RF}', $6)",
      [
        service.practiceId,
        caseId,
        id,
        Number(next) + index,
        new Date(service.now() - 90 * 86_400_000),
        service.vet.id,
      ],
    );
    const planId = await putPlan(service, { id, caseId }, 1, "accepted");
    await service.query(
      `INSERT INTO resets (practice_id, id, horse_id, case_id, farrier_id, status, last_done_on, interval_days, due_on, booked_for, booked_minutes)
       VALUES ($1, $2, $3, $4, $5, 'booked', $6::date - 28, 28, $6, $7, 20)`,
      [
        service.practiceId,
        randomUUID(),
        id,
        caseId,
        service.farrier.id,
        start.toISODate(),
        start.plus({ minutes: 20 * index }).toJSDate(),
      ],
    );
    // oxlint-enable no-await-in-loop
    horses.push({ id, name, caseId, planId });
  }
  return horses;
};
