import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { isSealed } from "../../apps/api/src/records/signer.ts";
import {
  addAnimal,
  atTime,
  BUTE_SACHETS,
  courseOf,
  signedCourse,
  signInAgain,
  weighedBefore,
  type Team,
} from "../support/medicine.ts";
import { startTestService, type TestService } from "../support/service.ts";

// Limits: phenylbutazone oral powder, UK data sheet: 8.8 mg/kg on day 1, 4.4 a day on days 2 to 5,
// then 2.2; ponies 4.4 mg/kg on alternate days. One anti-inflammatory at a time, 24 h apart: same.

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
const rules = (body: { findings: { rule: string; outcome: string }[] }, outcome: string) =>
  body.findings.filter((one) => one.outcome === outcome).map((one) => one.rule);
const refusalsOf = async (horseId: string) =>
  (await team.vet.get(`/horses/${horseId}/refused-requests`)).body.items;

describe("a wish for more than a pony can take", () => {
  let pony: string;
  beforeAll(async () => {
    pony = await addAnimal(service, { name: "Small One", type: "pony", heightCm: 122 });
    await weighedBefore(service, pony, 262, "2026-10-13T08:00:00+01:00");
  });

  it("2 g of bute twice a day for 262 kg is 15.3 mg/kg, 347 % of 4.4: kept as refused, told to the vet, never a dose", async () => {
    const asked = await team.carer.send("post", `/horses/${pony}/dose-requests`, {
      drugKey: "phenylbutazone",
      doseMg: 2000,
      timesPerDay: 2,
      askedBy: "the owner",
      words: "he is no better",
    });
    expect(asked.status).toBe(201);
    expect(asked.body.refused).toBe(true);
    // 4,000 mg / 262 kg, against the label's 4.4 mg/kg of an alternate-day pony schedule.
    expect(asked.body.mgPerKgPerDay).toBeCloseTo(15.267, 3);
    expect(asked.body.percentOfLimit).toBeCloseTo(346.98, 1);
    expect(JSON.stringify(asked.body.findings)).toContain("347 %");
    expect(await service.query("SELECT count(*)::int AS n FROM dose_records")).toEqual([{ n: 0 }]);
    const kept = await refusalsOf(pony);
    expect(kept).toEqual([
      expect.objectContaining({
        kind: "dose request",
        requestedBy: { id: service.carer.id, name: "Cass Carer" },
      }),
    ]);
    const notes = await team.vet.get("/handoff-notes?state=open");
    expect(JSON.stringify(notes.body.items)).toContain("the owner asks for");
  });

  it("keeps a wish inside the limits for the vet, not among the refusals", async () => {
    const asked = await team.manager.send("post", `/horses/${pony}/dose-requests`, {
      drugKey: "phenylbutazone",
      doseMg: 1000,
      timesPerDay: 1,
      askedBy: "the owner",
    });
    expect(asked.body).toMatchObject({ refused: false });
    expect(asked.body.percentOfLimit).toBeLessThan(100);
    expect(await refusalsOf(pony)).toHaveLength(1);
  });

  it("refuses the same as a course: nothing is drafted, and that it was asked for stays", async () => {
    const drafted = await team.vet.send(
      "post",
      `/horses/${pony}/courses`,
      courseOf(...BUTE_SACHETS, TODAY, [{ doseMg: 2000, timesLocal: ["10:00", "22:00"] }]),
    );
    expect(drafted.status).toBe(422);
    expect(rules(drafted.body, "block")).toContain("medication/rolling-limit@1");
    expect(drafted.body.detail).toContain("347 %");
    expect((await team.vet.get(`/horses/${pony}/courses`)).body.items).toEqual([]);
    expect((await refusalsOf(pony))[0]).toMatchObject({ kind: "course draft" });
  });

  it("is not for the farrier or the owner to ask", async () => {
    const body = { drugKey: "phenylbutazone", doseMg: 1, timesPerDay: 1, askedBy: "x" };
    for (const person of [service.farrier, service.owner])
      expect((await person.send("post", `/horses/${pony}/dose-requests`, body)).status).toBe(403);
    expect((await team.carer.get(`/horses/${pony}/refused-requests`)).status).toBe(403);
  });
});

