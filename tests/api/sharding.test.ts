import { randomUUID } from "node:crypto";
import { isWrite, OPERATIONS, type Operation } from "@heelward/contracts";
import type { Role } from "@heelward/domain/access";
import pg from "pg";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { connect } from "../../apps/api/src/database/client.ts";
import { startJobs } from "../../apps/api/src/jobs/start-jobs.ts";
import { createTestDatabase } from "../support/database.ts";
import { startOwnApp } from "../support/own-app.ts";
import { bodyOf } from "../support/sample-bodies.ts";
import {
  PASSWORD,
  startTestService,
  TEST_MAIL,
  type TestPerson,
  type TestService,
} from "../support/service.ts";

/**
 * What a division of the rows by practice rests on: keys and references never leave a practice, and
 * neither does a transaction. source of the conditions: the Citus manual, "Distributed tables"
 * (keys, unique constraints and references hold the distribution column), from memory.
 */
let service: TestService;
beforeAll(async () => {
  service = await startTestService();
});
afterAll(async () => {
  await service.close();
});

/** Tables without the column, with the reason why. */
const WITHOUT_PRACTICE: Readonly<Record<string, string>> = {
  practices: "its own key is the practice",
  _prisma_migrations: "of the installation: every shard has its own",
};
/** Unique over all practices, with the reason why; of digests of random numbers none meets its like. */
const UNIQUE_EVERYWHERE: Readonly<Record<string, string>> = {
  practices_pkey: "the practice itself",
  _prisma_migrations_pkey: "of the installation",
  people_email: "who signs in gives an address and no practice",
  calendar_feeds_token: "a link names no practice",
  first_aid_sheets_link: "a link names no practice",
  invitations_token: "a link names no practice",
  password_resets_token: "a link names no practice",
  reminders_token: "a link names no practice",
  yard_devices_token: "a device that is bound names no practice",
};
/** Operations that look something up before a practice is known, and by what. */
const BEFORE_A_PRACTICE: Readonly<Record<string, string>> = {
  acceptInvitation: "the link of the invitation",
  chooseNewPassword: "the link of the letter",
  readSharedFirstAid: "the link of the sheet",
  readCalendar: "the link of the calendar",
  readReminder: "the link of the reminder",
  answerReminder: "the link of the reminder",
};

/** Names of an index's or a constraint's columns, in order. */
const columnsOf = (table: string, numbers: string): string =>
  `ARRAY(SELECT a.attname::text FROM unnest(${numbers}) WITH ORDINALITY AS k (number, at)
   JOIN pg_attribute a ON a.attrelid = ${table} AND a.attnum = k.number ORDER BY k.at)`;

