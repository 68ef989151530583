import { connect as dial, createServer, type Socket } from "node:net";

/** A line to a server that a test can slow down, cut, or let go silent. */
export interface CuttableLine {
  /** The database's URL through this line. */
  readonly url: string;
  /** From now on bytes arrive this much later, ms. */
  readonly slow: (ms: number) => void;
  /** Breaks what is open; new ones are refused until `mend`. */
  readonly cut: () => void;
  /** Swallows everything without a word, as a line whose other end vanished; until `mend`. */
  readonly silence: () => void;
  /** New connections go through again; silent ones stay silent. */
  readonly mend: () => void;
  readonly stop: () => Promise<void>;
}

/** A relay of bytes in front of a database. */
export const startCuttableLine = async (databaseUrl: string): Promise<CuttableLine> => {
  const { hostname, port } = new URL(databaseUrl);
  const open = new Set<Socket>();
  const silent = new WeakSet<Socket>();
  let state: "whole" | "cut" | "silent" = "whole";
  let delayMs = 0;

  const relay = (from: Socket, to: Socket): void => {
    open.add(from);
    from.on("data", (bytes) => {
      const pass = (): void => {
        if (!silent.has(from) && !to.destroyed) to.write(bytes);
      };
      if (delayMs > 0) setTimeout(pass, delayMs);
      else pass();
    });
    from.on("error", () => undefined);
    from.on("close", () => {
      open.delete(from);
      // The end waits for the bytes before it; of a silent line nothing is heard, not even its end.
      if (!silent.has(from)) setTimeout(() => to.destroy(), delayMs);
    });
  };
  const server = createServer((near) => {
    if (state === "cut") {
      near.destroy();
      return;
    }
    const far = dial(Number(port), hostname);
    relay(near, far);
    relay(far, near);
    if (state === "silent") for (const one of [near, far]) silent.add(one);
  });
  await new Promise<void>((resolve) => {
    server.listen(0, "127.0.0.1", resolve);
  });
  const address = server.address();
  const url = new URL(databaseUrl);
  url.hostname = "127.0.0.1";
  url.port = String(typeof address === "object" ? address?.port : 0);
  return {
    url: url.href,
    slow: (ms) => {
      delayMs = ms;
    },
    cut: () => {
      state = "cut";
      for (const one of open) one.destroy();
    },
    silence: () => {
      state = "silent";
      for (const one of open) silent.add(one);
    },
    mend: () => {
      state = "whole";
    },
    stop: async () => {
      const closed = new Promise((resolve) => server.close(resolve));
      for (const one of open) one.destroy();
      await closed;
    },
  };
};
