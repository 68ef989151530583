import { MS_PER_HOUR, type InstantMs } from "@heelward/domain/time";
import type { Calendar } from "./calendar.ts";
import type { Perform } from "./desk.ts";

/** Something that happens in the story. */
export interface StoryEvent {
  readonly atMs: InstantMs;
  /** For people who look for a fault: whose and what. */
  readonly what: string;
  /** The only horse it touches; absent where it touches more than one horse. */
  readonly horse?: string;
  readonly run: () => Promise<void>;
}

/** Names of the story to ids of the service; filled as the story goes on. */
export interface Register {
  readonly people: Map<string, string>;
  readonly yards: Map<string, string>;
  readonly horses: Map<string, string>;
  /** Open case of a horse. */
  readonly cases: Map<string, string>;
  /** Films by horse, day and foot: `H01 2026-07-08 LF`. */
  readonly films: Map<string, string>;
  /** Plans by their name in the story, with the version last seen. */
  readonly plans: Map<string, { readonly id: string; readonly version: number }>;
  /** Courses by a name of the loader's own, with the version last seen. */
  readonly courses: Map<string, string>;
  /** Running reset of a horse. */
  readonly resets: Map<string, string>;
}

export const emptyRegister = (): Register => ({
  people: new Map(),
  yards: new Map(),
  horses: new Map(),
  cases: new Map(),
  films: new Map(),
  plans: new Map(),
  courses: new Map(),
  resets: new Map(),
});

/** What every chapter of the story works with. */
export interface Telling {
  readonly calendar: Calendar;
  readonly perform: Perform;
  readonly register: Register;
  /** Adds an event; the order of adding decides between events of the same minute. */
  readonly tell: (
    atMs: InstantMs,
    what: string,
    run: () => Promise<void>,
    /** The only horse it touches: within an hour, horses need not wait for each other. */
    horse?: string,
  ) => void;
}

/** An id that must be there by now. @throws Error when the story is told out of order. */
export const known = <T>(map: ReadonlyMap<string, T>, name: string): T => {
  const id = map.get(name);
  if (id === undefined) throw new Error(`the demo speaks of ${name} too early`);
  return id;
};

/** An instant as the contracts want it. */
export const iso = (atMs: InstantMs): string => new Date(atMs).toISOString();

const run = async (event: StoryEvent): Promise<void> => {
  try {
    await event.run();
  } catch (error) {
    throw new Error(`demo, ${iso(event.atMs)}, ${event.what}: ${String(error)}`, { cause: error });
  }
};

/** Lanes at once: while one waits for the database another works. */
const LANES = 3;

/** Events of several horses: in order for each horse, side by side for different ones. */
const runSideBySide = async (events: readonly StoryEvent[]): Promise<void> => {
  const byHorse = new Map<string | undefined, StoryEvent[]>();
  for (const event of events)
    byHorse.set(event.horse, [...(byHorse.get(event.horse) ?? []), event]);
  const lanes = [...byHorse.values()];
  let taken = 0;
  const work = async (): Promise<void> => {
    for (let lane = lanes[taken]; lane !== undefined; lane = lanes[taken]) {
      taken += 1;
      // Later events of a horse build on earlier ones, as in life.
      // oxlint-disable-next-line no-await-in-loop
      for (const event of lane) await run(event);
    }
  };
  const ended = await Promise.allSettled(Array.from({ length: LANES }, work));
  for (const one of ended) if (one.status === "rejected") throw one.reason;
};

/** Runs everything that has happened by then, hour after hour. */
export const playInOrder = async (
  events: readonly StoryEvent[],
  untilMs: InstantMs,
): Promise<void> => {
  const due = events.filter((event) => event.atMs <= untilMs).toSorted((a, b) => a.atMs - b.atMs);
  const hourOf = ({ atMs }: StoryEvent): number => Math.floor(atMs / MS_PER_HOUR);
  let waiting: StoryEvent[] = [];
  for (const event of due) {
    const [first] = waiting;
    if (first !== undefined && (event.horse === undefined || hourOf(first) !== hourOf(event))) {
      // oxlint-disable-next-line no-await-in-loop
      await runSideBySide(waiting);
      waiting = [];
    }
    if (event.horse === undefined) {
      // What touches the whole practice waits for everybody.
      // oxlint-disable-next-line no-await-in-loop
      await run(event);
    } else waiting.push(event);
  }
  await runSideBySide(waiting);
};
