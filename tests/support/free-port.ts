import { createServer } from "node:net";

/** A port of this machine that nobody had a moment ago. */
export const freePort = (): Promise<number> =>
  new Promise((resolve) => {
    const probe = createServer().listen(0, "127.0.0.1", () => {
      const address = probe.address();
      probe.close(() => resolve(typeof address === "object" ? (address?.port ?? 0) : 0));
    });
  });