describe("checking before drafting", () => {
  it("stores nothing and shows what the yard would measure, with the plan even when it is blocked", async () => {
    const horse = await addAnimal(service, { name: "Checked" });
    await weighedBefore(service, horse, 450, "2026-10-13T08:00:00+01:00");
    const check = (doseMg: number) =>
      team.vet.send(
        "post",
        `/horses/${horse}/course-checks`,
        courseOf(...BUTE_SACHETS, TODAY, [{ doseMg, timesLocal: ["10:00", "22:00"] }]),
      );
    // The label's own example: two 1 g sachets twice on day 1 for 450 kg.
    const label = await check(2000);
    expect(label.status).toBe(200);
    expect(label.body).toMatchObject({
      allowed: true,
      plan: { steps: [{ measure: "2 sachets", unitsPerDose: 2 }] },
    });
    const over = await check(3000);
    expect(over.body.allowed).toBe(false);
    expect(over.body.plan.steps[0].measure).toBe("3 sachets");
    expect(await service.query("SELECT count(*)::int AS n FROM medication_courses")).toEqual([
      { n: 0 },
    ]);
  });

  it("names the field when the drug, its presentation or its start is a slip", async () => {
    const horse = await addAnimal(service, { name: "Slips" });
    const drafted = async (body: object) =>
      (await team.vet.send("post", `/horses/${horse}/courses`, body)).body.errors?.[0]?.pointer;
    const step = [{ doseMg: 1000, timesLocal: ["20:00"] }];
    expect(await drafted(courseOf("no-such-drug", "x", TODAY, step))).toBe("/drugKey");
    expect(await drafted(courseOf("phenylbutazone", "x", TODAY, step))).toBe("/presentationKey");
    expect(await drafted(courseOf(...BUTE_SACHETS, "2026-10-13", step))).toBe("/startOn");
  });

  it("lists the formulary of the practice's country with sources, and what is only remembered", async () => {
    const { body } = await team.manager.get("/formulary");
    expect(body.jurisdiction).toBe("UK");
    const bute = body.drugs.find((one: { key: string }) => one.key === "phenylbutazone");
    expect(bute.ceilings[0].source.citation).not.toBe("");
    expect(
      body.unverified.every(
        (one: { source: { status: string } }) => one.source.status === "from memory",
      ),
    ).toBe(true);
    expect((await team.carer.get("/formulary")).status).toBe(403);
  });
});

