import { randomUUID } from "node:crypto";
import fc from "fast-check";
import { DateTime } from "luxon";
import { afterAll, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { startBackground, until, type Background } from "../support/background.ts";
import { startTestService, type TestPerson, type TestService } from "../support/service.ts";

let service: TestService;
let background: Background;
let second: TestPerson;
const yards = { north: randomUUID(), south: randomUUID(), far: randomUUID() };

beforeAll(async () => {
  service = await startTestService();
  background = await startBackground(service);
  second = await service.personWith("farrier", "Fergal Second");
  await service.query("UPDATE practices SET lat = 53.27, lon = -9.05");
  // The far yard keeps another zone's time: an hour ahead.
  for (const [id, name, lat, lon, zone] of [
    [yards.north, "North", 53.4, -9.05, "Europe/Dublin"],
    [yards.south, "South", 53.1, -9, "Europe/Dublin"],
    [yards.far, "Far", 53.3, -8.7, "Europe/Paris"],
  ] as const)
    // oxlint-disable-next-line no-await-in-loop
    await service.query(
      `INSERT INTO yards (practice_id, id, name, lat, lon, time_zone, opening) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
      [
        service.practiceId,
        id,
        name,
        lat,
        lon,
        zone,
        JSON.stringify(
          [1, 2, 3, 4, 5].map((weekday) => ({ weekday, opens: "08:30", closes: "16:30" })),
        ),
      ],
    );
});
beforeEach(async () => {
  await service.query(
    "TRUNCATE resets, horizon_plans, working_weeks, absences, practice_closures, horse_covers CASCADE",
  );
  await service.query("DELETE FROM horse_people");
  await service.query("DELETE FROM handoff_notes");
  await service.query("DELETE FROM case_events");
  await service.query("DELETE FROM horses");
});
afterAll(async () => {
  await background.stop();
  await service.close();
  if (background.errors.length > 0) throw new Error(String(background.errors));
});

interface ResetFacts {
  readonly yard?: keyof typeof yards;
  readonly lastDoneOn?: string;
  readonly intervalDays?: number;
  readonly farrierId?: string | null;
  readonly bookedFor?: string;
  readonly minutes?: number;
}
const addReset = async (facts: ResetFacts = {}): Promise<{ id: string; horseId: string }> => {
  const [id, horseId] = [randomUUID(), randomUUID()];
  const farrierId = facts.farrierId === undefined ? service.farrier.id : facts.farrierId;
  await service.query(
    "INSERT INTO horses (practice_id, id, name, type, sex, yard_id, farrier_id) VALUES ($1, $2, $3, 'horse', 'mare', $4, $5)",
    [
      service.practiceId,
      horseId,
      `Horse ${horseId.slice(0, 4)}`,
      yards[facts.yard ?? "north"],
      farrierId,
    ],
  );
  await service.query(
    `INSERT INTO resets (practice_id, id, horse_id, farrier_id, status, last_done_on, interval_days, due_on, booked_for, booked_minutes)
     VALUES ($1, $2, $3, $4, $5, $6, $7, $6::date + $7::int, $8, $9)`,
    [
      service.practiceId,
      id,
      horseId,
      farrierId,
      facts.bookedFor === undefined ? "open" : "booked",
      facts.lastDoneOn ?? "2026-09-20",
      facts.intervalDays ?? 35,
      facts.bookedFor ?? null,
      facts.bookedFor === undefined ? null : (facts.minutes ?? 60),
    ],
  );
  return { id, horseId };
};
const start = async (body: object = {}) => {
  const answer = await service.manager.send("post", "/plans", {
    fromOn: "2026-10-15",
    weeks: 4,
    seconds: 1,
    ...body,
  });
  expect(answer.status, answer.text).toBe(201);
  return answer.body as { id: string; status: string };
};
const finished = async (id: string) =>
  until(
    async () => (await service.manager.get(`/plans/${id}`)).body,
    (plan) => plan.status !== "waiting" && plan.status !== "running",
  );
const plan = async (body: object = {}) => {
  const done = await finished((await start(body)).id);
  expect(done.status, JSON.stringify(done.failure)).toBe("done");
  return done;
};
const adopt = (id: string, choices: readonly { resetId: string; resetVersion: number }[]) =>
  service.manager.send("post", `/plans/${id}/adoption`, {
    choices: choices.map(({ resetId, resetVersion }) => ({ resetId, resetVersion })),
    reason: "weekly plan",
  });

interface Visit {
  readonly farrier: string;
  readonly startMs: number;
  readonly endMs: number;
  readonly yard: string;
  readonly zone: string;
  readonly dueOn: string;
  readonly lastDoneOn: string;
}
const bookedVisits = async (): Promise<Visit[]> =>
  (
    await service.query(`SELECT coalesce(r.farrier_id, h.farrier_id) AS farrier, r.booked_for, r.booked_minutes, y.name AS yard, y.time_zone,
       r.due_on::text AS due_on, r.last_done_on::text AS last_done_on FROM resets r JOIN horses h ON h.id = r.horse_id JOIN yards y ON y.id = h.yard_id
       WHERE r.status = 'booked' ORDER BY 1, 2`)
  ).map((row) => ({
    farrier: String(row["farrier"]),
    startMs: (row["booked_for"] as Date).getTime(),
    endMs: (row["booked_for"] as Date).getTime() + Number(row["booked_minutes"]) * 60_000,
    yard: String(row["yard"]),
    zone: String(row["time_zone"]),
    dueOn: String(row["due_on"]),
    lastDoneOn: String(row["last_done_on"]),
  }));
/** Nobody is in two places at once. */
const assertNobodyTwice = (visits: readonly Visit[]): void => {
  visits.forEach((visit, index) => {
    const next = visits[index + 1];
    if (next !== undefined && next.farrier === visit.farrier)
      expect(next.startMs, "one farrier, one place").toBeGreaterThanOrEqual(visit.endMs);
  });
};
/** Judged from the stored rows by another date library's plain arithmetic, not by the service's rules. */
const assertSound = (visits: readonly Visit[], hours: readonly [number, number]): void => {
  assertNobodyTwice(visits);
  for (const visit of visits) {
    const atDesk = (ms: number) => DateTime.fromMillis(ms, { zone: "Europe/Dublin" });
    const from = atDesk(visit.startMs);
    const until_ = atDesk(visit.endMs);
    expect(from.hour + from.minute / 60).toBeGreaterThanOrEqual(hours[0]);
    expect(until_.hour + until_.minute / 60).toBeLessThanOrEqual(hours[1]);
    expect(from.weekday).toBeLessThanOrEqual(5);
    if (visit.yard !== "Test Yard") {
      const atYard = DateTime.fromMillis(visit.startMs, { zone: visit.zone });
      const gone = DateTime.fromMillis(visit.endMs, { zone: visit.zone });
      expect(atYard.hour * 60 + atYard.minute).toBeGreaterThanOrEqual(8 * 60 + 30);
      expect(gone.hour * 60 + gone.minute).toBeLessThanOrEqual(16 * 60 + 30);
    }
    const on = DateTime.fromMillis(visit.startMs, { zone: visit.zone }).toISODate() ?? "";
    // Without a case a horse counts as sound: 42 days at most (common practice, no source).
    const ceiling = DateTime.fromISO(visit.lastDoneOn).plus({ days: 42 }).toISODate() ?? "";
    expect(on <= ceiling, `${on} is past the ceiling ${ceiling}`).toBe(true);
  }
};

describe("a plan over weeks", () => {
  it("is worked out in the background and says of each choice why, with its bound", async () => {
    const near = await addReset({ yard: "north", lastDoneOn: "2026-09-18" });
    const same = await addReset({ yard: "north", lastDoneOn: "2026-09-19" });
    await addReset({ yard: "far", lastDoneOn: "2026-09-25" });
    const waiting = await start();
    expect(waiting.status).toBe("waiting");
    const done = await finished(waiting.id);
    expect(done.status).toBe("done");
    expect(done.result.choices).toHaveLength(3);
    expect(done.result.unplaced).toEqual([]);
    for (const choice of done.result.choices) expect(choice.why.length).toBeGreaterThan(10);
    expect(done.result.score.latePoints).toBeGreaterThanOrEqual(done.result.latePointsLowerBound);
    expect(done.result.lateGap).toBe(0);
    expect(done.result.driveTimes).toBe("estimate");
    expect(done.caution).toContain("a vet decides");
    const on = (id: string) =>
      done.result.choices.find((one: { resetId: string }) => one.resetId === id).on;
    expect(on(near.id), "two horses of one yard go on one day").toBe(on(same.id));
  });

  it("books what was adopted through the rules of booking, and answers a second time the same", async () => {
    await addReset();
    await addReset({ yard: "south" });
    const done = await plan();
    const adopted = await adopt(done.id, done.result.choices);
    expect(adopted.status, adopted.text).toBe(200);
    expect(adopted.body.adopted.map((one: { outcome: string }) => one.outcome)).toEqual([
      "booked",
      "booked",
    ]);
    const visits = await bookedVisits();
    expect(visits).toHaveLength(2);
    assertSound(visits, [8, 17]);
    const again = await adopt(done.id, done.result.choices);
    expect(
      again.body.adopted.slice(2).map((one: { outcome: string }) => one.outcome),
      "what changed since is not touched",
    ).toEqual(["conflict", "conflict"]);
    expect(await bookedVisits()).toEqual(visits);
    const [events] = await service.query(
      "SELECT count(*)::int AS n FROM case_events WHERE title LIKE 'Reset booked%'",
    );
    expect(events).toEqual({ n: 2 });
  });

  it("overwrites nothing: a reset changed meanwhile is listed as a conflict, the others are booked", async () => {
    const changed = await addReset();
    const other = await addReset({ yard: "south" });
    const done = await plan();
    const booked = await service.manager.send(
      "post",
      `/resets/${changed.id}/booking`,
      { bookedFor: "2026-10-19T09:00:00+01:00", minutes: 45 },
      1,
    );
    expect(booked.status, booked.text).toBe(200);
    const adopted = await adopt(done.id, done.result.choices);
    const outcome = (id: string) =>
      adopted.body.adopted.find((one: { resetId: string }) => one.resetId === id).outcome;
    expect(outcome(changed.id)).toBe("conflict");
    expect(outcome(other.id)).toBe("booked");
    const [row] = await service.query("SELECT booked_for FROM resets WHERE id = $1", [changed.id]);
    expect(row?.["booked_for"]).toEqual(new Date("2026-10-19T08:00:00Z"));
  });

  it("does not take an hour that was given away meanwhile, also when two adopt at once", async () => {
    for (let index = 0; index < 4; index += 1)
      // oxlint-disable-next-line no-await-in-loop
      await addReset({ lastDoneOn: "2026-09-11" });
    const first = await plan();
    const later = await plan({ seed: 2 });
    const both = await Promise.all([
      adopt(first.id, first.result.choices),
      adopt(later.id, later.result.choices),
    ]);
    expect(both.map((one) => one.status)).toEqual([200, 200]);
    const outcomes = both.flatMap((one) =>
      one.body.adopted.map((each: { outcome: string }) => each.outcome),
    );
    expect(outcomes.filter((one) => one === "booked")).toHaveLength(4);
    assertSound(await bookedVisits(), [8, 17]);
  });

  it("stops when somebody asks it to, and stops only once", async () => {
    for (let index = 0; index < 30; index += 1)
      // oxlint-disable-next-line no-await-in-loop
      await addReset({ yard: (["north", "south", "far"] as const)[index % 3] ?? "north" });
    const { id } = await start({ seconds: 60 });
    await until(
      async () => (await service.manager.get(`/plans/${id}`)).body.status,
      (status) => status === "running",
    );
    expect((await service.manager.send("delete", `/plans/${id}`)).status).toBe(204);
    expect((await service.manager.send("delete", `/plans/${id}`)).status).toBe(409);
    // Its place is free again: the next plan is worked out although the first asked for a minute.
    const done = await plan();
    expect(done.result.choices.length).toBeGreaterThan(0);
    expect((await service.manager.get(`/plans/${id}`)).body.status).toBe("cancelled");
  });

  it("keeps what was told to the yard where that costs little, and holds it where it must", async () => {
    const promised = await addReset({ bookedFor: "2026-10-20T10:00:00+01:00" });
    await addReset({ yard: "south" });
    const done = await plan({ keepBooked: "fixed" });
    const choice = done.result.choices.find(
      (one: { resetId: string }) => one.resetId === promised.id,
    );
    expect(choice.on).toBe("2026-10-20");
    const at = Date.parse(choice.startAt);
    const agreed = Date.parse("2026-10-20T10:00:00+01:00");
    expect(at - agreed).toBeGreaterThanOrEqual(0);
    expect(at - agreed).toBeLessThanOrEqual(15 * 60_000);
  });

  it("plans again around a farrier who rang in sick: his visits go to the other, the rest stays", async () => {
    const sick = await addReset({ bookedFor: "2026-10-15T10:00:00+01:00", farrierId: null });
    await service.query("UPDATE resets SET farrier_id = $1 WHERE id = $2", [
      service.farrier.id,
      sick.id,
    ]);
    const well = await addReset({
      bookedFor: "2026-10-15T11:00:00+01:00",
      farrierId: second.id,
      yard: "south",
    });
    const done = await plan({
      keepBooked: "fixed",
      away: [{ farrierId: service.farrier.id, fromOn: "2026-10-15", toOn: "2026-10-23" }],
    });
    const of = (id: string) =>
      done.result.choices.find((one: { resetId: string }) => one.resetId === id);
    expect(of(sick.id).farrier.id).toBe(second.id);
    expect(of(well.id)).toMatchObject({ on: "2026-10-15", farrier: { id: second.id } });
    const adopted = await adopt(done.id, [of(sick.id)]);
    expect(adopted.body.adopted[0].outcome, JSON.stringify(adopted.body.adopted)).toBe("booked");
    const seen = await second.get(`/horses/${sick.horseId}`);
    expect(seen.status, "the cover sees the horse it is sent to").toBe(200);
  });

  it("puts an emergency first, whatever its due day", async () => {
    await addReset({ yard: "south" });
    const urgent = await addReset({ yard: "far", lastDoneOn: "2026-10-10" });
    const done = await plan({ urgentResetIds: [urgent.id] });
    const choice = done.result.choices.find(
      (one: { resetId: string }) => one.resetId === urgent.id,
    );
    expect(choice.on).toBe("2026-10-15");
  });

  it("says why a reset found no place and what would help", async () => {
    await addReset({ lastDoneOn: "2026-09-04" });
    const closed = await service.manager.send(
      "put",
      `/people/${service.farrier.id}/working-week`,
      {
        hours: [{ weekday: 6, starts: "09:00", ends: "12:00" }],
      },
      1,
    );
    expect(closed.status, closed.text).toBe(200);
    const done = await plan({ farrierIds: [service.farrier.id] });
    expect(done.result.choices).toEqual([]);
    expect(done.result.unplaced[0].why.length).toBeGreaterThan(10);
    expect(done.result.unplaced[0].wouldImprove.length).toBeGreaterThan(10);
  });

  it("refuses what makes no sense, by the field", async () => {
    const bad = async (body: object, pointer: string) => {
      const answer = await service.manager.send("post", "/plans", {
        fromOn: "2026-10-15",
        weeks: 4,
        ...body,
      });
      expect(answer.status, answer.text).toBe(400);
      expect(answer.body.errors[0].pointer).toBe(pointer);
    };
    await bad({ fromOn: "2026-10-13" }, "/fromOn");
    await bad({ weeks: 7 }, "/weeks");
    await bad({ farrierIds: [service.vet.id] }, "/farrierIds/0");
    await bad({ urgentResetIds: [randomUUID()] }, "/urgentResetIds");
    await bad(
      { away: [{ farrierId: randomUUID(), fromOn: "2026-10-15", toOn: "2026-10-16" }] },
      "/away/0/farrierId",
    );
    const noResult = await start();
    await service.manager.send("delete", `/plans/${noResult.id}`);
    const early = await adopt(noResult.id, [{ resetId: randomUUID(), resetVersion: 1 }]);
    expect(early.status).toBe(409);
    for (const person of [service.farrier, service.carer, service.owner])
      // oxlint-disable-next-line no-await-in-loop
      expect((await person.send("post", "/plans", { fromOn: "2026-10-15" })).status).toBe(403);
  });

  it("keeps answering other people while it searches", async () => {
    for (let index = 0; index < 40; index += 1)
      // oxlint-disable-next-line no-await-in-loop
      await addReset({ yard: (["north", "south", "far"] as const)[index % 3] ?? "north" });
    const { id } = await start({ seconds: 3 });
    await until(
      async () => (await service.manager.get(`/plans/${id}`)).body.status,
      (status) => status === "running",
    );
    let answers = 0;
    for (;;) {
      // oxlint-disable-next-line no-await-in-loop
      const seen = await service.manager.get(`/plans/${id}`);
      expect(seen.status).toBe(200);
      if (seen.body.status !== "running") break;
      answers += 1;
    }
    // The search holds its own thread for seconds; had it held this one, there had been no answer at all.
    expect(answers).toBeGreaterThan(3);
  });
});

describe("whatever is planned and adopted", () => {
  const reset = fc.record({
    yard: fc.constantFrom("north", "south", "far" as const),
    lastDoneDaysAgo: fc.integer({ min: 20, max: 45 }),
    intervalDays: fc.integer({ min: 28, max: 42 }),
    isFirst: fc.boolean(),
  });
  it("breaks no window, no ceiling, no working hours and books nobody twice, across clock changes, the leap day and two zones", async () => {
    let checked = 0;
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom("2026-10-19", "2026-11-02", "2027-03-22", "2028-02-21"),
        fc.array(reset, { minLength: 3, maxLength: 10 }),
        fc.integer({ min: 1, max: 1000 }),
        async (fromOn, list, seed) => {
          await service.query("TRUNCATE resets, horizon_plans, horse_covers CASCADE");
          await service.query("DELETE FROM case_events");
          await service.query("DELETE FROM horses");
          for (const one of list)
            // oxlint-disable-next-line no-await-in-loop
            await addReset({
              yard: one.yard as keyof typeof yards,
              farrierId: one.isFirst ? service.farrier.id : second.id,
              intervalDays: one.intervalDays,
              lastDoneOn:
                DateTime.fromISO(fromOn).minus({ days: one.lastDoneDaysAgo }).toISODate() ?? "",
            });
          const done = await plan({ fromOn, weeks: 2, seconds: 1, seed });
          const before = done.result.choices.length + done.result.unplaced.length;
          expect(before).toBeLessThanOrEqual(list.length);
          if (done.result.choices.length === 0) return;
          const adopted = await adopt(done.id, done.result.choices);
          expect(adopted.status, adopted.text).toBe(200);
          const visits = await bookedVisits();
          // A horse past its ceiling before the plan begins is booked as soon as possible, by the first days.
          const within = visits.filter(
            (visit) =>
              (DateTime.fromISO(visit.lastDoneOn).plus({ days: 42 }).toISODate() ?? "") >= fromOn,
          );
          assertNobodyTwice(visits);
          assertSound(within, [8, 17]);
          checked += within.length;
        },
      ),
      { numRuns: 8, seed: 20261019 },
    );
    expect(checked).toBeGreaterThan(15);
  }, 120_000);
});
