import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startTestService, type TestService } from "../support/service.ts";

/** What the people around a horse rely on: the carer's checks, the gentle end, and what is learned. */
const HOUR = 3_600_000;
let service: TestService;
let caseId: string;

beforeAll(async () => {
  service = await startTestService();
  caseId = (
    await service.vet.send("post", "/cases", { horseId: service.horseId, phase: "chronic active" })
  ).body.id;
});
afterAll(() => service.close());

const check = (fiveSignScore: number, agoHours: number) =>
  service.carer.send("post", `/horses/${service.horseId}/care-checks`, {
    fiveSignScore,
    examinedAt: new Date(service.now() - agoHours * HOUR).toISOString(),
  });
const queueOf = async (person: TestService["vet"]) =>
  (await person.get("/queue")).body.items as {
    kind: string;
    reason: string;
    urgency: string;
    horse: { id: string } | null;
  }[];

// Five signs, 0 to 12: Meier et al. 2019, PeerJ 7:e7084. The rise that calls the vet is a house rule.
describe("the daily five-sign check", () => {
  it("raises an alert for the vet at once when the score rises by 2 within 24 hours, and not at a rise of 1", async () => {
    expect((await check(3, 23)).body.isRedFlag).toBe(false);
    expect((await check(4, 2)).body.isRedFlag).toBe(false);
    expect((await queueOf(service.vet)).some((one) => one.kind === "red flag call")).toBe(false);
    expect((await queueOf(service.vet)).some((one) => one.kind === "red flag call")).toBe(false);
    expect((await check(5, 0)).body.isRedFlag).toBe(true);
    const [first] = await queueOf(service.vet);
    expect(first).toMatchObject({ kind: "red flag call", urgency: "now" });
  });
});

