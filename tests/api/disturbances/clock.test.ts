import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startBackground } from "../../support/background.ts";
import {
  addAnimal,
  atTime,
  BUTE_SACHETS,
  courseOf,
  signedCourse,
  signInAgain,
  weighedBefore,
} from "../../support/medicine.ts";
import { startTestService, type TestPerson, type TestService } from "../../support/service.ts";

// The service's clock jumps, and the night comes in which an hour comes twice. Dublin goes back from
// 02:00 to 01:00 on Sunday 25 October 2026. source: IANA time zone database, Europe/Dublin.
const HOUR = 3_600_000;
const iso = (ms: number): string => new Date(ms).toISOString();

describe("a clock that steps", () => {
  let service: TestService;
  beforeAll(async () => {
    service = await startTestService();
  });
  afterAll(async () => {
    await service.close();
  });
  const give = (vet: TestPerson, horse: string) =>
    vet.send("post", `/horses/${horse}/doses`, {
      drugKey: "flunixin",
      route: "intravenous",
      doseMg: 730,
      givenAt: iso(service.now()),
    });

  it("back by two hours signs nobody out, keeps the log whole, and does not forget a dose that now lies ahead", async () => {
    const horse = await addAnimal(service, { name: "Stepped" });
    await weighedBefore(service, horse, 668, "2026-10-13T08:00:00+01:00");
    expect((await give(service.vet, horse)).status).toBe(201);
    service.advance(-2 * HOUR);
    // At the label's full dose already: a second one within the day is over the limit.
    const again = await give(service.vet, horse);
    expect(again.status, again.text).toBe(422);
    const { body } = await service.manager.get("/audit/verification").expect(200);
    expect(body).toMatchObject({ isWhole: true });
    service.advance(2 * HOUR);
  });

  it("forward by a day ends access tokens and nothing else: whoever signs in again finds everything", async () => {
    service.advance(24 * HOUR);
    expect((await service.vet.get("/queue")).status).toBe(401);
    const vet = await signInAgain(service, service.vet);
    expect((await vet.get("/queue")).status).toBe(200);
    service.advance(-24 * HOUR);
    // The session of the day ahead does not lock its owner out of today.
    expect((await (await signInAgain(service, service.vet)).get("/queue")).status).toBe(200);
  });

  it("back over the night and forward again does the night's work once", async () => {
    const night = Date.parse("2026-10-16T03:30:00+01:00");
    let atMs = night;
    const background = await startBackground(service, undefined, () => atMs);
    for (const next of [night, night - 2 * HOUR, night + HOUR, night]) {
      atMs = next;
      // One look after the other.
      // oxlint-disable-next-line no-await-in-loop
      await background.jobs.sweep();
    }
    await background.stop();
    expect(background.errors).toEqual([]);
    expect(
      await service.query(
        "SELECT count(*)::int AS n FROM compliance_figures WHERE kind = 'practice' AND figured_on = '2026-10-16'",
      ),
    ).toEqual([{ n: 1 }]);
  });
});

describe("the night in which an hour comes twice", () => {
  let service: TestService;
  beforeAll(async () => {
    service = await startTestService();
  });
  afterAll(async () => {
    await service.close();
  });

  it("does the night's work once and lets what is late climb once", async () => {
    const { vet } = await atTime(service, "2026-10-24T22:00:00+01:00");
    const note = await vet.send("post", "/handoff-notes", {
      horseId: service.horseId,
      toRole: "farrier",
      urgent: true,
      situation: "The shoe moved.",
      mustDo: "Ring me.",
    });
    expect(note.status).toBe(201);
    let atMs = service.now();
    const background = await startBackground(service, undefined, () => atMs);
    for (; atMs <= Date.parse("2026-10-25T05:00:00+00:00"); atMs += HOUR / 4)
      // The night, a quarter of an hour at a time.
      // oxlint-disable-next-line no-await-in-loop
      await background.jobs.sweep();
    await background.stop();
    expect(background.errors).toEqual([]);
    expect(
      await service.query(
        "SELECT figured_on::text AS day, count(*)::int AS n FROM compliance_figures WHERE kind = 'practice' AND figured_on >= '2026-10-25' GROUP BY 1",
      ),
    ).toEqual([{ day: "2026-10-25", n: 1 }]);
    const letters = await service.query(
      "SELECT count(*)::int AS n, count(DISTINCT payload->>'to')::int AS people FROM outbox WHERE kind = 'late note'",
    );
    expect(letters[0]?.["n"]).toBeGreaterThan(0);
    expect(letters[0]?.["n"]).toBe(letters[0]?.["people"]);
  });

  it("asks for the dose of half past one once, and counts two doses at that time as the two they are", async () => {
    const { vet, carer } = await atTime(service, "2026-10-25T08:00:00+00:00");
    const horse = await addAnimal(service, { name: "Night" });
    await weighedBefore(service, horse, 470, "2026-10-24T08:00:00+01:00");
    const ledger = async () =>
      (await vet.get(`/horses/${horse}/dose-ledger`)).body.totals[0].last24hMg as number;
    for (const givenAt of ["2026-10-25T01:30:00+01:00", "2026-10-25T01:30:00+00:00"]) {
      // One dose after the other.
      // oxlint-disable-next-line no-await-in-loop
      const given = await vet.send("post", `/horses/${horse}/doses`, {
        drugKey: "phenylbutazone",
        presentationKey: "phenylbutazone-powder-1g",
        route: "oral",
        doseMg: 1000,
        givenAt,
        reason: "Seen by the yard.",
        alreadyGiven: true,
      });
      expect(given.status, given.text).toBe(201);
    }
    expect(await ledger()).toBe(2000);

    const other = await addAnimal(service, { name: "Course over the night" });
    await weighedBefore(service, other, 470, "2026-10-24T08:00:00+01:00");
    const before = await atTime(service, "2026-10-24T12:00:00+01:00");
    const course = await signedCourse(
      before.vet,
      other,
      courseOf(...BUTE_SACHETS, "2026-10-25", [
        { fromDay: 1, toDay: 2, doseMg: 1000, timesLocal: ["01:30"] },
      ]),
    );
    const mine = (await before.carer.get("/care-days/2026-10-25")).body.doses.filter(
      (one: { courseId: string }) => one.courseId === course.id,
    );
    expect(mine).toHaveLength(1);
    expect(carer.id).toBe(before.carer.id);
  });
});
