import { randomUUID } from "node:crypto";
import { get, type IncomingMessage } from "node:http";
import type { FastifyInstance } from "fastify";
import request from "supertest";
import { afterAll, afterEach, beforeAll, describe, expect, it } from "vitest";
import { startSecondProcess } from "../support/second-process.ts";
import { PASSWORD, startTestService, type TestService } from "../support/service.ts";

let service: TestService;
let url: string;
let second: FastifyInstance;
let closeSecond: () => Promise<void>;
let secondUrl: string;

beforeAll(async () => {
  service = await startTestService();
  url = await service.app.listen({ port: 0, host: "127.0.0.1" });
  ({ app: second, url: secondUrl, close: closeSecond } = await startSecondProcess(service));
});
afterAll(async () => {
  await closeSecond();
  await service.close();
});

interface SentEvent {
  readonly id: string | null;
  readonly event: string | null;
  readonly data: unknown;
}
interface Stream {
  readonly status: number;
  readonly contentType: string | undefined;
  /** The next event, once it is there. */
  readonly next: () => Promise<SentEvent>;
  /** What arrived and was not asked for. */
  readonly heard: () => readonly SentEvent[];
  readonly hasEnded: Promise<void>;
  readonly close: () => void;
}
const open: Stream[] = [];
afterEach(() => {
  for (const stream of open.splice(0)) stream.close();
});

const field = (block: string, name: string): string | null =>
  block
    .split("\n")
    .find((line) => line.startsWith(`${name}: `))
    ?.slice(name.length + 2) ?? null;

/** Something one side gives once and the other waits for. */
const aSignal = () => {
  let give: () => void = () => undefined;
  const given = new Promise<void>((resolve) => {
    give = resolve;
  });
  return { given, give: () => give() };
};

/** Opens the stream and waits until it says how soon to reconnect: from then on nothing is missed. */
const watch = async (base: string, token: string | null, lastEventId?: string): Promise<Stream> => {
  const response = await new Promise<IncomingMessage>((resolve, reject) => {
    get(
      `${base}/api/v1/events`,
      {
        headers: {
          ...(token === null ? {} : { authorization: `Bearer ${token}` }),
          ...(lastEventId === undefined ? {} : { "last-event-id": lastEventId }),
        },
      },
      resolve,
    ).on("error", reject);
  });
  const arrived: SentEvent[] = [];
  const waiting: ((event: SentEvent) => void)[] = [];
  const ready = aSignal();
  const ended = aSignal();
  let rest = "";
  response.setEncoding("utf8");
  response.on("error", () => ended.give());
  response.on("close", () => {
    ready.give();
    ended.give();
  });
  response.on("data", (chunk: string) => {
    const blocks = (rest + chunk).split("\n\n");
    rest = blocks.pop() ?? "";
    for (const block of blocks) {
      if (field(block, "retry") !== null) ready.give();
      const data = field(block, "data");
      if (data === null || response.statusCode !== 200) continue;
      const event = {
        id: field(block, "id"),
        event: field(block, "event"),
        data: JSON.parse(data) as unknown,
      };
      const waiter = waiting.shift();
      if (waiter === undefined) arrived.push(event);
      else waiter(event);
    }
  });
  await ready.given;
  const stream: Stream = {
    status: response.statusCode ?? 0,
    contentType: response.headers["content-type"],
    next: () => {
      const event = arrived.shift();
      return event === undefined
        ? new Promise((resolve) => void waiting.push(resolve))
        : Promise.resolve(event);
    },
    heard: () => [...arrived],
    hasEnded: ended.given,
    close: () => response.destroy(),
  };
  open.push(stream);
  return stream;
};

const signIn = async (app: FastifyInstance, email: string): Promise<string> => {
  const signedIn = await request(app.server)
    .post("/api/v1/session")
    .send({ email, password: PASSWORD });
  expect(signedIn.status).toBe(200);
  return signedIn.body.accessToken as string;
};

const writeNote = async (): Promise<void> => {
  const sent = await service.vet.send("post", "/handoff-notes", {
    horseId: service.horseId,
    toRole: "farrier",
    situation: "Loose shoe",
    mustDo: "Come by today",
  });
  expect(sent.status).toBe(201);
};

