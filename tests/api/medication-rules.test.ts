import { randomUUID } from "node:crypto";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  addAnimal,
  atTime,
  BUTE_PASTE,
  courseOf,
  signedCourse,
  signInAgain,
  weighedBefore,
  type Team,
} from "../support/medicine.ts";
import { startTestService, type TestService } from "../support/service.ts";

let service: TestService;
let team: Team;
beforeAll(async () => {
  service = await startTestService();
  team = { vet: service.vet, carer: service.carer, manager: service.manager };
});
afterAll(async () => {
  await service.close();
});

const TODAY = "2026-10-14";
interface Said {
  readonly rule: string;
  readonly outcome: string;
}
const blocks = (findings: readonly Said[]) =>
  findings.filter((one) => one.outcome === "block").map((one) => one.rule);
const warns = (findings: readonly Said[]) =>
  findings.filter((one) => one.outcome === "warn").map((one) => one.rule);
const check = async (horse: string, body: object) =>
  (await team.vet.send("post", `/horses/${horse}/course-checks`, body)).body;

describe("what a practice may set", () => {
  const set = (key: string, value: number) =>
    service.query(
      "INSERT INTO settings (practice_id, id, key, value, source, since, set_by) VALUES ($1, $2, $3, $4, 'practice meeting', '2026-01-01', $5)",
      [service.practiceId, randomUUID(), key, JSON.stringify(value), service.vet.id],
    );

  it("a stricter limit holds and a looser one is ignored and said so", async () => {
    const horse = await addAnimal(service, { name: "Strict" });
    await weighedBefore(service, horse, 500, "2026-10-05T08:00:00+01:00");
    const meloxicam = courseOf("meloxicam", "meloxicam-suspension-15mg-ml", TODAY, [
      { doseMg: 285, timesLocal: ["20:00"] },
    ]);
    expect((await check(horse, meloxicam)).allowed).toBe(true);
    await set("medication.ceiling.meloxicam/24-h.mg-per-kg", 0.5);
    expect(blocks((await check(horse, meloxicam)).findings)).toContain(
      "medication/rolling-limit@1",
    );
    await service.query("DELETE FROM settings");
    await set("medication.ceiling.meloxicam/24-h.mg-per-kg", 6);
    const loose = await check(horse, {
      ...meloxicam,
      steps: [{ fromDay: 1, toDay: 1, doseMg: 600, timesLocal: ["20:00"], everyDays: 1 }],
    });
    expect(blocks(loose.findings)).toContain("medication/rolling-limit@1");
    expect(JSON.stringify(loose.findings)).toContain("may only tighten");
    await service.query("DELETE FROM settings");
    await set("medication.weight-max-age", 7);
    expect(blocks((await check(horse, meloxicam)).findings)).toEqual(["medication/weight-age@1"]);
    await service.query("DELETE FROM settings");
  });

  it("a figure from memory is no longer listed as unverified once a vet confirmed it", async () => {
    const before = (await team.vet.get("/formulary")).body.unverified;
    await set(`medication.confirmed.${before[0].id}`, 1);
    const after = (await team.vet.get("/formulary")).body.unverified;
    expect(after).toHaveLength(before.length - 1);
    await service.query("DELETE FROM settings");
  });
});

