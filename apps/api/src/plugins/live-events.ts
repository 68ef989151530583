import type { FastifyInstance, FastifyReply } from "fastify";
import pg from "pg";
import { z } from "zod";
import type { Dependencies } from "../app.ts";
import { inPractice } from "../database/client.ts";
import { identify, readClaims } from "../http/identify.ts";

const change = z.object({ practiceId: z.string(), topics: z.array(z.string()) });
const HEARTBEAT_MS = 25_000;
const RECONNECT_MS = 1_000;

interface Watcher {
  readonly practiceId: string;
  readonly send: (text: string) => void;
}

/**
 * `GET /api/v1/events`: server-sent events that say which lists changed, never what is in them, so
 * that nothing leaks; the page reads the list again with its own rights. All processes behind one
 * database hear every change through LISTEN/NOTIFY.
 */
export const installLiveEvents = (app: FastifyInstance, dependencies: Dependencies): void => {
  const watchers = new Set<Watcher>();
  let sequence = 0;
  let listener: pg.Client | undefined;
  let isClosing = false;
  let retry: NodeJS.Timeout | undefined;

  const tell = (payload: string) => {
    const parsed = change.safeParse(JSON.parse(payload));
    if (!parsed.success) return;
    sequence += 1;
    const text = `id: ${sequence}\nevent: change\ndata: ${JSON.stringify(parsed.data.topics)}\n\n`;
    for (const watcher of watchers)
      if (watcher.practiceId === parsed.data.practiceId) watcher.send(text);
  };
  const listen = async (url: string): Promise<void> => {
    const client = new pg.Client({ connectionString: url });
    const again = () => {
      if (isClosing || listener !== client) return;
      listener = undefined;
      retry = setTimeout(() => void listen(url), RECONNECT_MS);
    };
    client.on("error", again);
    client.on("end", again);
    client.on("notification", (message) => tell(message.payload ?? "{}"));
    listener = client;
    try {
      await client.connect();
      await client.query("LISTEN heelward_changes");
      // Whatever happened while nobody listened: every page reads its lists again.
      for (const watcher of watchers) watcher.send(`event: change\ndata: ["everything"]\n\n`);
    } catch (error) {
      app.log.warn({ err: error }, "cannot listen for changes yet");
      again();
    }
  };

  app.addHook("onReady", async () => {
    if (dependencies.listenUrl !== undefined) await listen(dependencies.listenUrl);
  });
  app.addHook("preClose", async () => {
    isClosing = true;
    clearTimeout(retry);
    for (const watcher of watchers) watcher.send("event: closing\ndata: []\n\n");
    await listener?.end();
  });

  app.get("/api/v1/events", async (request, reply: FastifyReply) => {
    const claims = await readClaims(request, dependencies.now());
    const scope = { practiceId: claims.practiceId, personId: claims.personId, roles: [] };
    await inPractice(dependencies.db, scope, (tx) => identify(tx, claims, dependencies.now()));
    reply.hijack();
    const { raw } = reply;
    raw.writeHead(200, {
      "content-type": "text/event-stream",
      "cache-control": "no-store",
      "x-accel-buffering": "no",
    });
    raw.write("retry: 2000\n\n");
    const watcher: Watcher = {
      practiceId: claims.practiceId,
      send: (text) => {
        raw.write(text);
        if (isClosing) raw.end();
      },
    };
    watchers.add(watcher);
    // A page that was away cannot know what it missed; it reads its lists again.
    if (request.headers["last-event-id"] !== undefined)
      watcher.send(`event: change\ndata: ["everything"]\n\n`);
    const heartbeat = setInterval(() => raw.write(": still here\n\n"), HEARTBEAT_MS);
    request.raw.on("close", () => {
      clearInterval(heartbeat);
      watchers.delete(watcher);
    });
  });
};
