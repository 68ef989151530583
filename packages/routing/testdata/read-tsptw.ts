import { readFileSync } from "node:fs";
import type { DayRouteProblem } from "../src/day/day-route-types.ts";

/**
 * Reads a public instance of the travelling salesman problem with time windows: the number of nodes,
 * the matrix of times (service included), then `open close` of each node; node 0 is the depot.
 * One unit becomes one second.
 */
export const readTsptw = (text: string): DayRouteProblem => {
  const figures = text.trim().split(/\s+/).map(Number);
  const nodes = figures[0]!;
  const seconds = Array.from({ length: nodes }, (_, row) =>
    figures.slice(1 + row * nodes, 1 + (row + 1) * nodes),
  );
  const windowOf = (node: number): { openMs: number; closeMs: number } => ({
    openMs: figures[1 + nodes * nodes + 2 * node]! * 1000,
    closeMs: figures[2 + nodes * nodes + 2 * node]! * 1000,
  });
  const placeIds = Array.from({ length: nodes }, (_, node) => `n${node}`);
  const depot = windowOf(0);
  return {
    startPlaceId: "n0",
    endPlaceId: "n0",
    startMs: depot.openMs,
    endMs: depot.closeMs,
    drive: { placeIds, seconds, metres: seconds },
    stops: placeIds.slice(1).map((placeId, index) => ({
      id: placeId,
      placeId,
      serviceMinutes: 0,
      window: windowOf(index + 1),
    })),
  };
};

/** One of the instances kept beside this file. */
export const publicInstance = (name: string): DayRouteProblem =>
  readTsptw(readFileSync(new URL(`./tsptw/${name}.txt`, import.meta.url), "utf8"));
