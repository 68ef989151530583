import { randomUUID } from "node:crypto";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startTestService, type TestService } from "../support/service.ts";

let service: TestService;
const DAY = "2026-10-15";
const HOME = { lat: 53.27, lon: -9.05 };
/** Invented yards around an invented home. */
const YARDS = {
  north: { lat: 53.45, lon: -9.05 },
  east: { lat: 53.27, lon: -8.7 },
  south: { lat: 53.1, lon: -9.0 },
  west: { lat: 53.3, lon: -9.4 },
} as const;
const ids = new Map<string, string>();

const addYard = async (name: string, at: { lat: number; lon: number }): Promise<string> => {
  const id = randomUUID();
  await service.query(
    "INSERT INTO yards (practice_id, id, name, lat, lon, time_zone) VALUES ($1, $2, $3, $4, $5, 'Europe/Dublin')",
    [service.practiceId, id, name, at.lat, at.lon],
  );
  ids.set(name, id);
  return id;
};
/** A horse with its reset: done on a day, every four weeks, booked at an hour or not. */
const addHorse = async (
  name: string,
  yard: string,
  lastDoneOn: string,
  bookedFor: string | null,
  minutes: number | null = 45,
  farrierId = service.farrier.id,
): Promise<void> => {
  const horse = randomUUID();
  await service.query(
    "INSERT INTO horses (practice_id, id, name, type, sex, yard_id, farrier_id) VALUES ($1, $2, $3, 'horse', 'mare', $4, $5)",
    [service.practiceId, horse, name, ids.get(yard), farrierId],
  );
  await service.query(
    `INSERT INTO resets (practice_id, id, horse_id, farrier_id, status, last_done_on, interval_days, due_on, booked_for, booked_minutes)
     VALUES ($1, gen_random_uuid(), $2, $3, $4, $5, 28, $5::date + 28, $6, $7)`,
    [
      service.practiceId,
      horse,
      farrierId,
      bookedFor === null ? "open" : "booked",
      lastDoneOn,
      bookedFor,
      minutes,
    ],
  );
};
const at = (clock: string): string => `${DAY}T${clock}:00+01:00`;

beforeAll(async () => {
  service = await startTestService();
  for (const [name, place] of Object.entries(YARDS)) await addYard(name, place);
  await service.query("UPDATE practices SET lat = $1, lon = $2", [HOME.lat, HOME.lon]);
});
afterAll(async () => {
  await service.close();
});

const readDay = async (query = "", person = service.farrier) => {
  const answer = await person.get(`/route-days/${DAY}${query}`);
  expect(answer.status).toBe(200);
  return answer.body;
};
const orderOf = (body: { stops: { yard: { name: string } }[] }) =>
  body.stops.map((stop) => stop.yard.name);

/** Distance on a sphere by the spherical law of cosines: another formula than the service's. */
const kilometres = (a: { lat: number; lon: number }, b: { lat: number; lon: number }): number => {
  const rad = Math.PI / 180;
  return (
    6371.0088 *
    Math.acos(
      Math.sin(a.lat * rad) * Math.sin(b.lat * rad) +
        Math.cos(a.lat * rad) * Math.cos(b.lat * rad) * Math.cos((a.lon - b.lon) * rad),
    )
  );
};
const permutations = <T>(items: readonly T[]): T[][] =>
  items.length === 0
    ? [[]]
    : items.flatMap((one) =>
        permutations(items.filter((other) => other !== one)).map((rest) => [one, ...rest]),
      );