describe("weights and passports", () => {
  it("a weight of 104 days blocks a course until the horse is weighed (house rule: 30 days)", async () => {
    const horse = await addAnimal(service, { name: "Old Weight" });
    await weighedBefore(service, horse, 500, "2026-07-02T07:10:00+01:00");
    const body = courseOf("meloxicam", "meloxicam-suspension-15mg-ml", TODAY, [
      { doseMg: 285, timesLocal: ["20:00"] },
    ]);
    const drafted = await team.vet.send("post", `/horses/${horse}/courses`, body);
    expect(drafted.status).toBe(422);
    expect(rules(drafted.body, "block")).toEqual(["medication/weight-age@1"]);
    expect(drafted.body.detail).toContain("104 days old");
    await team.carer.send("post", `/horses/${horse}/weighings`, {
      method: "scale",
      weightKg: 498,
      weighedAt: "2026-10-14T07:05:00+01:00",
    });
    expect((await team.vet.send("post", `/horses/${horse}/courses`, body)).status).toBe(201);
  });

  it("bute stays locked until the passport excludes the animal; meloxicam does not (UK and EU law on food animals)", async () => {
    const horse = await addAnimal(service, { name: "Locked", foodChain: "passport not seen" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    const bute = courseOf(...BUTE_SACHETS, TODAY, [{ doseMg: 1000, timesLocal: ["20:00"] }]);
    const locked = await team.vet.send("post", `/horses/${horse}/courses`, bute);
    expect(locked.status).toBe(422);
    expect(rules(locked.body, "block")).toEqual(["medication/food-chain@1"]);
    const meloxicam = courseOf("meloxicam", "meloxicam-suspension-15mg-ml", TODAY, [
      { doseMg: 285, timesLocal: ["20:00"] },
    ]);
    expect(
      (await team.vet.send("post", `/horses/${horse}/course-checks`, meloxicam)).body.allowed,
    ).toBe(true);
    const { body } = await team.vet.get(`/horses/${horse}`);
    await team.vet.send(
      "post",
      `/horses/${horse}/passport`,
      { foodChain: "excluded", seenOn: TODAY },
      body.version,
    );
    expect((await team.vet.send("post", `/horses/${horse}/courses`, bute)).status).toBe(201);
  });

  it("a passport that turns up as not excluded between draft and signature stops the signature", async () => {
    const horse = await addAnimal(service, { name: "Turned", foodChain: "excluded" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    const drafted = await team.vet.send(
      "post",
      `/horses/${horse}/courses`,
      courseOf(...BUTE_SACHETS, TODAY, [{ doseMg: 1000, timesLocal: ["20:00"] }]),
    );
    await service.query("UPDATE horses SET food_chain = 'not excluded' WHERE id = $1", [horse]);
    const signed = await team.vet.send(
      "post",
      `/courses/${drafted.body.id}/signature`,
      {},
      drafted.body.version,
    );
    expect(signed.status).toBe(422);
    expect((await refusalsOf(horse))[0]).toMatchObject({ kind: "course signature" });
    const { body } = await team.vet.get(`/courses/${drafted.body.id}`);
    expect(body).toMatchObject({ status: "draft", signature: null });
  });
});

describe("signing", () => {
  let horse: string;
  beforeAll(async () => {
    horse = await addAnimal(service, { name: "Signed" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
  });

  it("a draft made harmless cannot be made harmful by changing it", async () => {
    const drafted = await team.vet.send(
      "post",
      `/horses/${horse}/courses`,
      courseOf(...BUTE_SACHETS, TODAY, [{ doseMg: 1000, timesLocal: ["20:00"] }]),
    );
    const changed = await team.vet.send(
      "patch",
      `/courses/${drafted.body.id}`,
      {
        steps: [
          { fromDay: 1, toDay: 1, doseMg: 3000, timesLocal: ["08:00", "20:00"], everyDays: 1 },
        ],
      },
      drafted.body.version,
    );
    expect(changed.status).toBe(422);
    const { body } = await team.vet.get(`/courses/${drafted.body.id}`);
    expect(body.steps[0].doseMg).toBe(1000);
    expect(body.version).toBe(1);
    const withdrawn = await team.vet.send(
      "post",
      `/courses/${drafted.body.id}/stop`,
      { reason: "not needed" },
      1,
    );
    expect(withdrawn.body.status).toBe("stopped");
  });

  it("asks for a written reason against each warning, and seals drug, steps, weight, findings and signer", async () => {
    // A tape weight: the low end is what doses are tested at, and there this one is over.
    const taped = await addAnimal(service, { name: "Taped", heightCm: 165 });
    await team.vet.send("post", `/horses/${taped}/weighings`, {
      method: "tape",
      weightKg: 455,
      weighedAt: "2026-10-14T07:00:00+01:00",
    });
    const drafted = await team.vet.send(
      "post",
      `/horses/${taped}/courses`,
      courseOf(...BUTE_SACHETS, TODAY, [{ doseMg: 2000, timesLocal: ["10:00", "22:00"] }], {
        instructions: "In a little damp feed",
      }),
    );
    expect(drafted.status).toBe(201);
    const warnings = rules(drafted.body, "warn");
    expect(warnings).toContain("medication/rolling-limit-low-weight@1");
    const sign = (overrides: object[]) =>
      team.vet.send("post", `/courses/${drafted.body.id}/signature`, { overrides }, 1);
    const unanswered = await sign([]);
    expect(unanswered.status).toBe(422);
    expect(unanswered.body.detail).toContain("Write your reason");
    const blank = await sign(warnings.map((rule) => ({ rule, reason: "   " })));
    expect(blank.status).toBe(400);
    const overrides = warnings.map((rule) => ({ rule, reason: "Weighbridge is coming on Friday" }));
    const signed = await sign(overrides);
    expect(signed.status).toBe(200);
    expect(signed.body).toMatchObject({
      status: "signed",
      weightKg: 455,
      weightMethod: "tape",
      overrides,
      signedBy: { id: service.vet.id },
      reviewOn: "2026-10-18",
    });
    const [row] = await service.query(
      "SELECT m.signed_text, m.signature, k.public_key FROM medication_courses m LEFT JOIN signing_keys k ON k.id = m.signing_key_id WHERE m.id = $1",
      [drafted.body.id],
    );
    const text = String(row?.["signed_text"]);
    expect(JSON.parse(text)).toMatchObject({
      meaning: "signs the medication course",
      drug: { key: "phenylbutazone" },
      steps: [{ doseMg: 2000 }],
      weight: { weightKg: 455 },
      overrides,
      signer: { id: service.vet.id, registration: "REG-8" },
      signedAt: new Date(service.now()).toISOString(),
    });
    // RFC 8032 test vector 1: the key the test service signs with.
    const publicKey = "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a";
    expect(isSealed(text, String(row?.["signature"]), publicKey)).toBe(true);
    expect(isSealed(text.replace("2000", "1000"), String(row?.["signature"]), publicKey)).toBe(
      false,
    );
  });

  it("never changes what is signed: not by the service, and not by the database", async () => {
    const course = await signedCourse(
      team.vet,
      horse,
      courseOf(...BUTE_SACHETS, TODAY, [{ doseMg: 1000, timesLocal: ["20:00"], toDay: 3 }]),
    );
    const changed = await team.vet.send(
      "patch",
      `/courses/${course.id}`,
      { instructions: "more" },
      course.version,
    );
    expect(changed.status).toBe(409);
    expect(changed.body.type).toContain("record-sealed");
    expect(
      (await team.vet.send("post", `/courses/${course.id}/signature`, {}, course.version)).status,
    ).toBe(409);
    await expect(
      service.query("UPDATE medication_courses SET steps = '[]' WHERE id = $1", [course.id]),
    ).rejects.toThrow("signed records never change");
  });

  it("ends the course it replaces in the same breath, so that no two run and none is missing", async () => {
    const { body } = await team.vet.get(`/horses/${horse}/courses`);
    const running = body.items.find((one: { status: string }) => one.status === "signed");
    const next = courseOf(...BUTE_SACHETS, TODAY, [{ doseMg: 500, timesLocal: ["20:30"] }], {});
    expect((await team.vet.send("post", `/horses/${horse}/courses`, next)).status).toBe(201);
    const replacing = await signedCourse(team.vet, horse, {
      ...next,
      replacesCourseId: running.id,
    });
    expect(replacing.status).toBe("signed");
    expect((await team.vet.get(`/courses/${running.id}`)).body).toMatchObject({
      status: "stopped",
      stopReason: "replaced by a new course",
    });
  });

  it("needs the password again when the last one is over five minutes old, and a stale version is told", async () => {
    const other = await addAnimal(service, { name: "Stale" });
    await weighedBefore(service, other, 500, "2026-10-13T08:00:00+01:00");
    const drafted = await team.vet.send(
      "post",
      `/horses/${other}/courses`,
      courseOf(...BUTE_SACHETS, TODAY, [{ doseMg: 1000, timesLocal: ["20:00"] }]),
    );
    expect(
      (await team.vet.send("post", `/courses/${drafted.body.id}/signature`, {}, 7)).status,
    ).toBe(412);
    service.advance(6 * 60_000);
    const late = await team.vet.send("post", `/courses/${drafted.body.id}/signature`, {}, 1);
    expect(late.status).toBe(401);
    expect(late.body.type).toContain("reauthentication-required");
    const vet = await signInAgain(service, service.vet);
    expect((await vet.send("post", `/courses/${drafted.body.id}/signature`, {}, 1)).status).toBe(
      200,
    );
    team = { ...team, vet };
  });

  it("is for vets alone", async () => {
    const body = courseOf(...BUTE_SACHETS, TODAY, [{ doseMg: 1000, timesLocal: ["20:00"] }]);
    for (const person of [service.farrier, service.owner, service.carer, service.manager])
      expect((await person.send("post", `/horses/${horse}/courses`, body)).status).toBe(403);
    expect((await service.farrier.get(`/horses/${horse}/courses`)).status).toBe(403);
  });
});

describe("one anti-inflammatory at a time", () => {
  it("refuses bute 23 h after flunixin and takes it after 24 h 50 min (UK labels: 24 h apart)", async () => {
    const horse = await addAnimal(service, { name: "Switched" });
    await weighedBefore(service, horse, 668, "2026-10-13T08:00:00+01:00");
    const flunixin = await team.vet.send("post", `/horses/${horse}/doses`, {
      drugKey: "flunixin",
      route: "intravenous",
      doseMg: 730,
      givenAt: "2026-10-14T07:10:00+01:00",
    });
    expect(flunixin.status).toBe(201);
    const bute = (time: string) =>
      team.vet.send(
        "post",
        `/horses/${horse}/course-checks`,
        courseOf(...BUTE_SACHETS, "2026-10-15", [{ doseMg: 2000, timesLocal: [time] }]),
      );
    const early = await bute("06:10");
    expect(early.body.allowed).toBe(false);
    expect(rules(early.body, "block")).toEqual(["medication/nsaid-gap@1"]);
    expect(JSON.stringify(early.body.findings)).toContain("23 h between");
    expect((await bute("08:00")).body.allowed).toBe(true);
  });

  it("adds a single dose by vein to every limit, and refuses one over them although a vet asks", async () => {
    const horse = await addAnimal(service, { name: "Vein", type: "pony", heightCm: 120 });
    await weighedBefore(service, horse, 262, "2026-10-13T08:00:00+01:00");
    const give = (doseMg: number, more: object = {}) =>
      team.vet.send("post", `/horses/${horse}/doses`, {
        drugKey: "phenylbutazone",
        route: "intravenous",
        doseMg,
        givenAt: "2026-10-14T07:11:00+01:00",
        ...more,
      });
    // 1,150 mg / 262 kg = 4.39 mg/kg, just inside 4.4.
    expect((await give(1150)).status).toBe(201);
    const second = await give(500, { givenAt: "2026-10-14T07:12:00+01:00" });
    expect(second.status).toBe(422);
    const { body } = await team.carer.get(`/horses/${horse}/dose-ledger`);
    expect(body.totals).toEqual([
      expect.objectContaining({ moiety: "phenylbutazone", last24hMg: 1150 }),
    ]);
    expect(body.totals[0].last24hMgPerKg).toBeCloseTo(4.389, 3);
    expect(body.totals[0].shareOfLimit).toBeCloseTo(0.9976, 3);
    // What went in all the same is written down and counted; hiding it would harm twice.
    const fact = await give(500, {
      givenAt: "2026-10-14T07:12:00+01:00",
      alreadyGiven: true,
      reason: "drawn up wrong",
    });
    expect(fact.status).toBe(201);
    expect(rules(fact.body, "warn")).toContain("medication/rolling-limit@1");
    expect((await team.carer.get(`/horses/${horse}/dose-ledger`)).body.totals[0].last24hMg).toBe(
      1650,
    );
    expect((await team.carer.send("post", `/horses/${horse}/doses`, {})).status).toBe(403);
  });
});

describe("giving", () => {
  let horse: string;
  let course: { id: string; version: number };
  const give = (time: string, outcome = "given", more: object = {}) =>
    team.carer.send("post", `/courses/${course.id}/doses`, {
      scheduledAt: `2026-10-14T${time}:00+01:00`,
      givenAt: new Date(service.now()).toISOString(),
      outcome,
      ...more,
    });
  beforeAll(async () => {
    horse = await addAnimal(service, { name: "Given" });
    await weighedBefore(service, horse, 470, "2026-10-13T08:00:00+01:00");
    team = await atTime(service, "2026-10-14T09:30:00+01:00");
    course = await signedCourse(
      team.vet,
      horse,
      courseOf(...BUTE_SACHETS, TODAY, [
        { doseMg: 2000, timesLocal: ["10:00", "22:00"] },
        { fromDay: 2, toDay: 5, doseMg: 1000, timesLocal: ["10:00", "22:00"] },
      ]),
    );
  });

  it("shows the yard what to measure and when, and takes the dose once", async () => {
    const day = await team.carer.get(`/care-days/${TODAY}`);
    const mine = day.body.doses.filter((one: { courseId: string }) => one.courseId === course.id);
    expect(mine).toEqual([
      expect.objectContaining({ measure: "2 sachets", state: "due", doseMg: 2000 }),
      expect.objectContaining({ measure: "2 sachets", state: "later" }),
    ]);
    expect(day.body.vetPhone).toBe("+353 1 000 0000");
    const given = await give("10:00");
    expect(given.status).toBe(201);
    expect(given.body).toMatchObject({
      doseMg: 2000,
      outcome: "given",
      givenBy: { name: "Cass Carer" },
    });
    const again = await team.vet.send("post", `/courses/${course.id}/doses`, {
      scheduledAt: "2026-10-14T10:00:00+01:00",
      givenAt: "2026-10-14T09:31:00+01:00",
      outcome: "given",
    });
    expect(again.status).toBe(409);
    expect(again.body.detail).toContain("Cass Carer");
    expect(again.body.detail).toContain("14 October 2026 at 09:30");
    expect(again.body.recordId).toBe(given.body.id);
  });

  it("gives the same answer to the same request sent twice by a phone without network", async () => {
    const list = async () => (await team.vet.get(`/horses/${horse}/doses`)).body.items.length;
    const before = await list();
    team = await atTime(service, "2026-10-14T21:40:00+01:00");
    const { default: request } = await import("supertest");
    const send = () =>
      request(service.app.server)
        .post(`/api/v1/courses/${course.id}/doses`)
        .auth(team.carer.token, { type: "bearer" })
        .set("idempotency-key", "queued-on-the-phone-1")
        .send({
          scheduledAt: "2026-10-14T22:00:00+01:00",
          givenAt: "2026-10-14T21:40:00+01:00",
          outcome: "refused",
          reason: "would not eat it",
        });
    const [first, second] = [await send(), await send()];
    expect(first.status).toBe(201);
    expect(second.body).toEqual(first.body);
    expect(await list()).toBe(before + 1);
  });

  it("lets a refused dose be tried again, since nothing went in", async () => {
    const retry = await give("22:00");
    expect(retry.status).toBe(201);
    expect((await give("22:00", "not given", { reason: "x" })).status).toBe(409);
  });

  it("wants a reason for what was not given, a time of the plan, and a time that has been", async () => {
    expect((await give("22:00", "refused")).status).toBe(400);
    const unplanned = await give("15:00");
    expect(unplanned.body.errors[0].pointer).toBe("/scheduledAt");
    const future = await give("22:00", "given", { givenAt: "2026-10-14T23:30:00+01:00" });
    expect(future.body.errors[0].pointer).toBe("/givenAt");
  });

  it("leaves out a dose past half its time and never lets two come close together (house rule)", async () => {
    team = await atTime(service, "2026-10-15T16:30:00+01:00");
    const late = await team.carer.send("post", `/courses/${course.id}/doses`, {
      scheduledAt: "2026-10-15T10:00:00+01:00",
      givenAt: "2026-10-15T16:30:00+01:00",
      outcome: "given",
    });
    expect(late.status).toBe(422);
    expect(rules(late.body, "block")).toContain("medication/missed@1");
    expect((await refusalsOf(horse))[0]).toMatchObject({ kind: "dose" });
    const day = await team.carer.get("/care-days/2026-10-15");
    expect(day.body.doses[0]).toMatchObject({ courseId: course.id, state: "missed" });
  });

  it("a hold by the yard stops doses at once, and only a vet with the password takes it off", async () => {
    const { body: seen } = await team.carer.get(`/courses/${course.id}`);
    const held = await team.carer.send(
      "post",
      `/courses/${course.id}/hold`,
      { reason: "off her feed" },
      seen.version,
    );
    expect(held.status).toBe(200);
    expect(held.body).toMatchObject({
      status: "held",
      hold: { reason: "off her feed", raisedBy: { name: "Cass Carer" } },
    });
    const notes = await team.vet.get("/handoff-notes?state=open");
    expect(notes.body.items).toContainEqual(
      expect.objectContaining({ toRole: "vet", urgent: true, found: "off her feed" }),
    );
    team = await atTime(service, "2026-10-15T21:50:00+01:00");
    const dose = {
      scheduledAt: "2026-10-15T22:00:00+01:00",
      givenAt: "2026-10-15T21:50:00+01:00",
      outcome: "given",
    };
    const refused = await team.carer.send("post", `/courses/${course.id}/doses`, dose);
    expect(refused.status).toBe(422);
    expect(rules(refused.body, "block")).toEqual(["medication/held@1"]);
    const release = (person: typeof team.vet) =>
      person.send(
        "post",
        `/courses/${course.id}/release`,
        { reason: "seen, fine" },
        held.body.version,
      );
    expect((await release(team.carer)).status).toBe(403);
    expect((await release(team.manager)).status).toBe(403);
    service.advance(6 * 60_000);
    expect((await release(team.vet)).status).toBe(401);
    team = { ...team, vet: await signInAgain(service, service.vet) };
    const released = await release(team.vet);
    expect(released.body).toMatchObject({ status: "signed", hold: null });
    // Given while it was held stays forbidden; given now it is a dose like any other.
    expect((await team.carer.send("post", `/courses/${course.id}/doses`, dose)).status).toBe(422);
    const now = { ...dose, givenAt: new Date(service.now()).toISOString() };
    expect((await team.carer.send("post", `/courses/${course.id}/doses`, now)).status).toBe(201);
  });

  it("a red flag at a yard check holds every course of the horse in the same breath", async () => {
    const extra = await signedCourse(
      team.vet,
      horse,
      courseOf("paracetamol", "paracetamol-powder", "2026-10-16", [
        { doseMg: 9000, timesLocal: ["10:00", "22:00"] },
      ]),
    );
    const check = await team.carer.send("post", `/horses/${horse}/care-checks`, {
      examinedAt: new Date(service.now()).toISOString(),
      signs: ["colic"],
    });
    expect(check.status).toBe(201);
    expect(new Set(check.body.heldCourseIds)).toEqual(new Set([course.id, extra.id]));
    const whys = await service.query("SELECT DISTINCT why FROM holds WHERE released_at IS NULL");
    expect(whys).toEqual([{ why: "red flag" }]);
  });

  it("says so when a course is on hold already, and stopping it ends the day's list", async () => {
    const { body } = await team.vet.get(`/courses/${course.id}`);
    expect(
      (await team.vet.send("post", `/courses/${course.id}/hold`, { reason: "x" }, body.version))
        .status,
    ).toBe(409);
    const stopped = await team.vet.send(
      "post",
      `/courses/${course.id}/stop`,
      { reason: "colic" },
      body.version,
    );
    expect(stopped.body).toMatchObject({ status: "stopped", stopReason: "colic" });
    const day = await team.carer.get("/care-days/2026-10-16");
    expect(
      day.body.doses.filter((one: { courseId: string }) => one.courseId === course.id),
    ).toEqual([]);
    const before = await team.carer.get(`/care-days/${TODAY}`);
    expect(before.body.doses[0]).toMatchObject({ courseId: course.id, state: "given" });
  });
});

describe("review", () => {
  it("pain relief stands still when the review is overdue; a vet's signature carries it on, never beyond the rules", async () => {
    const horse = await addAnimal(service, { name: "Reviewed" });
    await weighedBefore(service, horse, 500, "2026-10-15T08:00:00+01:00");
    team = await atTime(service, "2026-10-16T07:00:00+01:00");
    const course = await signedCourse(
      team.vet,
      horse,
      courseOf(...BUTE_SACHETS, "2026-10-16", [{ toDay: 30, doseMg: 1000, timesLocal: ["20:00"] }]),
    );
    // Label: no response by day 4-5, stop. Day 5 of a course from the 16th is the 20th.
    expect(course.reviewOn).toBe("2026-10-20");
    team = await atTime(service, "2026-10-21T19:55:00+01:00");
    const dose = {
      scheduledAt: "2026-10-21T20:00:00+01:00",
      givenAt: "2026-10-21T19:55:00+01:00",
      outcome: "given",
    };
    const day = await team.carer.get("/care-days/2026-10-21");
    expect(
      day.body.doses.find((one: { courseId: string }) => one.courseId === course.id).state,
    ).toBe("needs vet");
    const refused = await team.carer.send("post", `/courses/${course.id}/doses`, dose);
    expect(rules(refused.body, "block")).toEqual(["medication/needs-vet@1"]);
    const review = (reviewOn: string) =>
      team.vet.send(
        "post",
        `/courses/${course.id}/review`,
        { reviewOn, reason: "better, eats well" },
        course.version,
      );
    // A new signature every 14 days (house rule).
    expect((await review("2026-11-05")).body.errors[0].pointer).toBe("/reviewOn");
    expect((await review("2026-10-21")).body.errors[0].pointer).toBe("/reviewOn");
    const reviewed = await review("2026-10-28");
    expect(reviewed.status).toBe(200);
    expect(reviewed.body.reviewOn).toBe("2026-10-28");
    expect((await team.carer.send("post", `/courses/${course.id}/doses`, dose)).status).toBe(201);
    // The vet's own date is sooner than the rules ask and holds all the same.
    team = await atTime(service, "2026-10-29T19:55:00+00:00");
    const later = await team.carer.send("post", `/courses/${course.id}/doses`, {
      scheduledAt: "2026-10-29T20:00:00+00:00",
      givenAt: "2026-10-29T19:55:00+00:00",
      outcome: "given",
    });
    expect(rules(later.body, "block")).toContain("medication/needs-vet@1");
  });
});
