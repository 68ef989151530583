import { randomUUID } from "node:crypto";
import { afterAll, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { startTestService, type TestPerson, type TestService } from "../support/service.ts";

/**
 * One invented practice on one invented morning: Wednesday 14 October 2026, 07:10. Places, intervals
 * and last visits are those of the invented scenario; roads are straight lines times 1.35 at 45 km/h.
 */
const BASE = { lat: 53.214, lon: -9.041 };
const YARDS = {
  Sallowfield: [53.268, -8.934],
  Ouzel: [53.151, -9.102],
  Carrowmist: [53.192, -8.871],
  Gannet: [53.305, -9.118],
} as const;
type Yard = keyof typeof YARDS;

let service: TestService;
let second: TestPerson;
let third: TestPerson;
const yardIds = new Map<Yard, string>();

beforeAll(async () => {
  service = await startTestService();
  second = await service.personWith("farrier", "Second Farrier");
  third = await service.personWith("farrier", "Third Farrier");
  await service.query("UPDATE practices SET lat = $1, lon = $2", [BASE.lat, BASE.lon]);
  for (const [name, [lat, lon]] of Object.entries(YARDS)) {
    const id = randomUUID();
    yardIds.set(name as Yard, id);
    // oxlint-disable-next-line no-await-in-loop
    await service.query(
      "INSERT INTO yards (practice_id, id, name, lat, lon, time_zone) VALUES ($1, $2, $3, $4, $5, 'Europe/Dublin')",
      [service.practiceId, id, name, lat, lon],
    );
  }
});
beforeEach(async () => {
  await service.query(
    "TRUNCATE resets, shoeing_records, working_weeks, absences, horse_covers, prescriptions, cases, handoff_notes CASCADE",
  );
  await service.query("DELETE FROM case_events");
  await service.query("DELETE FROM horses WHERE id <> $1", [service.horseId]);
});
afterAll(async () => {
  await service.close();
});

interface Facts {
  readonly name: string;
  readonly yard?: Yard;
  readonly farrier?: TestPerson;
  readonly lastDoneOn: string;
  readonly intervalDays?: number;
  readonly bookedFor?: string;
  readonly minutes?: number;
  readonly feet?: string;
  readonly forecastLimitOn?: string;
  readonly phase?: string;
}
const addHorse = async (facts: Facts) => {
  const [id, horseId, caseId] = [randomUUID(), randomUUID(), randomUUID()];
  const farrierId = (facts.farrier ?? service.farrier).id;
  await service.query(
    "INSERT INTO horses (practice_id, id, name, type, sex, yard_id, farrier_id, feet) VALUES ($1, $2, $3, 'horse', 'mare', $4, $5, $6)",
    [
      service.practiceId,
      horseId,
      facts.name,
      yardIds.get(facts.yard ?? "Gannet"),
      farrierId,
      facts.feet ?? "bare",
    ],
  );
  await service.query(
    "INSERT INTO cases (practice_id, id, horse_id, number, opened_at, phase, phase_since) VALUES ($1, $2, $3, (SELECT coalesce(max(number), 0) + 1 FROM cases), '2026-01-01', $4, '2026-01-01')",
    [service.practiceId, caseId, horseId, facts.phase ?? "chronic active"],
  );
  await service.query(
    `INSERT INTO resets (practice_id, id, horse_id, case_id, farrier_id, status, last_done_on, interval_days, due_on, booked_for, booked_minutes, forecast_limit_on)
     VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $7::date + $8::int, $9, $10, $11)`,
    [
      service.practiceId,
      id,
      horseId,
      caseId,
      farrierId,
      facts.bookedFor === undefined ? "open" : "booked",
      facts.lastDoneOn,
      facts.intervalDays ?? 28,
      facts.bookedFor ?? null,
      facts.bookedFor === undefined ? null : (facts.minutes ?? 60),
      facts.forecastLimitOn ?? null,
    ],
  );
  return { id, horseId, caseId };
};
const read = async (id: string) => (await service.manager.get(`/resets/${id}`)).body;
const nameOf = (one: { horse: { name: string } }) => one.horse.name;

describe("the due date", () => {
  it("comes from forecast and interval, the shorter wins: growth meets the 12 mm limit on day 26, the screen says so, and the vet's 28 days stand", async () => {
    // The invented mare's spring: 7.2 mm in 30 days, nothing worn away, wall at 49 degrees, 6 mm left on 4 May.
    await service.query(
      "UPDATE horses SET growth_mm_per_30d = 7.2, wear_fraction = 1, wall_angle_degrees = 49, breakover_limit_mm = 12, reset_interval_days = 28, farrier_id = $2 WHERE id = $1",
      [service.horseId, service.farrier.id],
    );
    const done = await service.farrier.send("post", `/horses/${service.horseId}/shoeing-records`, {
      doneAt: "2026-05-04T10:00:00+01:00",
      asPlanned: false,
      feet: [
        {
          foot: "LF",
          breakoverBeforeMm: 10.5,
          breakoverAfterMm: 6,
          heelRemovedMm: 3,
          toeBackMm: 4,
          shoe: "bare",
          supportFill: "none",
          fixing: "none",
        },
      ],
      nextReset: { noDateReason: "The owner rings back", personToBook: service.manager.id },
    });
    expect(done.status, done.text).toBe(201);
    const reset = await read(done.body.nextResetId);
    expect(reset).toMatchObject({
      intervalDays: 28,
      dueOn: "2026-06-01",
      bookBy: "2026-05-30",
      latestSafeOn: "2026-05-30",
    });
    expect(reset.findings[0].detail).toContain("day 26 (30 May 2026); 28 days leaves no slack");
  });
});

describe("the second farrier's day", () => {
  it("goes to Gannet Hill before Carrowmist, because a red horse stands there, and is 58.8 km long", async () => {
    await addHorse({
      name: "Bosun Reed",
      farrier: second,
      yard: "Gannet",
      lastDoneOn: "2026-09-03",
      bookedFor: "2026-10-14T09:00:00+01:00",
    });
    await addHorse({
      name: "Fiddle Mist",
      farrier: second,
      yard: "Carrowmist",
      lastDoneOn: "2026-09-14",
      bookedFor: "2026-10-14T11:00:00+01:00",
    });
    const day = await second.get("/route-days/2026-10-14");
    expect(day.status, day.text).toBe(200);
    expect(
      day.body.stops.map((stop: { yard: { name: string } }) => stop.yard.name),
      "need before distance",
    ).toEqual(["Gannet", "Carrowmist"]);
    expect(day.body.stops[0].horses[0].state).toBe("red");
    // 15.3 + 27.9 + 15.6 km, each rounded by itself in the scenario.
    expect(Math.abs(day.body.totalKm - 58.8)).toBeLessThan(0.15);
    expect(day.body.proof).toBe("optimal");
  });

  it("can be drafted from what is due before anything is booked: the same order, and nobody is told", async () => {
    for (const [name, yard, lastDoneOn] of [
      ["Fiddle Mist", "Carrowmist", "2026-09-14"],
      ["Bosun Reed", "Gannet", "2026-09-03"],
      ["Saffron Weir", "Gannet", "2026-09-30"],
    ] as const)
      // oxlint-disable-next-line no-await-in-loop
      await addHorse({ name, farrier: second, yard, lastDoneOn });
    expect((await second.get("/route-days/2026-10-14")).body.stops).toEqual([]);
    const { body } = await second.get("/route-days/2026-10-14?include=due");
    expect(
      body.stops.map((stop: { horses: { name: string; bookedFor: string | null }[] }) =>
        stop.horses.map((horse) => [horse.name, horse.bookedFor]),
      ),
      "the mare due in a fortnight is not on it",
    ).toEqual([[["Bosun Reed", null]], [["Fiddle Mist", null]]]);
    expect(Math.abs(body.totalKm - 58.8)).toBeLessThan(0.15);
  });
});

describe("the time a job takes", () => {
  it("is estimated from horse and kind of work and warns before a day gets longer than the farrier's", async () => {
    await service.manager.send(
      "put",
      `/people/${second.id}/working-week`,
      { hours: [{ weekday: 4, starts: "08:00", ends: "16:00" }], skills: [], yardIds: [] },
      1,
    );
    for (const hour of ["08", "11"])
      // oxlint-disable-next-line no-await-in-loop
      await addHorse({
        name: `At ${hour}`,
        farrier: second,
        lastDoneOn: "2026-09-20",
        bookedFor: `2026-10-15T${hour}:00:00+01:00`,
        minutes: 210,
      });
    const glued = await addHorse({
      name: "Glued",
      farrier: second,
      lastDoneOn: "2026-09-20",
      feet: "glue-on, bevelled",
    });
    const asked = { bookedFor: "2026-10-15T14:45:00+01:00", farrierId: second.id };
    const check = await service.manager.send("post", `/resets/${glued.id}/booking/check`, asked);
    // 90 minutes for glued shoes: common practice, no source.
    expect(check.body).toMatchObject({ minutes: 90, dayMinutes: 510, dayLengthMinutes: 480 });
    expect(check.body.findings).toContainEqual(
      expect.objectContaining({ rule: "cycle/booking-day-too-long@1", outcome: "warn" }),
    );
  });
});

describe("leaving the yard", () => {
  it("is not possible with the as-done record alone: it takes the next date, or a reason and a name", async () => {
    const record = {
      doneAt: "2026-10-14T07:00:00+01:00",
      asPlanned: false,
      feet: [
        {
          foot: "LF",
          breakoverBeforeMm: 9,
          breakoverAfterMm: 6,
          heelRemovedMm: 2,
          toeBackMm: 3,
          shoe: "bare",
          supportFill: "none",
          fixing: "none",
        },
      ],
    };
    const send = (nextReset?: object) =>
      service.farrier.send("post", `/horses/${service.horseId}/shoeing-records`, {
        ...record,
        ...(nextReset === undefined ? {} : { nextReset }),
      });
    for (const missing of [
      undefined,
      { noDateReason: "Owner away" },
      { personToBook: service.manager.id },
      { noDateReason: " ", personToBook: service.manager.id },
    ])
      // oxlint-disable-next-line no-await-in-loop
      expect((await send(missing)).status).toBe(400);
    const named = await send({ noDateReason: "Owner away", personToBook: service.manager.id });
    expect(named.status, named.text).toBe(201);
    expect(await read(named.body.nextResetId)).toMatchObject({ status: "open" });
    const dated = await send({ bookedFor: "2026-11-10T09:00:00+00:00" });
    expect(dated.status, dated.text).toBe(201);
    expect(await read(dated.body.nextResetId)).toMatchObject({ status: "booked" });
  });
});

describe("the due board of the demo morning", () => {
  it("shows Bosun Reed and Quarry Finch red, Fiddle Mist amber from the first day late, and names a person for each", async () => {
    await addHorse({ name: "Bosun Reed", farrier: second, lastDoneOn: "2026-09-03" });
    await addHorse({ name: "Quarry Finch", lastDoneOn: "2026-09-02", intervalDays: 35 });
    await addHorse({ name: "Fiddle Mist", farrier: second, lastDoneOn: "2026-09-14" });
    await addHorse({ name: "Button Rook", lastDoneOn: "2026-09-16" });
    await addHorse({ name: "Tuppence Gale", lastDoneOn: "2026-09-17", farrier: third });
    await addHorse({ name: "Lantern Moth", lastDoneOn: "2026-09-30", intervalDays: 42 });
    const { body } = await service.manager.get("/resets");
    const board = body.items.map(
      (one: { horse: { name: string }; state: string; daysLate: number }) => [
        one.horse.name,
        one.state,
        one.daysLate,
      ],
    );
    expect(board).toEqual([
      ["Bosun Reed", "red", 13],
      ["Quarry Finch", "red", 7],
      ["Fiddle Mist", "amber", 2],
      ["Button Rook", "due", 0],
      ["Tuppence Gale", "due soon", -1],
      ["Lantern Moth", "not due", -28],
    ]);
    for (const one of body.items.slice(0, 3)) {
      expect(one.whoseMove.person.length).toBeGreaterThan(3);
      expect(one.whoseMove.action).not.toBe("none");
    }
  });

  it("can be read by the days until the fast edge of growth meets the limit, the thinnest slack first", async () => {
    await addHorse({
      name: "Marl Hopper",
      lastDoneOn: "2026-10-05",
      forecastLimitOn: "2026-11-03",
    });
    await addHorse({ name: "Bosun Reed", lastDoneOn: "2026-09-03", forecastLimitOn: "2026-10-08" });
    await addHorse({
      name: "Quarry Finch",
      lastDoneOn: "2026-09-02",
      forecastLimitOn: "2026-10-11",
    });
    await addHorse({ name: "No forecast", lastDoneOn: "2026-09-10" });
    const { body } = await service.manager.get("/resets?sort=latest%20safe");
    expect(body.items.map(nameOf)).toEqual([
      "Bosun Reed",
      "Quarry Finch",
      "Marl Hopper",
      "No forecast",
    ]);
    expect(
      body.items.map((one: { daysUntilLatestSafe: number | null }) => one.daysUntilLatestSafe),
    ).toEqual([-6, -3, 20, null]);
  });
});

describe("a visit that is cancelled", () => {
  it("is not saved without a new date or a name, opens a list of free times, and leaves the due day where it was", async () => {
    const { id } = await addHorse({
      name: "Marl Hopper",
      lastDoneOn: "2026-09-24",
      bookedFor: "2026-10-16T09:00:00+01:00",
    });
    const cancel = (more: object) =>
      service.farrier.send(
        "post",
        `/resets/${id}/cancellation`,
        { kind: "cancelled", detail: "Van off the road", ...more },
        1,
      );
    expect((await cancel({})).status).toBe(400);
    const named = await cancel({ personToRebook: service.manager.id });
    expect(named.status, named.text).toBe(200);
    expect(named.body).toMatchObject({ status: "open", dueOn: "2026-10-22", bookedFor: null });
    const slots = await service.manager.get(`/resets/${id}/slots`);
    expect(slots.body.items.length).toBeGreaterThan(0);
    for (const slot of slots.body.items) expect(slot.on <= slots.body.lastDayOn).toBe(true);
    const [slot] = slots.body.items;
    const booked = await service.manager.send(
      "post",
      `/resets/${id}/booking`,
      { bookedFor: slot.startAt, farrierId: slot.farrier.id },
      named.body.version,
    );
    expect(booked.status, booked.text).toBe(200);
    expect(booked.body).toMatchObject({ status: "booked", dueOn: "2026-10-22" });
  });
});

describe("the owner's answer", () => {
  it.each([
    ["Yes", "yes", "carry out"],
    ["No", "no", "chase the owner"],
    ["Call me", "call me", "chase the owner"],
  ])("%s from a text updates the board", async (words, answer, action) => {
    const { id } = await addHorse({
      name: "Old Tollgate",
      lastDoneOn: "2026-09-20",
      bookedFor: "2026-10-16T09:00:00+01:00",
    });
    const logged = await service.manager.send("post", `/resets/${id}/attempts`, {
      detail: "Text to the owner",
      channel: "text",
      at: "2026-10-14T07:00:00+01:00",
      reply: words,
    });
    expect(logged.status, logged.text).toBe(201);
    expect(await read(id)).toMatchObject({ ownerAnswer: answer, whoseMove: { action } });
  });
});

describe("the contact log", () => {
  it("puts the two unanswered texts to Bosun Reed's owner on the alert", async () => {
    const { id } = await addHorse({ name: "Bosun Reed", lastDoneOn: "2026-09-03" });
    for (const at of ["2026-10-02T09:00:00+01:00", "2026-10-08T09:00:00+01:00"])
      // oxlint-disable-next-line no-await-in-loop
      await service.manager.send("post", `/resets/${id}/attempts`, {
        detail: "Text to the owner: no answer",
        channel: "text",
        at,
      });
    const reset = await read(id);
    expect(reset.state).toBe("red");
    expect(reset.reasons).toContain("2 unanswered tries: text 2 October 2026, text 8 October 2026");
  });
});

describe("a farrier who is away", () => {
  it("has his list, with the plans, moved to the newly qualified one, and a first fit is flagged as needing a second pair of hands", async () => {
    await service.manager.send(
      "put",
      `/people/${third.id}/working-week`,
      {
        hours: [1, 2, 3, 4, 5].map((weekday) => ({ weekday, starts: "08:00", ends: "15:30" })),
        skills: [],
        yardIds: [...yardIds.values()],
      },
      1,
    );
    // Nobody else covers these yards.
    await service.manager.send(
      "put",
      `/people/${service.farrier.id}/working-week`,
      { hours: [], skills: ["glue-on"], yardIds: [] },
      1,
    );
    const simple = await addHorse({
      name: "Old Tollgate",
      farrier: second,
      lastDoneOn: "2026-09-11",
      intervalDays: 35,
      bookedFor: "2026-10-16T10:00:00+01:00",
    });
    const first = await addHorse({
      name: "Bosun Reed",
      farrier: second,
      lastDoneOn: "2026-09-18",
      bookedFor: "2026-10-15T09:00:00+01:00",
    });
    await service.query(
      `INSERT INTO prescriptions (practice_id, id, horse_id, case_id, number, status, aim, feet, interval_days, drafted_by, signed_by, signed_at)
       VALUES ($1, gen_random_uuid(), $2, $3, 1, 'signed', 'unload the toe', $4, 28, $5, $5, now())`,
      [
        service.practiceId,
        first.horseId,
        first.caseId,
        JSON.stringify([{ foot: "LF", shoe: "heart-bar", fixing: "nailed" }]),
        service.vet.id,
      ],
    );
    const away = { farrierId: second.id, fromOn: "2026-10-15", toOn: "2026-10-23" };
    const { body: seen } = await service.manager.send("post", "/covers/preview", away);
    interface Move {
      readonly resetId: string;
      readonly resetVersion: number;
      readonly to: { readonly id: string } | null;
      readonly lacks: readonly string[];
      readonly prescriptionId: string | null;
    }
    const moves = seen.moves as readonly Move[];
    const of = (id: string) => moves.find((move) => move.resetId === id);
    expect(moves).toHaveLength(2);
    expect(of(simple.id)).toMatchObject({ to: { id: third.id }, lacks: [] });
    expect(of(first.id)).toMatchObject({ to: { id: third.id }, lacks: ["complex first fit"] });
    expect(of(first.id)?.prescriptionId).toEqual(expect.any(String));
    const moved = await service.manager.send("post", "/covers", {
      ...away,
      reason: "ill",
      moves: moves.map((move) => ({
        resetId: move.resetId,
        toFarrierId: move.to?.id,
        resetVersion: move.resetVersion,
      })),
    });
    expect(moved.status, moved.text).toBe(201);
    expect(moved.body.results.map((one: { outcome: string }) => one.outcome)).toEqual([
      "moved",
      "moved",
    ]);
    const list = await third.get("/resets");
    expect(list.body.items.map(nameOf).toSorted()).toEqual(["Bosun Reed", "Old Tollgate"]);
    expect((await third.get(`/cases/${first.caseId}`)).status, "with its case and plan").toBe(200);
    expect((await read(first.id)).dueOn, "a cover moves no due day").toBe("2026-10-16");
  });
});
