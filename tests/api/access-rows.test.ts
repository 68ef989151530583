import pg from "pg";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  roleNow,
  seesHorse,
  startAccessWorld,
  TARGETS,
  type AccessWorld,
  type Caller,
  type Target,
} from "../support/access-world.ts";

/**
 * Who sees which row when the service checks nothing: straight to the database, as the role the
 * service works under, with the person of a request set and nothing else. Every table is asked by
 * every role, around a horse and away from it, of the own practice and of another.
 */
let world: AccessWorld;
let client: pg.Client;
let tables: readonly { readonly table: string; readonly hasHorse: boolean }[];

beforeAll(async () => {
  world = await startAccessWorld();
  client = new pg.Client({ connectionString: world.service.appUrl });
  await client.connect();
  tables = (await world.service.query(`
    SELECT c.relname AS table, EXISTS (SELECT 1 FROM pg_attribute a WHERE a.attrelid = c.oid AND a.attname = 'horse_id') AS "hasHorse"
    FROM pg_class c WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('r', 'p') AND c.relname <> '_prisma_migrations'
    ORDER BY c.relname`)) as unknown as typeof tables;
});
afterAll(async () => {
  await client.end();
  await world.close();
});

/** What everybody of the practice may need to read, whoever they are: no horse's file among it. */
const OF_PRACTICE = new Set([
  "absences",
  "audit_entries",
  "audit_heads",
  "calendar_entries",
  "calendar_feeds",
  "compliance_figures",
  "day_delays",
  "horizon_plans",
  "horse_covers",
  "horse_people",
  "idempotency_keys",
  "invitations",
  "outbox",
  "own_devices",
  "people",
  "plan_adoptions",
  "practice_closures",
  "practices",
  "sessions",
  "settings",
  "signing_keys",
  "working_weeks",
  "yard_devices",
  "yard_people",
]);
/** A person's own, which nobody else of the practice reads. */
const OF_PERSON = new Set(["passkey_challenges", "yard_pins"]);
/** A person's own, and the practice manager's. */
const OF_PERSON_OR_MANAGER = new Set(["data_requests", "second_factors"]);
const OF_MANAGER = new Set(["password_resets"]);
/** About a horse, and also the person's who wrote it, wherever the horse has gone. */
const OF_HORSE_OR_WRITER = new Set(["arrivals", "red_flag_calls"]);

/** True when the person may read the row about the target's horse that the target's vet made. */
const mayRead = (
  caller: Caller,
  target: Target,
  { table, hasHorse }: (typeof tables)[number],
): boolean => {
  const isSamePractice = (target === "elsewhere") === (caller.practice === "B");
  if (!isSamePractice) return false;
  const isMaker = world.places[target].vetId === caller.id;
  const isManager = roleNow(caller) === "manager";
  if (OF_PRACTICE.has(table)) return true;
  if (OF_PERSON.has(table)) return isMaker;
  if (OF_PERSON_OR_MANAGER.has(table)) return isMaker || isManager;
  if (OF_MANAGER.has(table)) return isManager;
  if (table === "yards") return roleNow(caller) === "farrier" || seesHorse(caller, target);
  if (OF_HORSE_OR_WRITER.has(table)) return isMaker || seesHorse(caller, target);
  if (table === "horses" || hasHorse) return seesHorse(caller, target);
  throw new Error(`${table}: say here who may read its rows`);
};

const as = async <T>(caller: Caller | null, ask: () => Promise<T>): Promise<T> => {
  await client.query("BEGIN");
  try {
    if (caller !== null) {
      const { practiceId } = world.places[caller.practice === "A" ? "own" : "elsewhere"];
      await client.query(
        "SELECT set_config('app.practice', $1, true), set_config('app.person', $2, true), set_config('app.roles', $3, true)",
        [practiceId, caller.id, roleNow(caller)],
      );
    }
    return await ask();
  } finally {
    await client.query("ROLLBACK");
  }
};

/** Column by which the rows of one place are told from those of another. */
const placeOf = (table: string, hasHorse: boolean): string => {
  if (table === "horses") return "id";
  if (hasHorse) return "horse_id";
  if (table === "yards") return "id";
  return table === "practices" ? "id" : "practice_id";
};
const keyOf = (table: string, hasHorse: boolean, target: Target): string => {
  const { practiceId, horseId, yardId } = world.places[target];
  if (table === "horses" || hasHorse) return horseId;
  if (table === "yards") return yardId;
  return practiceId;
};

const filled = async (table: string, hasHorse: boolean, target: Target): Promise<number> => {
  const [row] = await world.service.query(
    `SELECT count(*)::int AS n FROM ${table} WHERE ${placeOf(table, hasHorse)} = $1`,
    [keyOf(table, hasHorse, target)],
  );
  return Number(row?.["n"]);
};

