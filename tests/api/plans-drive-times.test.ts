import { randomUUID } from "node:crypto";
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { DEFAULT_DRIVE_SETTINGS, estimateDriveMatrix, type Place } from "@heelward/routing";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { roadServer } from "../../apps/api/src/features/routes/drive-times.ts";
import { startTestService, type TestService } from "../support/service.ts";

type Answer = (points: readonly (readonly [number, number])[]) => {
  readonly status?: number;
  readonly body: unknown;
  readonly afterMs?: number;
};

/**
 * A stand-in with the documented table service. source: OSRM HTTP API v5, "Table service":
 * `/table/v1/driving/{lon,lat;…}?annotations=duration,distance` answers `code`, `durations` in
 * seconds and `distances` in metres, rows from, columns to.
 */
let server: Server;
let baseUrl: string;
let asked: string[] = [];
let answer: Answer;
const honest: Answer = (points) => ({
  body: {
    code: "Ok",
    durations: points.map((_, from) =>
      points.map((__, to) => (from === to ? 0 : 600 + from * 10 + to)),
    ),
    distances: points.map((_, from) =>
      points.map((__, to) => (from === to ? 0 : 10_000.4 + from * 100 + to)),
    ),
    sources: points.map((location) => ({ location, hint: "", distance: 1.2, name: "" })),
    destinations: points.map((location) => ({ location, hint: "", distance: 1.2, name: "" })),
  },
});

beforeAll(async () => {
  server = createServer((request, reply) => {
    asked.push(request.url ?? "");
    const found = /^\/table\/v1\/driving\/([^?]+)\?annotations=duration,distance$/u.exec(
      request.url ?? "",
    );
    if (found === null) {
      reply.writeHead(404).end();
      return;
    }
    const points = (found[1] ?? "")
      .split(";")
      .map((pair) => pair.split(",").map(Number) as [number, number]);
    const { status = 200, body, afterMs = 0 } = answer(points);
    setTimeout(() => {
      reply
        .writeHead(status, { "content-type": "application/json" })
        .end(typeof body === "string" ? body : JSON.stringify(body));
    }, afterMs);
  });
  await new Promise<void>((resolve) => {
    server.listen(0, "127.0.0.1", resolve);
  });
  baseUrl = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
});
beforeEach(() => {
  asked = [];
  answer = honest;
});
afterAll(async () => {
  server.closeAllConnections();
  await new Promise((resolve) => {
    server.close(resolve);
  });
});

const PLACES: readonly Place[] = [
  { id: "home", at: { latDegrees: 53.27, lonDegrees: -9.05 } },
  { id: "north", at: { latDegrees: 53.4, lonDegrees: -9.05 } },
  { id: "south", at: { latDegrees: 53.1, lonDegrees: -9 } },
];
const estimate = estimateDriveMatrix(PLACES, DEFAULT_DRIVE_SETTINGS);
let nowMs = 0;
const roads = (more: object = {}) => roadServer({ baseUrl, now: () => nowMs, ...more });
const matrix = (provider = roads(), places = PLACES) =>
  provider.matrix(places, DEFAULT_DRIVE_SETTINGS);

describe("drive times from a road server", () => {
  it("asks for one table, longitude first, and takes seconds and whole metres from it", async () => {
    const { drive, source } = await matrix();
    expect(source).toBe("road server");
    expect(asked).toEqual([
      "/table/v1/driving/-9.05000,53.27000;-9.05000,53.40000;-9.00000,53.10000?annotations=duration,distance",
    ]);
    expect(drive.placeIds).toEqual(["home", "north", "south"]);
    expect(drive.seconds).toEqual([
      [0, 601, 602],
      [610, 0, 612],
      [620, 621, 0],
    ]);
    expect(drive.metres[0]).toEqual([0, 10_001, 10_002]);
  });

  it("remembers each drive and asks again only for what is new or old", async () => {
    const provider = roads({ keepMs: 1000 });
    await matrix(provider);
    await matrix(provider);
    await matrix(provider, PLACES.slice(0, 2));
    expect(asked).toHaveLength(1);
    await matrix(provider, [...PLACES, { id: "new", at: { latDegrees: 53, lonDegrees: -9.2 } }]);
    expect(asked).toHaveLength(2);
    nowMs += 2000;
    await matrix(provider);
    expect(asked).toHaveLength(3);
  });

  it("asks once for two names of one place", async () => {
    const { drive } = await matrix(roads(), [...PLACES, { ...(PLACES[0] as Place), id: "end" }]);
    expect(asked[0]?.split(";")).toHaveLength(3);
    expect(drive.seconds[0]).toEqual([0, 601, 602, 0]);
    expect(drive.seconds[1]?.[3]).toBe(610);
  });

  it.each([
    ["an error of the server", () => ({ status: 500, body: { code: "InvalidUrl" } })],
    ["a refusal", () => ({ body: { code: "NoTable", message: "no route" } })],
    ["something that is not JSON", () => ({ body: "<html>" })],
    ["figures below zero", () => ({ body: { code: "Ok", durations: [[-1]], distances: [[-1]] } })],
    [
      "a table that is too small",
      () => ({ body: { code: "Ok", durations: [[0]], distances: [[0]] } }),
    ],
    [
      "a pair without a road",
      (points: readonly unknown[]) => ({
        body: {
          code: "Ok",
          durations: points.map(() => points.map(() => null)),
          distances: points.map(() => points.map(() => null)),
        },
      }),
    ],
    ["silence", () => ({ body: {}, afterMs: 60_000 })],
  ] as const)("falls back to the estimate on %s", async (_, broken) => {
    answer = broken as Answer;
    const found = await matrix(roads({ timeoutMs: 150 }));
    expect(found).toEqual({ drive: estimate, source: "estimate" });
  });

  it("falls back when nobody listens, and leaves the server alone for a while", async () => {
    answer = () => ({ status: 503, body: {} });
    const provider = roads({ restMs: 60_000 });
    await matrix(provider);
    expect((await matrix(provider)).source).toBe("estimate");
    expect(asked, "not asked again within the minute").toHaveLength(1);
    answer = honest;
    nowMs += 61_000;
    expect((await matrix(provider)).source).toBe("road server");
    const nobody = roadServer({ baseUrl: "http://127.0.0.1:9", now: () => nowMs });
    expect((await nobody.matrix(PLACES, DEFAULT_DRIVE_SETTINGS)).drive).toEqual(estimate);
  });

  it("does not send a table larger than the server's own limit", async () => {
    const many = Array.from({ length: 120 }, (_, index) => ({
      id: `p${index}`,
      at: { latDegrees: 53 + index / 1000, lonDegrees: -9 },
    }));
    expect((await matrix(roads(), many)).source).toBe("estimate");
    expect(asked).toEqual([]);
  });
});