describe("live events", () => {
  it("tell another person of the practice which lists changed, and nothing of what is in them", async () => {
    const farrier = await watch(url, service.farrier.token);
    expect(farrier.status).toBe(200);
    expect(farrier.contentType).toBe("text/event-stream");
    await writeNote();
    const heard = await farrier.next();
    expect(heard.event).toBe("change");
    expect(heard.data).toEqual(expect.arrayContaining(["queue", "handoffs"]));
    expect(Number(heard.id)).toBeGreaterThan(0);
    expect(JSON.stringify(heard)).not.toMatch(/Loose shoe|Test Horse|Vera/);
  });

  it("reach every process behind the same database", async () => {
    const there = await watch(secondUrl, await signIn(second, service.manager.email));
    const here = await watch(url, service.manager.token);
    await writeNote();
    expect((await here.next()).data).toContain("handoffs");
    expect((await there.next()).data).toContain("handoffs");
  });

  it("stay inside the practice", async () => {
    const other = randomUUID();
    await service.query(
      "INSERT INTO practices (id, name, time_zone) VALUES ($1, 'Other Practice', 'Europe/Dublin')",
      [other],
    );
    const email = "otto.other@test.invalid";
    await service.query(
      `INSERT INTO people (practice_id, id, name, email, roles, registration_number, clinical_lead, password_hash)
       SELECT $1, gen_random_uuid(), 'Otto Other', $2, ARRAY['vet'], 'REG-1', true, password_hash FROM people WHERE id = $3`,
      [other, email, service.vet.id],
    );
    const token = await signIn(service.app, email);
    const theirs = await watch(url, token);
    const ours = await watch(url, service.farrier.token);
    await writeNote();
    expect((await ours.next()).data).toContain("handoffs");
    const changed = await request(service.app.server)
      .post("/api/v1/settings")
      .auth(token, { type: "bearer" })
      .set("idempotency-key", randomUUID())
      .send({ key: "routing/speed", value: 50, since: "2026-10-14", source: "Own trips" });
    expect(changed.status).toBe(201);
    // Notices keep their order, so the first one heard there shows that ours was not sent there.
    expect((await theirs.next()).data).toEqual(["settings"]);
    await writeNote();
    expect((await ours.next()).data).toContain("handoffs");
  });

  it("are sent only once the change is durable: a refused write is not heard of", async () => {
    const farrier = await watch(url, service.farrier.token);
    const refused = await service.vet.send("post", "/handoff-notes", {
      horseId: randomUUID(),
      toRole: "farrier",
      situation: "Nobody's horse",
      mustDo: "Nothing",
    });
    expect(refused.status).toBe(400);
    const set = await service.vet.send("post", "/settings", {
      key: "routing/speed",
      value: 40,
      since: "2026-10-14",
      source: "Own trips",
    });
    expect(set.status).toBe(201);
    expect((await farrier.next()).data).toEqual(["settings"]);
  });

  it("ask a page that comes back to read everything again", async () => {
    const back = await watch(url, service.farrier.token, "17");
    expect(await back.next()).toMatchObject({ event: "change", data: ["everything"] });
    await writeNote();
    expect((await back.next()).data).toContain("handoffs");
  });

  it("ask every page to read everything again after the database cut the line", async () => {
    const farrier = await watch(url, service.farrier.token);
    const cut = await service.query(
      "SELECT pg_terminate_backend(pid) AS done FROM pg_stat_activity WHERE datname = current_database() AND query = 'LISTEN heelward_changes'",
    );
    expect(cut.length).toBe(2);
    expect((await farrier.next()).data).toEqual(["everything"]);
    await writeNote();
    expect((await farrier.next()).data).toContain("handoffs");
  });

  it("are for people who are signed in", async () => {
    expect((await watch(url, null)).status).toBe(401);
    expect((await watch(url, "not.a.token")).status).toBe(401);
    const leaver = await service.personWith("carer", "Lena Leaver");
    expect((await watch(url, leaver.token)).status).toBe(200);
    await service.query("UPDATE people SET status = 'removed' WHERE id = $1", [leaver.id]);
    expect((await watch(url, leaver.token)).status).toBe(401);
  });

  it("end when the person is removed, before anything more is told", async () => {
    const leaver = await service.personWith("carer", "Lars Leaver");
    const theirs = await watch(url, leaver.token);
    const ours = await watch(url, service.farrier.token);
    const removed = await service.manager.send(
      "patch",
      `/people/${leaver.id}`,
      { status: "removed" },
      1,
    );
    expect(removed.status).toBe(200);
    await theirs.hasEnded;
    expect(theirs.heard()).toEqual([]);
    expect((await ours.next()).data).toEqual(["people"]);
  });

  it("end when the person signs out, and when the session is ended from another device", async () => {
    const token = await signIn(service.app, service.carer.email);
    const signedOut = await watch(url, token);
    const left = await request(service.app.server)
      .delete("/api/v1/session")
      .auth(token, { type: "bearer" });
    expect(left.status).toBe(204);
    await signedOut.hasEnded;

    const phone = await signIn(service.app, service.carer.email);
    const onPhone = await watch(secondUrl, await signIn(second, service.carer.email));
    const onTablet = await watch(url, service.carer.token);
    const sessions = await request(service.app.server)
      .get("/api/v1/sessions")
      .auth(phone, { type: "bearer" });
    const own = (sessions.body.items as { id: string; isThisOne: boolean }[]).filter(
      (one) => !one.isThisOne,
    );
    for (const { id } of own) {
      // One session ends after the other, as a person taps them.
      // oxlint-disable-next-line no-await-in-loop
      const ended = await request(service.app.server)
        .delete(`/api/v1/sessions/${id}`)
        .auth(phone, { type: "bearer" })
        .set("idempotency-key", randomUUID());
      expect(ended.status).toBe(204);
    }
    await Promise.all([onPhone.hasEnded, onTablet.hasEnded]);
  });

  it("say goodbye when the process ends, so that the page goes to another", async () => {
    const there = await watch(secondUrl, await signIn(second, service.manager.email));
    await second.close();
    expect((await there.next()).event).toBe("closing");
    await there.hasEnded;
  });
});