// Common practice in the care of the contralateral limb; the grade and the number of checks are house rules.
describe("the foot that carries the load of a hurt leg", () => {
  let horseId: string;
  beforeAll(async () => {
    horseId = (
      await service.query(
        `INSERT INTO horses (practice_id, id, name, type, sex, born_on, height_cm, yard_id, farrier_id, reset_interval_days)
         SELECT practice_id, gen_random_uuid(), 'Second Horse', type, sex, born_on, height_cm, yard_id, farrier_id, reset_interval_days FROM horses WHERE id = $1 RETURNING id`,
        [service.horseId],
      )
    )[0]?.["id"] as string;
  });
  const enter = (hurtLimb: string, body: object) =>
    service.vet.send("post", `/horses/${horseId}/limb-watches`, {
      hurtLimb,
      inCast: false,
      ...body,
    });

  it("is checked twice a day once a cast or a lameness of grade 4 is entered, and not at grade 3", async () => {
    expect((await enter("RF", { lamenessGrade: 3 })).status).toBe(400);
    const lame = await enter("RF", { lamenessGrade: 4 });
    expect(lame.status).toBe(201);
    expect(lame.body).toMatchObject({ watchedFoot: "LF", checksPerDay: 2, dueToday: 2 });
    const cast = await enter("LH", { inCast: true });
    expect(cast.body).toMatchObject({ watchedFoot: "RH", cause: "cast" });
    expect((await enter("RF", { inCast: true })).status).toBe(409);
  });

  it("is proposed by an examination lame at grade 4, and not by one at grade 3", async () => {
    const examined = async (lamenessGrade: number) => {
      const answer = await service.vet.send("post", `/cases/${caseId}/examinations`, {
        lamenessGrade,
        examinedAt: new Date(service.now()).toISOString(),
      });
      return (answer.body.findings as { rule: string; outcome: string }[]).filter((one) =>
        one.rule.includes("support-limb"),
      );
    };
    expect(await examined(3)).toEqual([]);
    expect(await examined(4)).toMatchObject([{ outcome: "warn" }]);
  });

  it("counts a check only when that foot was felt, and lists what is left for the carer", async () => {
    const left = async () =>
      (
        (await service.carer.get("/limb-watches")).body.items as {
          horseId: string;
          watchedFoot: string;
          dueToday: number;
        }[]
      ).find((one) => one.horseId === horseId && one.watchedFoot === "LF")?.dueToday;
    const check = (body: object) =>
      service.carer.send("post", `/horses/${horseId}/care-checks`, {
        examinedAt: new Date(service.now()).toISOString(),
        ...body,
      });
    expect(await left()).toBe(2);
    await check({ fiveSignScore: 0 });
    await check({ digitalPulses: { RF: "usual" } });
    expect(await left()).toBe(2);
    await check({ digitalPulses: { LF: "usual" }, hoofHeat: { LF: "cool" } });
    expect(await left()).toBe(1);
  });

  it("stands in the carer's queue twelve hours after the last look, with the reason, until the vet ends it", async () => {
    service.advance(13 * HOUR);
    const later = await service.personWith("carer", "Cleo Carer");
    await service.query(
      "INSERT INTO yard_people (practice_id, yard_id, person_id) VALUES ($1, $2, $3)",
      [service.practiceId, service.yardId, later.id],
    );
    const waits = async () =>
      (await queueOf(later)).filter(
        (one) => one.kind === "care check due" && one.horse?.id === horseId,
      );
    const [due] = await waits();
    expect(due?.reason).toContain("carries the load for RF");
    const made = await later.send("post", `/horses/${horseId}/care-checks`, {
      fiveSignScore: 0,
      examinedAt: new Date(service.now()).toISOString(),
    });
    expect(made.status).toBe(201);
    expect(await waits()).toEqual([]);
    service.advance(12 * HOUR);
    const vetLater = await service.personWith("vet", "Vilma Vet");
    const carerLater = await service.personWith("carer", "Cora Carer");
    await service.query(
      "INSERT INTO yard_people (practice_id, yard_id, person_id) VALUES ($1, $2, $3)",
      [service.practiceId, service.yardId, carerLater.id],
    );
    expect(
      (await queueOf(carerLater)).some(
        (one) => one.kind === "care check due" && one.horse?.id === horseId,
      ),
    ).toBe(true);
    const { items } = (await vetLater.get(`/horses/${horseId}/limb-watches`)).body as {
      items: { id: string; version: number }[];
    };
    for (const watch of items)
      // One watch after the other, as a vet ends them.
      // oxlint-disable-next-line no-await-in-loop
      expect(
        (
          await vetLater.send(
            "post",
            `/limb-watches/${watch.id}/end`,
            { reason: "Sound at walk, weight shared" },
            watch.version,
          )
        ).body.endReason,
      ).toBe("Sound at walk, weight shared");
    expect(
      (await queueOf(carerLater)).some(
        (one) => one.kind === "care check due" && one.horse?.id === horseId,
      ),
    ).toBe(false);
  });
});

describe("a press of the red-flag button that names no horse", () => {
  it("stands first in the vet's and the manager's queue, and not in the farrier's, until the one who pressed names it", async () => {
    const carer = await service.personWith("carer", "Coll Carer");
    const farrier = await service.personWith("farrier", "Fay Farrier");
    const vet = await service.personWith("vet", "Vico Vet");
    const manager = await service.personWith("manager", "Mae Manager");
    await service.query(
      "INSERT INTO yard_people (practice_id, yard_id, person_id) VALUES ($1, $2, $3)",
      [service.practiceId, service.yardId, carer.id],
    );
    const pressed = await carer.send("post", "/red-flag-calls", {
      numberDialled: "+353 1 000 0000",
      pressedAt: new Date(service.now()).toISOString(),
    });
    expect(pressed.status).toBe(201);
    const unnamed = async (person: TestService["vet"]) =>
      (await queueOf(person)).filter((one) => one.kind === "red flag call" && one.horse === null);
    for (const one of [vet, manager])
      // One person after the other.
      // oxlint-disable-next-line no-await-in-loop
      expect(await unnamed(one)).toMatchObject([
        {
          urgency: "now",
          title: "Red flag: Coll Carer pressed the button",
          nextAction: { label: "Ring back", href: "/people" },
        },
      ]);
    expect(await unnamed(farrier)).toEqual([]);
    service.advance(60_000);
    await carer.send("post", "/handoff-notes", {
      horseId: service.horseId,
      toRole: "vet",
      urgent: true,
      situation: "Red flag",
      found: "The red-flag button was pressed",
      mustDo: "Ring back now",
    });
    expect(await unnamed(vet)).toEqual([]);
  });
});

