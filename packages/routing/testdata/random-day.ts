import type { DayRouteProblem, RouteStop } from "../src/day/day-route-types.ts";
import { randomStream } from "../src/random.ts";

/** A random small day: asymmetric drive times, windows on some stops, sometimes a break and order rules. */
export const randomDay = (stops: number, seed: number, plain = false): DayRouteProblem => {
  const random = randomStream(seed);
  const yards = Math.max(2, stops - random.below(3));
  const placeIds = ["home", ...Array.from({ length: yards }, (_, yard) => `Y${yard}`), "end"];
  const points = placeIds.map(() => [random.next() * 3000, random.next() * 3000] as const);
  const seconds = points.map((from) =>
    points.map((to) =>
      from === to
        ? 0
        : Math.round(Math.hypot(from[0] - to[0], from[1] - to[1]) * (1 + 0.2 * random.next())),
    ),
  );
  const startMs = Date.UTC(2026, 9, 14, 7);
  const list = Array.from({ length: stops }, (_, index): RouteStop => {
    const openMs = startMs + random.below(9000) * 1000;
    return {
      id: `S${index}`,
      placeId: `Y${plain ? index % yards : random.below(yards)}`,
      serviceMinutes: 5 + random.below(20),
      ...(random.next() < 0.6
        ? { window: { openMs, closeMs: openMs + (1800 + random.below(9000)) * 1000 } }
        : {}),
      ...(!plain && random.next() < 0.15 ? { finishByMs: startMs + 16_000_000 } : {}),
      ...(!plain && random.next() < 0.15 ? { mustBeFirst: true } : {}),
    };
  });
  return {
    startPlaceId: "home",
    endPlaceId: random.next() < 0.5 ? "home" : "end",
    startMs,
    endMs: startMs + 26_000_000,
    stops: list,
    drive: { placeIds, seconds, metres: seconds.map((row) => row.map((value) => value * 12)) },
    ...(!plain && random.next() < 0.5
      ? {
          dayBreak: {
            fromMs: startMs + 7_000_000,
            untilMs: startMs + 11_000_000,
            minutes: 30,
          },
        }
      : {}),
    ...(!plain && random.next() < 0.3 && stops > 2 ? { precedence: [["S1", "S0"] as const] } : {}),
    keepYardTogether: !plain && random.next() < 0.5,
  };
};