describe("row-level security alone", () => {
  it("shows each person every row they may read and no other, in every table", async () => {
    const people = world.callers.filter(
      (caller) => caller.since === "nothing" || caller.since === "demoted",
    );
    const wrong: string[] = [];
    let asked = 0;
    for (const one of tables) {
      const { table, hasHorse } = one;
      const isOfPerson =
        OF_PERSON.has(table) || OF_PERSON_OR_MANAGER.has(table) || OF_MANAGER.has(table);
      for (const caller of people)
        for (const target of TARGETS) {
          // The two horses of a practice share its rows about nobody's horse.
          if (target === "neighbour" && (isOfPerson || OF_PRACTICE.has(table)) && !hasHorse)
            continue;
          // One connection, one question after the other.
          // oxlint-disable-next-line no-await-in-loop
          const seen = await as(caller, async () => {
            const { rows } = await client.query<{ n: number }>(
              `SELECT count(*)::int AS n FROM ${table} WHERE ${placeOf(table, hasHorse)} = $1`,
              [keyOf(table, hasHorse, target)],
            );
            return rows[0]?.n ?? 0;
          });
          // oxlint-disable-next-line no-await-in-loop
          const there = await filled(table, hasHorse, target);
          asked += 1;
          const may = mayRead(caller, target, one);
          if (there > 0 && seen > 0 !== may)
            wrong.push(`${caller.name} ${may ? "cannot read" : "reads"} ${table} of ${target}`);
        }
    }
    expect(wrong).toEqual([]);
    expect(asked).toBeGreaterThan(2000);
  });

  it("fills every table for each place, so that nothing above passes for want of rows", async () => {
    const empty: string[] = [];
    for (const { table, hasHorse } of tables)
      for (const target of TARGETS)
        // oxlint-disable-next-line no-await-in-loop
        if ((await filled(table, hasHorse, target)) === 0) empty.push(`${table} of ${target}`);
    // The log of a person's own horse is empty: nothing was done to it.
    expect(empty.filter((one) => !/^(audit_|idempotency_keys|horse_people)/u.test(one))).toEqual(
      [],
    );
  });

  it("shows nobody anything while no practice is set, as on a connection fresh from a pooler", async () => {
    for (const { table } of tables) {
      // oxlint-disable-next-line no-await-in-loop
      const seen = await as(
        null,
        async () => (await client.query(`SELECT 1 FROM ${table}`)).rowCount,
      );
      expect(seen, table).toBe(0);
    }
  });

  it("forgets the person with the transaction, so that a shared connection carries nothing over", async () => {
    const vet = world.callers[0];
    if (vet === undefined) throw new Error("there is nobody");
    expect(await as(vet, async () => (await client.query("SELECT 1 FROM horses")).rowCount)).toBe(
      3,
    );
    expect((await client.query("SELECT 1 FROM horses")).rowCount).toBe(0);
  });

  it("lets nobody change, remove or bring in rows of another practice, or of a horse they do not see", async () => {
    const people = world.callers.filter((caller) => caller.since === "nothing");
    const wrong: string[] = [];
    let tried = 0;
    for (const one of tables) {
      const { table, hasHorse } = one;
      for (const caller of people)
        for (const target of TARGETS) {
          const isElsewhere = (target === "elsewhere") !== (caller.practice === "B");
          const isHidden = hasHorse && !mayRead(caller, target, one);
          if (!isElsewhere && !isHidden) continue;
          const where = `WHERE ${placeOf(table, hasHorse)} = '${keyOf(table, hasHorse, target)}'`;
          for (const statement of [
            `UPDATE ${table} SET ${placeOf(table, hasHorse)} = ${placeOf(table, hasHorse)} ${where}`,
            `DELETE FROM ${table} ${where}`,
          ]) {
            tried += 1;
            // oxlint-disable-next-line no-await-in-loop
            const touched = await as(caller, () =>
              client.query(statement).then(
                (done) => done.rowCount ?? 0,
                // No right to the statement at all, or a row that only grows.
                (error: { code?: string }) =>
                  ["42501", "HW001"].includes(error.code ?? "") ? 0 : -1,
              ),
            );
            if (touched !== 0) wrong.push(`${caller.name}: ${statement} (${touched})`);
          }
        }
    }
    expect(wrong).toEqual([]);
    expect(tried).toBeGreaterThan(2000);
  });

  it("takes no row that names another practice", async () => {
    const caller = world.callers.find((one) => one.role === "manager" && one.practice === "A");
    if (caller === undefined) throw new Error("there is no manager");
    const wrong: string[] = [];
    for (const { table, hasHorse } of tables) {
      const place = placeOf(table, hasHorse);
      const [copy] = await world.service.query(
        `SELECT to_jsonb(t) AS row FROM ${table} t WHERE ${place} = $1 LIMIT 1`,
        [keyOf(table, hasHorse, "elsewhere")],
      );
      if (copy === undefined) continue;
      // oxlint-disable-next-line no-await-in-loop
      const code = await as(caller, () =>
        client
          .query(`INSERT INTO ${table} SELECT * FROM jsonb_populate_record(NULL::${table}, $1)`, [
            JSON.stringify(copy["row"]),
          ])
          .then(
            () => "taken",
            (error: { code?: string }) => error.code ?? "",
          ),
      );
      // 42501: refused by the policy or for want of the right to insert.
      if (code !== "42501") wrong.push(`${table}: ${code}`);
    }
    expect(wrong).toEqual([]);
  });
});