describe("animals and medicines with rules of their own", () => {
  it("a donkey's course needs the vet's own schedule, and then a written reason (Mealey et al. 1997)", async () => {
    const donkey = await addAnimal(service, { name: "Ears", type: "donkey", heightCm: 110 });
    await weighedBefore(service, donkey, 180, "2026-10-13T08:00:00+01:00");
    const body = courseOf(...BUTE_PASTE, TODAY, [{ doseMg: 300, timesLocal: ["20:00"] }]);
    expect(blocks((await check(donkey, body)).findings)).toContain("medication/donkey@1");
    const own = await check(donkey, { ...body, vetSetsSchedule: true });
    expect(own.allowed).toBe(true);
    expect(warns(own.findings)).toContain("medication/donkey@1");
  });

  it("an SGLT2 inhibitor waits for its baseline blood and the day of the next (Vet Record 2024;195:253)", async () => {
    const horse = await addAnimal(service, { name: "Sugar" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    const { drugs } = (await team.vet.get("/formulary")).body as {
      drugs: { key: string; classes: string[]; presentations: { key: string }[] }[];
    };
    const drug = drugs.find((one) => one.key === "ertugliflozin");
    const body = courseOf("ertugliflozin", drug?.presentations[0]?.key ?? "", TODAY, [
      { doseMg: 25, timesLocal: ["08:00"] },
    ]);
    const baseline = async (more: object = {}) =>
      blocks((await check(horse, { ...body, ...more })).findings).includes(
        "medication/sglt2-baseline@1",
      );
    expect(await baseline({ recheckOn: "2026-10-28" })).toBe(true);
    for (const [test, value, unit] of [
      ["triglycerides", 0.4, "mmol/L"],
      ["GGT", 20, "U/L"],
      ["creatinine", 110, "µmol/L"],
    ] as const)
      // One sample after the other, as a laboratory sends them.
      // oxlint-disable-next-line no-await-in-loop
      await team.vet.send("post", `/horses/${horse}/lab-results`, {
        takenOn: TODAY,
        test,
        value,
        unit,
      });
    expect(await baseline()).toBe(true);
    expect(await baseline({ recheckOn: "2026-10-28" })).toBe(false);
  });

  it("pergolide above 4 µg/kg is signed by the clinical lead only (line taken from the US label)", async () => {
    const horse = await addAnimal(service, { name: "Lead" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    const draft = await team.vet.send(
      "post",
      `/horses/${horse}/courses`,
      courseOf("pergolide", "pergolide-tablet-1mg", TODAY, [
        { doseMg: 2.5, timesLocal: ["08:00"] },
      ]),
    );
    expect(draft.status).toBe(201);
    const overrides = warns(draft.body.findings).map((rule) => ({ rule, reason: "ACTH still up" }));
    const second = await service.personWith("vet", "Second Vet");
    await service.query("UPDATE people SET clinical_lead = false WHERE id = $1", [second.id]);
    const path = `/courses/${draft.body.id}/signature`;
    expect((await second.send("post", path, { overrides }, 1)).status).toBe(403);
    expect((await team.vet.send("post", path, { overrides }, 1)).status).toBe(200);
  });

  it("nobody signs without a registration number on file", async () => {
    const horse = await addAnimal(service, { name: "Unregistered" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    const draft = await team.vet.send(
      "post",
      `/horses/${horse}/courses`,
      courseOf(...BUTE_PASTE, TODAY, [{ doseMg: 1000, timesLocal: ["20:00"] }]),
    );
    const locum = await service.personWith("vet", "Locum Vet");
    await service.query("UPDATE people SET registration_number = NULL WHERE id = $1", [locum.id]);
    const signed = await locum.send("post", `/courses/${draft.body.id}/signature`, {}, 1);
    expect(signed.status).toBe(403);
    expect(signed.body.detail).toContain("registration number");
  });
});

describe("what the yard reports", () => {
  it("a dose given before a hold and sent after it is still a dose; one marked as a fact is kept and the vet is told", async () => {
    const horse = await addAnimal(service, { name: "Offline" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    const course = await signedCourse(
      team.vet,
      horse,
      courseOf(...BUTE_PASTE, TODAY, [
        { doseMg: 2000, timesLocal: ["08:00", "20:00"] },
        { fromDay: 2, toDay: 4, doseMg: 1000, timesLocal: ["08:00", "20:00"] },
      ]),
    );
    team = await atTime(service, "2026-10-14T08:30:00+01:00");
    const held = await team.vet.send(
      "post",
      `/courses/${course.id}/hold`,
      { reason: "blood first" },
      course.version,
    );
    expect(held.status).toBe(200);
    const give = (scheduledAt: string, givenAt: string, more: object = {}) =>
      team.carer.send("post", `/courses/${course.id}/doses`, {
        scheduledAt,
        givenAt,
        outcome: "given",
        ...more,
      });
    const queued = await give("2026-10-14T08:00:00+01:00", "2026-10-14T08:05:00+01:00");
    expect(queued.status).toBe(201);
    team = await atTime(service, "2026-10-14T20:05:00+01:00");
    const evening = ["2026-10-14T20:00:00+01:00", "2026-10-14T20:02:00+01:00"] as const;
    expect((await give(...evening)).status).toBe(422);
    expect((await give(...evening, { alreadyGiven: true })).status).toBe(400);
    const fact = await give(...evening, { alreadyGiven: true, reason: "did not see the hold" });
    expect(fact.status).toBe(201);
    expect(warns(fact.body.findings)).toContain("medication/held@1");
    const ledger = (await team.carer.get(`/horses/${horse}/dose-ledger`)).body;
    expect(ledger.totals[0]).toMatchObject({ last24hMg: 4000 });
    expect(ledger.next).toEqual([]);
    const notes = (await team.vet.get("/handoff-notes?state=open")).body.items;
    expect(notes).toContainEqual(
      expect.objectContaining({
        toRole: "vet",
        urgent: true,
        situation: expect.stringContaining("went in against a rule"),
      }),
    );
  });

  it("two doses not taken in a row go to the vet (house rule)", async () => {
    const horse = await addAnimal(service, { name: "Fussy" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    team = await atTime(service, "2026-10-15T07:00:00+01:00");
    const course = await signedCourse(
      team.vet,
      horse,
      courseOf("paracetamol", "paracetamol-powder", "2026-10-15", [
        { toDay: 10, doseMg: 10_000, timesLocal: ["08:00", "20:00"] },
      ]),
    );
    const refuse = async (time: string) => {
      team = await atTime(service, time);
      return team.carer.send("post", `/courses/${course.id}/doses`, {
        scheduledAt: time,
        givenAt: time,
        outcome: "refused",
        reason: "leaves it in the bucket",
      });
    };
    const told = async () =>
      (
        await service.query(
          "SELECT count(*)::int AS n FROM handoff_notes WHERE horse_id = $1 AND to_role = 'vet'",
          [horse],
        )
      )[0]?.["n"];
    await refuse("2026-10-15T08:00:00+01:00");
    await refuse("2026-10-15T20:00:00+01:00");
    expect(await told()).toBe(0);
    // Only a dose whose time has run out counts as missed, so the second shows with the third.
    await refuse("2026-10-16T08:00:00+01:00");
    expect(await told()).toBe(1);
    const { body } = await team.vet.get(`/horses/${horse}/dose-ledger`);
    expect(body.missedTwice).toEqual([expect.objectContaining({ courseId: course.id, doses: 2 })]);
  });

  it("the day shows checks that are due and first-aid steps still open, for the own yards only", async () => {
    const horse = await addAnimal(service, { name: "Acute" });
    team = await atTime(service, "2026-10-17T07:00:00+01:00");
    const opened = await team.vet.send("post", "/cases", { horseId: horse, phase: "acute" });
    const checkOf = async () =>
      (await team.carer.get("/care-days/2026-10-17")).body.checks.find(
        (one: { horse: { id: string } }) => one.horse.id === horse,
      );
    expect(await checkOf()).toMatchObject({ caseId: opened.body.id, due: true, lastScore: null });
    await team.carer.send("post", `/horses/${horse}/care-checks`, {
      examinedAt: "2026-10-17T07:00:00+01:00",
      fiveSignScore: 3,
    });
    expect(await checkOf()).toMatchObject({ due: false, lastScore: 3 });
    const sheet = await team.vet.send("post", `/cases/${opened.body.id}/first-aid-sheets`, {
      obelGrade: 2,
      feetAffected: ["LF", "RF"],
      canLiftFeet: "easily",
      foamAvailable: true,
      padsAvailable: true,
      outside: false,
    });
    expect(sheet.status).toBe(201);
    const { firstAid } = (await team.carer.get("/care-days/2026-10-17")).body;
    expect(firstAid).toEqual([
      expect.objectContaining({ sheetId: sheet.body.id, open: firstAid[0].total }),
    ]);
    const stranger = await service.personWith("carer", "Other Yard");
    const elsewhere = (await stranger.get("/care-days/2026-10-17")).body;
    expect(elsewhere).toMatchObject({ doses: [], checks: [], firstAid: [] });
    expect((await stranger.get(`/horses/${horse}/dose-ledger`)).status).toBe(404);
    expect((await stranger.get(`/horses/${horse}/courses`)).status).toBe(404);
    expect((await team.carer.get(`/care-days/2026-10-17?yardId=${randomUUID()}`)).status).toBe(404);
    expect((await team.carer.get("/care-days/2036-10-17")).status).toBe(400);
  });
});

describe("lists", () => {
  it("page through courses and doses, newest first, and show a course that ran its time as finished", async () => {
    const horse = await addAnimal(service, { name: "Long" });
    await weighedBefore(service, horse, 500, "2026-10-16T08:00:00+01:00");
    const give = (givenAt: string) =>
      team.vet.send("post", `/horses/${horse}/doses`, {
        drugKey: "pergolide",
        route: "oral",
        doseMg: 0.5,
        givenAt,
      });
    team = { ...team, vet: await signInAgain(service, service.vet) };
    for (const minute of ["01", "02", "03"])
      // One after the other, since the order is what is asked.
      // oxlint-disable-next-line no-await-in-loop
      expect((await give(`2026-10-17T06:${minute}:00+01:00`)).status).toBe(201);
    const first = (await team.carer.get(`/horses/${horse}/doses?limit=2`)).body;
    const second = (
      await team.carer.get(`/horses/${horse}/doses?limit=2&cursor=${first.nextCursor}`)
    ).body;
    const minutes = [...first.items, ...second.items].map((one: { givenAt: string }) =>
      one.givenAt.slice(14, 16),
    );
    expect(minutes).toEqual(["03", "02", "01"]);
    expect(second.nextCursor).toBeNull();
    const course = await signedCourse(
      team.vet,
      horse,
      courseOf("pergolide", "pergolide-tablet-1mg", "2026-10-17", [
        { toDay: 2, doseMg: 0.5, timesLocal: ["20:00"] },
      ]),
    );
    team = await atTime(service, "2026-10-20T08:00:00+01:00");
    const { body } = await team.carer.get(`/horses/${horse}/courses?limit=1`);
    expect(body.items).toEqual([
      expect.objectContaining({
        id: course.id,
        status: "finished",
        endOn: "2026-10-18",
        plan: null,
      }),
    ]);
    const answers = await Promise.all(
      (
        [
          ["hold", { reason: "x" }],
          ["stop", { reason: "x" }],
          ["release", { reason: "x" }],
          ["review", { reason: "x", reviewOn: "2026-10-22" }],
        ] as const
      ).map(([action, input]) =>
        team.vet.send("post", `/courses/${course.id}/${action}`, input, course.version),
      ),
    );
    expect(answers.map((answer) => answer.status)).toEqual([409, 409, 409, 409]);
  });
});
