import type { FastifyInstance, FastifyReply } from "fastify";
import { z } from "zod";
import type { Dependencies } from "../app.ts";
import { inPractice } from "../database/client.ts";
import { listenForChanges } from "../database/listen-for-changes.ts";
import { identify, readClaims } from "../http/identify.ts";

const change = z.object({ practiceId: z.string(), topics: z.array(z.string()) });
const HEARTBEAT_MS = 25_000;

interface Watcher {
  readonly practiceId: string;
  readonly sessionId: string;
  readonly send: (text: string) => void;
  readonly end: () => void;
}

const EVERYTHING = `event: change\ndata: ["everything"]\n\n`;

/**
 * `GET /api/v1/events`: server-sent events that say which lists changed, never what is in them, so
 * that nothing leaks; the page reads the list again with its own rights. All processes behind one
 * database hear every change through LISTEN/NOTIFY. Whoever was removed, signed out elsewhere or ran
 * out of time is told nothing more: before each change and at each heartbeat the sessions are looked
 * up again, and streams of ended ones are closed.
 */
export const installLiveEvents = (app: FastifyInstance, dependencies: Dependencies): void => {
  const watchers = new Set<Watcher>();
  let sequence = 0;
  let listener: { readonly stop: () => Promise<void> } | undefined;
  let telling = Promise.resolve();

  /** The practice's watchers whose session still stands; the others are sent away. One query for all. */
  const stillSignedIn = async (practiceId: string): Promise<readonly Watcher[]> => {
    const here = [...watchers].filter((one) => one.practiceId === practiceId);
    if (here.length === 0) return here;
    const rows = await inPractice(
      dependencies.db,
      { practiceId, personId: null, roles: ["system"] },
      (tx) => tx.$queryRaw<{ id: string }[]>`
        SELECT s.id FROM sessions s JOIN people p ON p.practice_id = s.practice_id AND p.id = s.person_id
        WHERE s.id = ANY (${here.map((one) => one.sessionId)}::uuid[]) AND p.status = 'active'
          AND s.revoked_at IS NULL AND s.expires_at > ${new Date(dependencies.now())}`,
    );
    const standing = new Set(rows.map((row) => row.id));
    for (const one of here) if (!standing.has(one.sessionId)) one.end();
    return here.filter((one) => standing.has(one.sessionId));
  };
  const tell = async (payload: string): Promise<void> => {
    const parsed = change.safeParse(JSON.parse(payload));
    if (!parsed.success) return;
    sequence += 1;
    const text = `id: ${sequence}\nevent: change\ndata: ${JSON.stringify(parsed.data.topics)}\n\n`;
    for (const watcher of await stillSignedIn(parsed.data.practiceId)) watcher.send(text);
  };
  /** One after the other, so that notices keep their order. */
  const inTurn = (work: () => Promise<unknown>): void => {
    telling = telling
      .then(work)
      .then(() => undefined)
      .catch((error: unknown) => {
        app.log.warn({ err: error }, "could not tell of a change");
        // Not knowing who may hear it, nobody does; every page comes back and reads its lists again.
        for (const watcher of watchers) watcher.end();
      });
  };

  const heartbeat = setInterval(() => {
    for (const watcher of watchers) watcher.send(": still here\n\n");
    for (const practiceId of new Set([...watchers].map((one) => one.practiceId)))
      inTurn(() => stillSignedIn(practiceId));
  }, HEARTBEAT_MS);
  heartbeat.unref();

  app.addHook("onReady", async () => {
    if (dependencies.listenUrl === undefined) return;
    listener = await listenForChanges(dependencies.listenUrl, {
      hear: (payload) => inTurn(() => tell(payload)),
      // Whatever happened while nobody listened: every page reads its lists again.
      isBack: () => {
        for (const watcher of watchers) watcher.send(EVERYTHING);
      },
      trouble: (error) => app.log.warn({ err: error }, "cannot listen for changes yet"),
    });
  });
  app.addHook("preClose", async () => {
    clearInterval(heartbeat);
    for (const watcher of watchers) watcher.send("event: closing\ndata: []\n\n");
    for (const watcher of watchers) watcher.end();
    await listener?.stop();
    await telling;
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
      sessionId: claims.sessionId,
      send: (text) => void raw.write(text),
      end: () => {
        watchers.delete(watcher);
        raw.end();
      },
    };
    watchers.add(watcher);
    // A page that was away cannot know what it missed; it reads its lists again.
    if (request.headers["last-event-id"] !== undefined) watcher.send(EVERYTHING);
    request.raw.on("close", () => watchers.delete(watcher));
  });
};