describe("a farrier's day", () => {
  it("is empty when nothing is booked", async () => {
    expect(await readDay()).toMatchObject({
      date: DAY,
      farrier: { id: service.farrier.id, name: "Fintan Farrier" },
      stops: [],
      proof: "nothing to plan",
      endsAt: null,
      totalKm: 0,
      unplanned: [],
      map: null,
    });
  });

  it("drives the shortest round: no order of all there are is shorter", async () => {
    for (const [name, clock] of [
      ["north", "09:00"],
      ["south", "11:00"],
      ["east", "13:00"],
      ["west", "15:00"],
    ] as const)
      await addHorse(`Of ${name}`, name, "2026-09-20", at(clock));
    const body = await readDay();
    const shortest = Math.min(
      ...permutations(Object.values(YARDS)).map((order) => {
        const round = [HOME, ...order, HOME];
        return round
          .slice(1)
          .reduce((sum, place, step) => sum + kilometres(round[step] ?? HOME, place), 0);
      }),
    );
    // 1.35 road km per straight km: house rule, the standard value of routing/circuity.
    expect(body.totalKm).toBeCloseTo(shortest * 1.35, 0);
    expect(body.proof).toBe("optimal");
    expect(body.workMinutes).toBe(180);
    expect(body.start).toEqual(HOME);
  });

  it("gives times on the yard's clock that follow from one another", async () => {
    const body = await readDay();
    let leftMs = Date.parse(body.departsAt);
    for (const stop of body.stops) {
      expect(stop.arriveAt).toMatch(/\+01:00$/);
      expect(
        Math.abs(Date.parse(stop.arriveAt) - leftMs - stop.driveMinutes * 60_000),
      ).toBeLessThan(61_000);
      expect(Date.parse(stop.startAt)).toBeGreaterThanOrEqual(Date.parse(stop.arriveAt));
      expect(Date.parse(stop.leaveAt) - Date.parse(stop.startAt)).toBe(45 * 60_000);
      expect(stop.slackMinutes).toBeGreaterThanOrEqual(0);
      leftMs = Date.parse(stop.leaveAt);
    }
    expect(Date.parse(body.endsAt)).toBeGreaterThan(leftMs);
  });

  it("links each yard for the phone's own navigation and draws the day as GeoJSON", async () => {
    const body = await readDay();
    for (const stop of body.stops)
      // source: RFC 5870, section 3
      expect(stop.geoLink).toBe(`geo:${stop.yard.lat},${stop.yard.lon}`);
    // source: RFC 7946, sections 3.1.4 and 3.3: longitude first
    const [line, ...points] = body.map.features;
    expect(line.geometry.type).toBe("LineString");
    expect(line.geometry.coordinates[0]).toEqual([HOME.lon, HOME.lat]);
    expect(points).toHaveLength(4);
  });

  it("says when the plan comes at another time than the yard was told", async () => {
    const body = await readDay();
    expect(
      body.problems.some((line: string) =>
        /was booked for \d\d:\d\d and is planned for \d\d:\d\d: tell the yard/.test(line),
      ),
    ).toBe(true);
  });

  it("takes two horses of a yard in one stop, the one in trouble first", async () => {
    await addHorse("Late One", "south", "2026-08-01", at("11:45"), null);
    const body = await readDay();
    const south = body.stops.find((stop: { yard: { name: string } }) => stop.yard.name === "south");
    expect(south.horses.map((horse: { name: string }) => horse.name)).toEqual([
      "Late One",
      "Of south",
    ]);
    expect(south.horses[0]).toMatchObject({ state: "red", minutes: 45 });
    expect(south.horses[0].why).toMatch(/\d+ days late/);
    expect(south.resetIds).toHaveLength(2);
    // The yard with a red horse comes before all others, although the round is longer for it.
    expect(orderOf(body)[0]).toBe("south");
  });

  it("puts a horse whose pain is up first, late or not", async () => {
    await service.query("DELETE FROM resets WHERE last_done_on = '2026-08-01'");
    const [horse] = await service.query("SELECT id FROM horses WHERE name = 'Of east'");
    await service.query(
      `INSERT INTO examinations (practice_id, id, horse_id, kind, examined_at, examined_by, five_sign_score, is_red_flag)
       VALUES ($1, gen_random_uuid(), $2, 'care check', '2026-10-14T05:00:00Z', $3, 8, true)`,
      [service.practiceId, horse?.["id"], service.carer.id],
    );
    expect(orderOf(await readDay())[0]).toBe("east");
    await service.query("DELETE FROM examinations");
  });

  it("keeps opening hours, and leaves out what is closed, with the reason", async () => {
    const open = (weekday: number, opens: string, closes: string) =>
      JSON.stringify([{ weekday, opens, closes }]);
    // 15 October 2026 is a Thursday.
    await service.query("UPDATE yards SET opening = $1 WHERE name = 'west'", [
      open(4, "08:00", "10:00"),
    ]);
    await service.query("UPDATE yards SET opening = $1 WHERE name = 'north'", [
      open(3, "08:00", "18:00"),
    ]);
    await service.query(
      "UPDATE yards SET closed_on = ARRAY['2026-10-15'::date] WHERE name = 'east'",
    );
    const body = await readDay();
    const west = body.stops.find((stop: { yard: { name: string } }) => stop.yard.name === "west");
    expect(Date.parse(west.leaveAt)).toBeLessThanOrEqual(Date.parse(at("10:00")));
    expect(body.unplanned).toEqual([
      { horse: "Of north", reason: "north: the yard does not open on this day of the week" },
      { horse: "Of east", reason: "east: the yard is closed on this day" },
    ]);
    expect(orderOf(body).toSorted()).toEqual(["south", "west"]);
  });

  it("leaves out the less pressing of two that cannot both be done", async () => {
    const short = JSON.stringify([{ weekday: 4, opens: "08:30", closes: "10:00" }]);
    await service.query("UPDATE yards SET opening = $1 WHERE name IN ('west', 'south')", [short]);
    await service.query(
      "UPDATE resets SET last_done_on = '2026-08-10', due_on = '2026-09-07' WHERE horse_id = (SELECT id FROM horses WHERE name = 'Of west')",
    );
    const body = await readDay();
    expect(orderOf(body)).toEqual(["west"]);
    expect(body.unplanned).toContainEqual({
      horse: "Of south",
      reason: expect.stringContaining("does not fit beside the more pressing visits"),
    });
    const early = await readDay("?startTime=09:45");
    expect(early.unplanned.map((one: { horse: string }) => one.horse)).toContain("Of west");
    await service.query("UPDATE yards SET opening = '[]', closed_on = '{}'");
  });

  it("names horses that are due within three days and have no date", async () => {
    await addHorse("No Date", "west", "2026-09-20", null);
    await addHorse("Later", "west", "2026-09-21", null);
    await addHorse("Long Due", "west", "2026-08-20", null);
    const { problems } = await readDay();
    expect(problems).toContain("No Date at west is due on 18 October 2026 and has no date yet.");
    expect(problems.some((line: string) => line.startsWith("Long Due"))).toBe(true);
    expect(problems.some((line: string) => line.startsWith("Later"))).toBe(false);
  });

  it("starts where the farrier says, and says so when nobody knows where", async () => {
    const body = await readDay("?startLat=53.1&startLon=-9.0&startTime=06:30");
    expect(body.start).toEqual({ lat: 53.1, lon: -9 });
    await service.query("UPDATE practices SET lat = NULL, lon = NULL");
    const nowhere = await readDay();
    expect(nowhere).toMatchObject({ start: null, map: null });
    expect(nowhere.stops).toHaveLength(4);
    expect(nowhere.problems.some((line: string) => line.includes("no place on the map"))).toBe(
      true,
    );
    await service.query("UPDATE practices SET lat = $1, lon = $2", [HOME.lat, HOME.lon]);
  });

  it("goes by the practice's own driving speed from its day on", async () => {
    const before = await readDay();
    const set = await service.vet.send("post", "/settings", {
      key: "routing/speed",
      value: 90,
      since: "2026-10-15",
      source: "Own trips",
    });
    expect(set.status).toBe(201);
    const after = await readDay();
    expect(after.totalKm).toBe(before.totalKm);
    expect(after.totalDriveMinutes * 2).toBeCloseTo(before.totalDriveMinutes, -1);
    const dayBefore = await service.farrier.get("/route-days/2026-10-14");
    expect(dayBefore.body.stops).toEqual([]);
  });

  it("is the farrier's own; vet and manager may look at any, nobody else at all", async () => {
    const other = await service.personWith("farrier", "Fergal Farrier");
    expect((await readDay("", other)).stops).toEqual([]);
    const path = `/route-days/${DAY}?farrierId=${service.farrier.id}`;
    expect((await other.get(path)).status).toBe(403);
    for (const person of [service.vet, service.manager]) {
      const seen = await person.get(path);
      expect(seen.status).toBe(200);
      expect(seen.body.stops).toHaveLength(4);
    }
    expect((await service.carer.get(path)).status).toBe(403);
    expect((await service.owner.get(path)).status).toBe(403);
    expect((await service.manager.get(`/route-days/${DAY}`)).status).toBe(400);
    expect(
      (await service.manager.get(`/route-days/${DAY}?farrierId=${service.vet.id}`)).status,
    ).toBe(404);
    expect((await service.farrier.get(`/route-days/${DAY}?startLat=53`)).status).toBe(400);
    expect((await service.farrier.get("/route-days/2026-02-30")).status).toBe(400);
  });
});
