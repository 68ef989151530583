import pg from "pg";

/** Whoever wants to hear of changes. */
export interface ChangeListener {
  /** Told the payload of each notice. */
  readonly hear: (payload: string) => void;
  /** Told each time the line stands, the first time too: what happened meanwhile was not heard. */
  readonly isBack?: () => void;
  readonly trouble: (error: unknown) => void;
  /** How often the line is tried, ms. */
  readonly probeMs?: number;
}

const RECONNECT_MS = 1_000;
const CONNECT_MS = 8_000;
const PROBE_MS = 15_000;

/**
 * Listens on a connection of its own and comes back by itself. The line is tried again and again: one
 * that was cut without a word stays silent for ever, just like one on which nothing happens.
 */
export const listenForChanges = async (
  url: string,
  { hear, isBack, trouble, probeMs = PROBE_MS }: ChangeListener,
): Promise<{ readonly stop: () => Promise<void> }> => {
  let current: pg.Client | undefined;
  let retry: NodeJS.Timeout | undefined;
  let isStopping = false;

  const listen = async (): Promise<void> => {
    const client = new pg.Client({
      connectionString: url,
      connectionTimeoutMillis: CONNECT_MS,
      query_timeout: probeMs,
      keepAlive: true,
    });
    const probe = setInterval(() => {
      client.query("SELECT 1").catch(() => again());
    }, probeMs);
    probe.unref();
    const again = (): void => {
      clearInterval(probe);
      if (isStopping || current !== client) return;
      current = undefined;
      // Nothing is said in parting: nobody may be there to hear it.
      client.connection.stream.destroy();
      retry = setTimeout(() => void listen(), RECONNECT_MS);
    };
    client.on("error", again);
    client.on("end", again);
    client.on("notification", ({ payload }) => {
      if (!isStopping) hear(payload ?? "{}");
    });
    current = client;
    try {
      await client.connect();
      await client.query("LISTEN heelward_changes");
      isBack?.();
    } catch (error) {
      trouble(error);
      again();
    }
  };
  await listen();
  return {
    stop: async () => {
      isStopping = true;
      clearTimeout(retry);
      await current?.end();
    },
  };
};
