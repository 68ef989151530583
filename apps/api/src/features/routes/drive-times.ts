import {
  estimateDriveMatrix,
  type DriveMatrix,
  type DriveSettings,
  type Place,
} from "@heelward/routing";
import { z } from "zod";

/** Where a matrix comes from. */
export type DriveSource = "road server" | "estimate";

export interface DriveAnswer {
  readonly drive: DriveMatrix;
  readonly source: DriveSource;
}

/** Asks for the drives between all places; answers with the estimate when there is nothing better. */
export interface DriveTimesProvider {
  readonly matrix: (places: readonly Place[], settings: DriveSettings) => Promise<DriveAnswer>;
}

/** The estimate alone. */
export const estimatedDrives: DriveTimesProvider = {
  matrix: (places, settings) =>
    Promise.resolve({ drive: estimateDriveMatrix(places, settings), source: "estimate" }),
};

export interface RoadServerOptions {
  /** Address of the server, without a slash at the end. */
  readonly baseUrl: string;
  readonly timeoutMs?: number;
  /** Milliseconds a drive is remembered; roads change slowly. */
  readonly keepMs?: number;
  /** Drives remembered at most. */
  readonly mostKept?: number;
  /** After a failure the server is left alone for this long. */
  readonly restMs?: number;
  /** Epoch ms. */
  readonly now: () => number;
}

const number = z.number().nonnegative();
/** source: OSRM HTTP API v5, table service: code, durations in seconds, distances in metres, null without a route. */
const tableAnswer = z.object({
  code: z.literal("Ok"),
  durations: z.array(z.array(number.nullable())),
  distances: z.array(z.array(number.nullable())),
});

interface Kept {
  readonly seconds: number;
  readonly metres: number;
  readonly untilMs: number;
}

/** Five decimals are about a metre: the same yard gives the same key. */
const coordinate = ({ at }: Place): string =>
  `${at.lonDegrees.toFixed(5)},${at.latDegrees.toFixed(5)}`;

/** The server's own default limit for a table. */
const MOST_PLACES = 100;

/**
 * Drives from an OSRM-compatible server, remembered pair by pair. A slow, broken or silent server,
 * too many places for one table, or a pair without a road: then the estimate answers, and the server is left
 * alone for a minute, so that nobody waits twice for it.
 */
export const roadServer = (options: RoadServerOptions): DriveTimesProvider => {
  const { baseUrl, now } = options;
  const timeoutMs = options.timeoutMs ?? 4_000;
  const keepMs = options.keepMs ?? 30 * 86_400_000;
  const mostKept = options.mostKept ?? 50_000;
  const restMs = options.restMs ?? 60_000;
  const kept = new Map<string, Kept>();
  let restsUntilMs = Number.NEGATIVE_INFINITY;

  const recall = (key: string): Kept | undefined => {
    const found = kept.get(key);
    return found !== undefined && found.untilMs > now() ? found : undefined;
  };
  const remember = (key: string, drive: Kept): void => {
    kept.delete(key);
    kept.set(key, drive);
    if (kept.size <= mostKept) return;
    const [oldest] = kept.keys();
    if (oldest !== undefined) kept.delete(oldest);
  };
  const ask = async (points: readonly string[]): Promise<void> => {
    const answer = await fetch(
      `${baseUrl}/table/v1/driving/${points.join(";")}?annotations=duration,distance`,
      { signal: AbortSignal.timeout(timeoutMs), redirect: "error" },
    );
    if (!answer.ok) throw new Error(`the road server answered ${answer.status}`);
    const { durations, distances } = tableAnswer.parse(await answer.json());
    const untilMs = now() + keepMs;
    points.forEach((from, row) => {
      points.forEach((to, column) => {
        const seconds = durations[row]?.[column];
        const metres = distances[row]?.[column];
        if (typeof seconds === "number" && typeof metres === "number")
          remember(`${from};${to}`, {
            seconds: Math.round(seconds),
            metres: Math.round(metres),
            untilMs,
          });
      });
    });
  };

  return {
    matrix: async (places, settings) => {
      const points = places.map(coordinate);
      const distinct = [...new Set(points)];
      const knowsAll = (): boolean =>
        distinct.every((from) =>
          distinct.every((to) => from === to || recall(`${from};${to}`) !== undefined),
        );
      const estimate = estimateDriveMatrix(places, settings);
      if (!knowsAll()) {
        if (distinct.length > MOST_PLACES || now() < restsUntilMs)
          return { drive: estimate, source: "estimate" };
        try {
          await ask(distinct);
        } catch {
          restsUntilMs = now() + restMs;
          return { drive: estimate, source: "estimate" };
        }
        // A pair without a road between: a mixture of two sources would not be comparable.
        if (!knowsAll()) return { drive: estimate, source: "estimate" };
      }
      const figure = (from: string, to: string, what: "seconds" | "metres"): number =>
        from === to ? 0 : (recall(`${from};${to}`)?.[what] ?? 0);
      return {
        drive: {
          placeIds: estimate.placeIds,
          seconds: points.map((from) => points.map((to) => figure(from, to, "seconds"))),
          metres: points.map((from) => points.map((to) => figure(from, to, "metres"))),
        },
        source: "road server",
      };
    },
  };
};
