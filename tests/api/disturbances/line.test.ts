import { randomUUID } from "node:crypto";
import type { FastifyInstance } from "fastify";
import pg from "pg";
import { afterAll, beforeAll, beforeEach, describe, expect, it, vi } from "vitest";
import { connect, type Database } from "../../../apps/api/src/database/client.ts";
import { listenForChanges } from "../../../apps/api/src/database/listen-for-changes.ts";
import { startCuttableLine, type CuttableLine } from "../../support/cuttable-line.ts";
import { newTokenKeys, startOwnApp } from "../../support/own-app.ts";
import { PASSWORD, startTestService, type TestService } from "../../support/service.ts";

// The line between the service and its database is slow, cut, or silent; people go on writing.
vi.setConfig({ testTimeout: 120_000 });
const SOON = { timeout: 60_000, interval: 50 } as const;

let service: TestService;
let line: CuttableLine;
let db: Database;
let app: FastifyInstance;
let close: () => Promise<void>;
let token = "";
const pair = newTokenKeys();
const keys = { tokenPrivateKeyPem: pair.privateKey, tokenPublicKeyPem: pair.publicKey };

beforeAll(async () => {
  service = await startTestService();
  line = await startCuttableLine(service.appUrl);
  // As in service, only that patience ends sooner.
  db = connect(line.url, 3, {
    patience: { connectMs: 10_000, statementMs: 2_000, silentMs: 3_000 },
  });
  ({ app, close } = await startOwnApp(service, { db, secrets: keys }));
  const signedIn = await app.inject({
    method: "POST",
    url: "/api/v1/session",
    payload: { email: service.vet.email, password: PASSWORD },
  });
  ({ accessToken: token } = signedIn.json<{ accessToken: string }>());
});
afterAll(async () => {
  await close();
  await db.$disconnect();
  await line.stop();
  await service.close();
});
beforeEach(() => {
  line.slow(0);
  line.mend();
});

interface Written {
  readonly mark: string;
  readonly id: string;
  /** What the tries before the one that was answered came to. */
  readonly failures: readonly number[];
}

/** Writes one note as a phone does: what fails is sent again under its key. */
const write = async (through: FastifyInstance = app): Promise<Written> => {
  const key = randomUUID();
  const failures: number[] = [];
  for (;;) {
    // One try after the other.
    // oxlint-disable-next-line no-await-in-loop
    const answer = await through.inject({
      method: "POST",
      url: "/api/v1/handoff-notes",
      headers: { authorization: `Bearer ${token}`, "idempotency-key": key },
      payload: {
        horseId: service.horseId,
        toRole: "farrier",
        situation: `mark ${key}`,
        mustDo: "Ring me.",
      },
    });
    if (answer.statusCode === 201)
      return { mark: `mark ${key}`, id: answer.json<{ id: string }>().id, failures };
    if (answer.statusCode < 500) throw new Error(`${answer.statusCode}: ${answer.body}`);
    failures.push(answer.statusCode);
  }
};
/** Several hands write until told to stop. */
const writing = (hands: number) => {
  const written: Written[] = [];
  let isOver = false;
  const all = Promise.all(
    Array.from({ length: hands }, async () => {
      // One note after the other.
      // oxlint-disable-next-line no-await-in-loop
      while (!isOver) written.push(await write());
    }),
  );
  return {
    written,
    stop: async () => {
      isOver = true;
      await all;
    },
  };
};
/** Every acknowledged note is in the record once, under the id that was answered. */
const expectAllOnce = async (written: readonly Written[]): Promise<void> => {
  const rows = await service.query(
    "SELECT situation AS mark, array_agg(id::text) AS ids FROM handoff_notes WHERE situation LIKE 'mark %' GROUP BY 1",
  );
  const found = new Map(rows.map((row) => [row["mark"], row["ids"]]));
  for (const { mark, id } of written) expect(found.get(mark)).toEqual([id]);
};
const expectWholeLog = async (): Promise<void> => {
  const { body } = await service.manager.get("/audit/verification").expect(200);
  expect(body).toMatchObject({ isWhole: true });
};

describe("the line to the database", () => {
  it("may be slow: writes take longer and none fails", async () => {
    const patient = connect(line.url, 3);
    const own = await startOwnApp(service, {
      db: patient,
      secrets: keys,
    });
    line.slow(20);
    const written = await Promise.all(Array.from({ length: 4 }, () => write(own.app)));
    expect(written.flatMap(({ failures }) => failures)).toEqual([]);
    await expectAllOnce(written);
    await own.close();
    await patient.$disconnect();
  });

  it("may be cut in the middle of writes, again and again: none is lost, none doubled", async () => {
    const { written, stop } = writing(3);
    for (let cuts = 0; cuts < 8; cuts += 1) {
      const before = written.length;
      // oxlint-disable no-await-in-loop
      await vi.waitFor(() => expect(written.length).toBeGreaterThan(before + cuts), SOON);
      line.cut();
      await vi.waitFor(
        async () => expect((await app.inject({ url: "/readyz" })).statusCode).toBe(503),
        SOON,
      );
      line.mend();
      await vi.waitFor(
        async () => expect((await app.inject({ url: "/readyz" })).statusCode).toBe(200),
        SOON,
      );
      // oxlint-enable no-await-in-loop
    }
    await stop();
    expect(written.flatMap(({ failures }) => failures).length).toBeGreaterThan(0);
    await expectAllOnce(written);
    await expectWholeLog();
  });

  it("may go silent: who waits is told, nobody waits for ever, and what follows goes through", async () => {
    const { written, stop } = writing(3);
    await vi.waitFor(() => expect(written.length).toBeGreaterThan(3), SOON);
    line.silence();
    expect((await app.inject({ url: "/readyz" })).statusCode).toBe(503);
    line.mend();
    const before = written.length;
    await vi.waitFor(() => expect(written.length).toBeGreaterThan(before + 6), SOON);
    await stop();
    await expectAllOnce(written);
    await expectWholeLog();
  });
});

describe("listening for changes", () => {
  it("comes back by itself from a line that went silent without a word", async () => {
    const heard: string[] = [];
    let times = 0;
    const listener = await listenForChanges(line.url, {
      hear: (payload) => void heard.push(payload),
      isBack: () => {
        times += 1;
      },
      trouble: () => undefined,
      probeMs: 200,
    });
    const teller = new pg.Client({ connectionString: service.appUrl });
    await teller.connect();
    expect(times).toBe(1);
    line.silence();
    line.mend();
    await vi.waitFor(() => expect(times).toBe(2), SOON);
    await teller.query("SELECT pg_notify('heelward_changes', 'after the silence')");
    await vi.waitFor(() => expect(heard).toContain("after the silence"), SOON);
    await teller.end();
    await listener.stop();
  });
});