/** Places of the invented scenario. */
const BASE = { lat: 53.214, lon: -9.041 };
const Y3 = { lat: 53.192, lon: -8.871 };
const Y4 = { lat: 53.305, lon: -9.118 };

describe("a farrier's day by road", () => {
  let service: TestService;
  afterEach(async () => {
    await service.close();
  });

  const prepare = async (yards: readonly (readonly [string, number, number])[]) => {
    await service.query("UPDATE practices SET lat = 53.27, lon = -9.05");
    for (const [name, lat, lon] of yards) {
      const [yard, horse] = [randomUUID(), randomUUID()];
      // oxlint-disable-next-line no-await-in-loop
      await service.query(
        "INSERT INTO yards (practice_id, id, name, lat, lon, time_zone) VALUES ($1, $2, $3, $4, $5, 'Europe/Dublin')",
        [service.practiceId, yard, name, lat, lon],
      );
      // oxlint-disable-next-line no-await-in-loop
      await service.query(
        "INSERT INTO horses (practice_id, id, name, type, sex, yard_id, farrier_id) VALUES ($1, $2, $3, 'horse', 'mare', $4, $5)",
        [service.practiceId, horse, `Horse of ${name}`, yard, service.farrier.id],
      );
      // oxlint-disable-next-line no-await-in-loop
      await service.query(
        `INSERT INTO resets (practice_id, id, horse_id, farrier_id, status, last_done_on, interval_days, due_on, booked_for, booked_minutes)
         VALUES ($1, gen_random_uuid(), $2, $3, 'booked', $4, 28, $4::date + 28, '2026-10-14T09:00:00+01:00', 60)`,
        [
          service.practiceId,
          horse,
          service.farrier.id,
          name === "Y4" ? "2026-09-08" : "2026-09-14",
        ],
      );
    }
  };

  it("uses the road server's figures where there is one", async () => {
    service = await startTestService({ roads: roadServer({ baseUrl, now: () => 0 }) });
    await prepare([["one", 53.4, -9.05]]);
    const day = await service.farrier.get("/route-days/2026-10-14");
    expect(day.status, day.text).toBe(200);
    // There: place 0 to 2; back: 2 to 1. Metres of the stand-in, see above.
    expect(day.body.stops[0].driveKm).toBe(10);
    expect(day.body.totalDriveMinutes).toBe(Math.round((601 + 610) / 60));
    expect(asked).toHaveLength(1);
  });

  it("goes to the red horse first and says the kilometres of the scenario's day", async () => {
    service = await startTestService();
    // The invented scenario: practice, Y3 and Y4; straight line × 1.35 gives 58.8 km in all.
    await prepare([
      ["Y3", Y3.lat, Y3.lon],
      ["Y4", Y4.lat, Y4.lon],
    ]);
    await service.query("UPDATE practices SET lat = $1, lon = $2", [BASE.lat, BASE.lon]);
    const day = await service.farrier.get("/route-days/2026-10-14");
    expect(day.body.stops.map((stop: { yard: { name: string } }) => stop.yard.name)).toEqual([
      "Y4",
      "Y3",
    ]);
    expect(day.body.totalKm).toBeCloseTo(58.8, 0);
    expect(Math.abs(day.body.totalKm - 58.8)).toBeLessThan(0.15);
    expect(day.body.stops[0].horses[0].state).toBe("red");
  });
});
