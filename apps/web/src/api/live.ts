import type { QueryClient } from "@tanstack/react-query";
import { isAffected } from "./affected-by.ts";
import { call } from "./client.ts";
import { type Ending, listenOnce, type StreamEvent } from "./event-stream.ts";

const ADDRESS = "/api/v1/events";
/** Changes that come in a burst are read again together. */
const GATHER_MS = 250;
/** Without a live line the page asks by itself this often. */
const POLL_MS = 60_000;
/** With one, only what the clock changes is asked for: a dose falls due without anybody's act. */
const CLOCK_MS = 5 * 60_000;
const FIRST_WAIT_MS = 1_000;
const LONGEST_WAIT_MS = 60_000;
/** A line that stood this long starts again from the shortest wait. */
const STEADY_MS = 10_000;

/** `live`: told of changes; `asking`: no line, the page asks by itself; `resting`: nobody looks at the page. */
type LiveState = "connecting" | "live" | "asking" | "resting";

let state: LiveState = "connecting";
const become = (next: LiveState): void => {
  state = next;
};

const topicsOf = ({ name, data }: StreamEvent): readonly string[] => {
  if (name !== "change") return [];
  try {
    const parsed: unknown = JSON.parse(data);
    return Array.isArray(parsed) ? parsed.filter((one) => typeof one === "string") : [];
  } catch {
    return [];
  }
};

/**
 * How long to wait before the next attempt, ms: doubled each time up to a minute, and spread over
 * half of that, so that a hundred phones do not come back in the same second after a restart.
 */
export const waitMs = (failures: number, random: number): number => {
  const full = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** Math.max(0, failures));
  return full / 2 + (full / 2) * random;
};

const pause = (ms: number, signal: AbortSignal): Promise<void> =>
  new Promise((resolve) => {
    const timer = setTimeout(resolve, ms);
    signal.addEventListener(
      "abort",
      () => {
        clearTimeout(timer);
        resolve();
      },
      { once: true },
    );
  });

/** Reads again what is on screen and may have changed; the rest is read when it is next shown. */
const refresher = (client: QueryClient) => {
  const gathered = new Set<string>();
  let timer: ReturnType<typeof setTimeout> | undefined;
  const readAgain = () => {
    timer = undefined;
    const topics = [...gathered];
    gathered.clear();
    void client.invalidateQueries({
      predicate: ({ queryKey: [id] }) => typeof id === "string" && isAffected(id, topics),
    });
  };
  return {
    add: (topics: readonly string[]) => {
      for (const topic of topics) gathered.add(topic);
      if (gathered.size > 0) timer ??= setTimeout(readAgain, GATHER_MS);
    },
    stop: () => clearTimeout(timer),
  };
};

/**
 * Keeps what is on screen up to date: listens to the service's changes and reads again what they
 * touch. A line that drops is taken up with the last event heard, later and later while it fails, and
 * meanwhile the page asks once a minute. While nobody looks at the page the line is put down, because
 * a browser holds only a few to one service. Returns how to stop.
 */
export const startLive = (client: QueryClient): (() => void) => {
  const stopping = new AbortController();
  const refresh = refresher(client);
  const askNow = () => refresh.add(["everything"]);
  let lastEventId: string | null = null;
  let resting = new AbortController();
  let failures = 0;
  const poll = setInterval(() => {
    if (state === "asking") askNow();
  }, POLL_MS);
  const clock = setInterval(() => {
    if (state === "live") refresh.add(["clock"]);
  }, CLOCK_MS);

  const hear = (event: StreamEvent) => {
    if (event.id !== null) lastEventId = event.id;
    refresh.add(topicsOf(event));
  };
  /** Anything but empty asks the service to say that something may have been missed. */
  const UNKNOWN = "none";
  const connect = async (signal: AbortSignal): Promise<Ending> => {
    let openedAtMs = Number.POSITIVE_INFINITY;
    const ending = await listenOnce({
      address: ADDRESS,
      lastEventId,
      signal,
      onOpen: () => {
        openedAtMs = performance.now();
        lastEventId ??= UNKNOWN;
        become("live");
      },
      onEvent: hear,
    });
    if (performance.now() - openedAtMs > STEADY_MS) failures = 0;
    return ending;
  };
  const untilSeen = (): Promise<void> =>
    new Promise((resolve) => {
      const look = () => {
        if (document.visibilityState !== "visible" && !stopping.signal.aborted) return;
        document.removeEventListener("visibilitychange", look);
        resolve();
      };
      document.addEventListener("visibilitychange", look);
      stopping.signal.addEventListener("abort", look);
      look();
    });
  const run = async (): Promise<void> => {
    while (!stopping.signal.aborted) {
      if (document.visibilityState !== "visible") become("resting");
      // Each attempt follows from how the one before ended.
      // oxlint-disable-next-line no-await-in-loop
      await untilSeen();
      resting = new AbortController();
      const signal = AbortSignal.any([stopping.signal, resting.signal]);
      // oxlint-disable-next-line no-await-in-loop
      const ending = await connect(signal);
      if (stopping.signal.aborted || resting.signal.aborted) continue;
      become("asking");
      if (ending === "signed out")
        // Renews the session when it only ran out, and asks for the password when it has ended.
        // oxlint-disable-next-line no-await-in-loop
        await call("readSession", {}).catch(() => undefined);
      // oxlint-disable-next-line no-await-in-loop
      await pause(waitMs(failures, Math.random()), signal);
      failures += 1;
    }
  };
  const rest = () => {
    if (document.visibilityState !== "visible") resting.abort();
  };
  const backOnline = () => {
    failures = 0;
    resting.abort();
    askNow();
  };
  document.addEventListener("visibilitychange", rest);
  window.addEventListener("online", backOnline);
  void run();
  return () => {
    stopping.abort();
    clearInterval(poll);
    clearInterval(clock);
    refresh.stop();
    document.removeEventListener("visibilitychange", rest);
    window.removeEventListener("online", backOnline);
    become("connecting");
  };
};