describe("the end of a case", () => {
  it("asks who tells farrier and carer, keeps the talk, and leaves nothing that would be sent", async () => {
    const vet = await service.personWith("vet", "Vanda Vet");
    const file = (await vet.get(`/cases/${caseId}`)).body as { version: number };
    await vet.send("post", `/horses/${service.horseId}/limb-watches`, {
      hurtLimb: "LF",
      inCast: true,
    });
    const closing = { reason: "welfare decision", note: "Uncontrolled pain in both fores." };
    const bare = await vet.send("post", `/cases/${caseId}/closure`, closing, file.version);
    expect(bare.status).toBe(422);
    expect(JSON.stringify(bare.body.findings)).toMatch(/welfare talk|told/iu);
    const closed = await vet.send(
      "post",
      `/cases/${caseId}/closure`,
      {
        ...closing,
        welfareTalk: "We sat with the owner; she asked for a quiet end at home.",
        farrierToldById: service.vet.id,
        carerToldById: service.manager.id,
      },
      file.version,
    );
    expect(closed.body).toMatchObject({ phase: "closed", closeReason: "welfare decision" });
    const waiting = await service.query(
      `SELECT (SELECT count(*)::int FROM resets WHERE horse_id = $1 AND status IN ('open', 'booked'))
        + (SELECT count(*)::int FROM limb_watches WHERE horse_id = $1 AND ended_at IS NULL)
        + (SELECT count(*)::int FROM medication_courses WHERE horse_id = $1 AND status IN ('signed', 'held')) AS n`,
      [service.horseId],
    );
    expect(waiting[0]?.["n"]).toBe(0);
    expect((await queueOf(vet)).filter((one) => one.horse?.id === service.horseId)).toEqual([]);
    const { items } = (await vet.get(`/cases/${caseId}/timeline?kind=welfare%20talk`)).body;
    expect(items[0].detail).toContain("a quiet end at home");
  });

  it("leaves one page of what was expected, what happened, wedge or not, written once", async () => {
    const vet = await service.personWith("vet", "Valda Vet");
    const page = {
      expected: "Comfort by day 14 with the toe unloaded.",
      happened: "Sole grew for three weeks, then the tip sank again.",
      wedge: "did not help",
      wedgeWords: "The palmar angle rose by the wedge and by nothing else.",
      lesson: "Film at day 10 when the score stays above 4.",
    };
    const written = await vet.send("post", `/cases/${caseId}/learning-note`, page);
    expect(written.status).toBe(201);
    expect((await vet.get(`/cases/${caseId}/learning-note`)).body).toMatchObject(page);
    expect((await vet.send("post", `/cases/${caseId}/learning-note`, page)).status).toBe(409);
    const open = (
      await vet.send("post", "/cases", { horseId: await someHorse(), phase: "maintenance" })
    ).body.id as string;
    expect((await vet.send("post", `/cases/${open}/learning-note`, page)).status).toBe(409);
    expect((await vet.get(`/cases/${open}/learning-note`)).status).toBe(404);
  });
});

const someHorse = async (): Promise<string> =>
  (await service.query("SELECT id FROM horses WHERE name = 'Second Horse'"))[0]?.["id"] as string;