describe("the tables", () => {
  it("belong to a practice, but for the named ones of the installation", async () => {
    const rows = await service.query(
      `SELECT c.relname::text AS name FROM pg_class c
       WHERE c.relkind = 'r' AND c.relnamespace = 'public'::regnamespace AND NOT EXISTS
         (SELECT 1 FROM pg_attribute a WHERE a.attrelid = c.oid AND a.attname = 'practice_id')`,
    );
    expect(rows.map((row) => String(row["name"])).toSorted()).toEqual(
      Object.keys(WITHOUT_PRACTICE).toSorted(),
    );
  });

  it("have keys and unique indexes that begin with the practice, but for the named ones", async () => {
    const rows = await service.query(
      `SELECT i.indexrelid::regclass::text AS name, ${columnsOf("i.indrelid", "i.indkey")} AS columns
       FROM pg_index i JOIN pg_class c ON c.oid = i.indrelid
       WHERE c.relnamespace = 'public'::regnamespace AND i.indisunique`,
    );
    expect(rows.length).toBeGreaterThan(60);
    const others = rows.filter((row) => (row["columns"] as string[])[0] !== "practice_id");
    expect(others.map((row) => String(row["name"])).toSorted()).toEqual(
      Object.keys(UNIQUE_EVERYWHERE).toSorted(),
    );
  });

  it("refer to rows of the same practice only", async () => {
    const rows = await service.query(
      `SELECT f.conrelid::regclass::text AS name, ${columnsOf("f.conrelid", "f.conkey")} AS here,
         f.confrelid::regclass::text AS target, ${columnsOf("f.confrelid", "f.confkey")} AS there
       FROM pg_constraint f WHERE f.contype = 'f' AND f.connamespace = 'public'::regnamespace`,
    );
    expect(rows.length).toBeGreaterThan(60);
    for (const row of rows) {
      const at = (row["here"] as string[]).indexOf("practice_id");
      expect(at, `${String(row["name"])} → ${String(row["target"])}`).toBeGreaterThanOrEqual(0);
      expect((row["there"] as string[])[at]).toBe(
        row["target"] === "practices" ? "id" : "practice_id",
      );
    }
  });

  it("show a row only where its practice was named, or to what signs in", async () => {
    const rows = await service.query(
      `SELECT p.polrelid::regclass::text AS name,
         coalesce(pg_get_expr(p.polqual, p.polrelid), pg_get_expr(p.polwithcheck, p.polrelid)) AS rule
       FROM pg_policy p`,
    );
    expect(rows.length).toBeGreaterThan(60);
    for (const { name, rule } of rows)
      expect(String(rule), String(name)).toMatch(
        name === "practices"
          ? /^\(\(id = app_practice\(\)/u
          : /^\(+practice_id = app_practice\(\)/u,
      );
  });
});

/** One transaction as the service sent it. */
interface Sent {
  readonly practices: Set<string>;
  isSigningIn: boolean;
  readonly statements: string[];
}

/** Every transaction sent while something runs; statements outside of one count as one of their own. */
const sentWhile = async (act: () => Promise<unknown>): Promise<readonly Sent[]> => {
  const sent: Sent[] = [];
  const open = new WeakMap<object, Sent>();
  const fresh = (): Sent => {
    const one: Sent = { practices: new Set(), isSigningIn: false, statements: [] };
    sent.push(one);
    return one;
  };
  const real = Reflect.get(pg.Client.prototype, "query") as (...args: unknown[]) => unknown;
  const noting = function noting(this: object, ...args: unknown[]): unknown {
    const [first, second] = args as [string | { text?: string; values?: unknown[] }, unknown];
    const text = typeof first === "string" ? first : (first.text ?? "");
    const values = (typeof first === "string" ? second : first.values) as unknown[] | undefined;
    if (/^begin/iu.test(text)) open.set(this, fresh());
    else if (/^(?:commit|rollback)$/iu.test(text)) open.delete(this);
    else if (!/^(?:savepoint|release|rollback to)/iu.test(text)) {
      const one = open.get(this) ?? fresh();
      if (text.includes("set_config('app.practice'")) one.practices.add(String(values?.[0]));
      if (text.includes("set_config('app.signing_in', 'on'")) one.isSigningIn = true;
      if (!/set_config/u.test(text)) one.statements.push(text);
    }
    return real.apply(this, args);
  };
  Reflect.set(pg.Client.prototype, "query", noting);
  try {
    await act();
  } finally {
    Reflect.set(pg.Client.prototype, "query", real);
  }
  return sent;
};
/** Reads or writes rows, rather than listening, locking by number or asking whether anybody is there. */
const touchesRows = (statement: string): boolean => /\b(?:FROM|INTO|UPDATE)\b/iu.test(statement);
const strays = (sent: readonly Sent[]): readonly Sent[] =>
  sent.filter(({ practices, statements }) => practices.size !== 1 && statements.some(touchesRows));

describe("a practice that moves to another shard", () => {
  it("is copied table by table, each by its own rows alone, and is whole there, log and all", async () => {
    const moved = await service.personWith("vet", "Moved Vet");
    await moved.send("post", "/handoff-notes", {
      horseId: service.horseId,
      toRole: "farrier",
      situation: "Before the move.",
      mustDo: "Ring me.",
    });
    const stranger = randomUUID();
    await service.query(
      "INSERT INTO practices (id, name, phone, time_zone, jurisdiction) VALUES ($1, 'Other Practice', '+353 1 000 0001', 'Europe/Dublin', 'UK')",
      [stranger],
    );
    const shard = await createTestDatabase();
    const target = new pg.Client({ connectionString: shard.ownerUrl });
    await target.connect();
    try {
      const tables = await service.query(
        `SELECT c.relname::text AS name, CASE c.relname WHEN 'practices' THEN 'id' ELSE 'practice_id' END AS key
         FROM pg_class c WHERE c.relkind = 'r' AND c.relnamespace = 'public'::regnamespace AND c.relname <> '_prisma_migrations'`,
      );
      await target.query("BEGIN");
      // Rows come as they were: no trigger seals or numbers them anew, and tables in any order.
      await target.query("SET LOCAL session_replication_role = replica");
      for (const { name, key } of tables) {
        // oxlint-disable-next-line no-await-in-loop
        const [rows] = await service.query(
          `SELECT coalesce(json_agg(t), '[]')::text AS rows FROM ${String(name)} t WHERE ${String(key)} = $1`,
          [service.practiceId],
        );
        // oxlint-disable-next-line no-await-in-loop
        await target.query(
          `INSERT INTO ${String(name)} SELECT * FROM json_populate_recordset(NULL::${String(name)}, $1)`,
          [rows?.["rows"]],
        );
      }
      await target.query("COMMIT");
      const count =
        "SELECT (SELECT count(*) FROM audit_entries)::int AS entries, (SELECT count(*) FROM handoff_notes)::int AS notes, (SELECT count(*) FROM practices)::int AS practices";
      const there = (await target.query(count)).rows[0] as Record<string, number>;
      const [here] = await service.query(count);
      expect(there).toEqual({ ...here, practices: 1 });

      const db = connect(shard.appUrl, 2);
      const own = await startOwnApp(service, { db });
      const signedIn = await own.app.inject({
        method: "POST",
        url: "/api/v1/session",
        payload: { email: service.manager.email, password: PASSWORD },
      });
      const verified = await own.app.inject({
        url: "/api/v1/audit/verification",
        headers: {
          authorization: `Bearer ${signedIn.json<{ accessToken: string }>().accessToken}`,
        },
      });
      expect(verified.json()).toMatchObject({ isWhole: true });
      await own.close();
      await db.$disconnect();
    } finally {
      await target.end();
      await shard.drop();
    }
  });
});

describe("what the service sends", () => {
  /** Of the practice where there is one; elsewhere something that nobody has. */
  const urlOf = (operation: Operation): string =>
    `/api/v1${operation.path.replaceAll(/:(\w+)/gu, (_, name: string) => {
      if (name === "horseId") return service.horseId;
      if (name === "yardId") return service.yardId;
      if (name === "personId") return service.owner.id;
      if (name === "date") return "2026-10-14";
      return name === "token" ? "t".repeat(43) : "0199e000-0000-7000-8000-00000000dead";
    })}`;
  const ask = async (operation: Operation, person: TestPerson | undefined): Promise<number> => {
    const body = bodyOf(operation);
    const answer = await service.app.inject({
      method: operation.method,
      url: urlOf(operation),
      headers: {
        ...(person === undefined ? {} : { authorization: `Bearer ${person.token}` }),
        ...(isWrite(operation) ? { "idempotency-key": randomUUID() } : {}),
        ...(operation.ifMatch === true ? { "if-match": '"1"' } : {}),
        ...(body === undefined ? {} : { "content-type": "application/json" }),
      },
      ...(body === undefined ? {} : { payload: JSON.stringify(body) }),
    });
    return answer.statusCode;
  };

  it("stays inside one practice in every transaction of every operation, but for the named ones", async () => {
    const walkers = new Map<Role, TestPerson>();
    const walkerOf = async (role: Role, isSpent: boolean): Promise<TestPerson> => {
      const known = walkers.get(role);
      if (known !== undefined && !isSpent) return known;
      const fresh = await service.personWith(role, `Walker ${randomUUID()}`);
      walkers.set(role, fresh);
      return fresh;
    };
    const found = new Set<string>();
    let whole = 0;
    for (const operation of OPERATIONS.filter(({ upload }) => upload !== true)) {
      const { access } = operation;
      const role = access === "public" ? undefined : access === "anyone" ? "vet" : access[0];
      // One operation after the other, so that what is sent is known to be its own.
      // oxlint-disable no-await-in-loop
      let status = 0;
      const asking = (walker: TestPerson | undefined) =>
        sentWhile(async () => {
          status = await ask(operation, walker);
        });
      let sent = await asking(role === undefined ? undefined : await walkerOf(role, false));
      // Some end the session they are asked in, and so does the one before.
      if (status === 401 && role !== undefined) sent = await asking(await walkerOf(role, true));
      // oxlint-enable no-await-in-loop
      const stray = strays(sent);
      expect(stray.every(({ isSigningIn }) => isSigningIn)).toBe(true);
      if (stray.length > 0) found.add(operation.id);
      whole += sent.filter(({ practices }) => practices.size === 1).length;
    }
    expect([...found].toSorted()).toEqual(Object.keys(BEFORE_A_PRACTICE).toSorted());
    expect(whole).toBeGreaterThan(150);
  }, 300_000);

  it("looks an address up over all practices at sign-in, and nothing else", async () => {
    const sent = await sentWhile(() =>
      service.app.inject({
        method: "POST",
        url: "/api/v1/session",
        payload: { email: service.vet.email, password: PASSWORD },
      }),
    );
    expect(sent.some(({ isSigningIn }) => isSigningIn)).toBe(true);
    // Once the account is found its practice is entered, within the same transaction.
    for (const { practices } of sent) expect(practices.size).toBeLessThanOrEqual(1);
  });

  it("lists the practices for the background work, and does each one's work inside it", async () => {
    const db = connect(service.appUrl, 2);
    const jobs = await startJobs({
      db,
      appUrl: service.appUrl,
      now: () => service.now(),
      mail: TEST_MAIL,
      log: () => undefined,
      pollSeconds: 60,
    });
    const sent = await sentWhile(() => jobs.sweep());
    await jobs.stop();
    await db.$disconnect();
    const ofTheQueue = ({ statements }: Sent): boolean =>
      statements.every((text) => /\bjobs\./u.test(text));
    const stray = strays(sent).filter((one) => !ofTheQueue(one));
    expect(stray.length).toBeGreaterThan(0);
    for (const { isSigningIn, statements } of stray) {
      expect(isSigningIn).toBe(true);
      expect(statements).toHaveLength(1);
      expect(statements[0]).toMatch(/^SELECT "public"."practices"."id" FROM "public"."practices"/u);
    }
  });
});
