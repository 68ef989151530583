import { randomUUID } from "node:crypto";
import type { Response, Test } from "supertest";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  addAnimal,
  atTime,
  BUTE_PASTE,
  courseOf,
  signedCourse,
  weighedBefore,
  type Team,
} from "../support/medicine.ts";
import { startTestService, type TestService } from "../support/service.ts";

let service: TestService;
let team: Team;
beforeAll(async () => {
  service = await startTestService();
  team = await atTime(service, "2026-10-14T09:50:00+01:00");
});
afterAll(async () => {
  await service.close();
});

const CALLS = 200;
const DRAFTS = 20;
const WEIGHT_KG = 500;
/** Days 2 to 5 of a horse by mouth, mg/kg in any 24 h. Source: UK data sheets for oral phenylbutazone. */
const LIMIT_MG_PER_KG = 4.4;

/**
 * Sends a write until the service has taken it in, as a phone does: what was turned away under load
 * (503) comes again under the same Idempotency-Key.
 */
const insist = async (write: () => Test): Promise<Response> => {
  const key = randomUUID();
  for (;;) {
    // oxlint-disable-next-line no-await-in-loop
    const answer = await write().set("idempotency-key", key);
    if (answer.status !== 503) return answer;
  }
};

describe("two hundred calls on one horse at once", () => {
  it("a hundred taps on one dose and a hundred signatures under twenty drafts: one dose, the ceiling never passed, every answer clear", async () => {
    const horse = await addAnimal(service, { name: "Crowd" });
    await weighedBefore(service, horse, WEIGHT_KG, "2026-10-13T08:00:00+01:00");
    const running = await signedCourse(
      team.vet,
      horse,
      courseOf("pergolide", "pergolide-tablet-1mg", "2026-10-14", [
        { toDay: 30, doseMg: 1, timesLocal: ["10:00"] },
      ]),
    );
    const drafts: { id: string; version: number }[] = [];
    for (let index = 0; index < DRAFTS; index += 1) {
      // oxlint-disable-next-line no-await-in-loop
      const draft = await team.vet.send(
        "post",
        `/horses/${horse}/courses`,
        courseOf(...BUTE_PASTE, "2026-10-14", [
          {
            toDay: 5,
            doseMg: 1000,
            timesLocal: [`${11 + (index % 10)}:${index < 10 ? "05" : "35"}`],
          },
        ]),
      );
      expect(draft.status).toBe(201);
      drafts.push(draft.body);
    }
    const answers = await Promise.all(
      Array.from({ length: CALLS }, async (_, index) => {
        const isDose = index % 2 === 0;
        const draft = drafts[Math.floor(index / 2) % DRAFTS];
        const answer = isDose
          ? await insist(() =>
              (index % 4 === 0 ? team.carer : team.vet).send(
                "post",
                `/courses/${running.id}/doses`,
                {
                  scheduledAt: "2026-10-14T10:00:00+01:00",
                  givenAt: "2026-10-14T09:50:00+01:00",
                  outcome: "given",
                },
              ),
            )
          : await insist(() =>
              team.vet.send("post", `/courses/${draft?.id}/signature`, {}, draft?.version),
            );
        return { isDose, status: answer.status };
      }),
    );
    const count = (isDose: boolean, status: number) =>
      answers.filter((one) => one.isDose === isDose && one.status === status).length;
    expect([count(true, 201), count(true, 409)]).toEqual([1, CALLS / 2 - 1]);
    // One draft wins: its other four signatures find it changed, the rest find a course running.
    expect([count(false, 200), count(false, 412), count(false, 422)]).toEqual([
      1,
      CALLS / 2 / DRAFTS - 1,
      CALLS / 2 - CALLS / 2 / DRAFTS,
    ]);
    const doses = await service.query(
      "SELECT count(*)::int AS n, sum(dose_mg)::int AS mg FROM dose_records WHERE horse_id = $1",
      [horse],
    );
    expect(doses).toEqual([{ n: 1, mg: 1 }]);
    const [signed] = await service.query(
      "SELECT sum((steps->0->>'doseMg')::float) AS mg FROM medication_courses WHERE horse_id = $1 AND status = 'signed' AND drug_key = 'phenylbutazone'",
      [horse],
    );
    expect(Number(signed?.["mg"]) / WEIGHT_KG).toBeLessThanOrEqual(LIMIT_MG_PER_KG);
    // Every signature that was refused by a rule stays in the record.
    const [kept] = await service.query(
      "SELECT count(*)::int AS n FROM refused_requests WHERE horse_id = $1 AND kind = 'course signature'",
      [horse],
    );
    expect(kept).toEqual({ n: count(false, 422) });
    // Two hundred taps on the first dose of the course that won.
    const [winner] = await service.query(
      "SELECT id, steps->0->'timesLocal'->>0 AS time FROM medication_courses WHERE horse_id = $1 AND status = 'signed' AND drug_key = 'phenylbutazone'",
      [horse],
    );
    const scheduledAt = `2026-10-14T${String(winner?.["time"])}:00+01:00`;
    team = await atTime(service, scheduledAt);
    const taps = await Promise.all(
      Array.from({ length: CALLS }, (_, index) =>
        insist(() =>
          (index % 2 === 0 ? team.carer : team.vet).send(
            "post",
            `/courses/${String(winner?.["id"])}/doses`,
            { scheduledAt, givenAt: scheduledAt, outcome: "given" },
          ),
        ),
      ),
    );
    expect(taps.filter((one) => one.status === 201)).toHaveLength(1);
    expect(taps.filter((one) => one.status === 409)).toHaveLength(CALLS - 1);
    const [bute] = await service.query(
      "SELECT sum(dose_mg)::int AS mg FROM dose_records WHERE horse_id = $1 AND drug_key = 'phenylbutazone'",
      [horse],
    );
    expect(bute).toEqual({ mg: 1000 });
  }, 120_000);
});
