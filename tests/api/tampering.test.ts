import pg from "pg";
import { afterAll, beforeAll, expect, it } from "vitest";
import { connect, inPractice, type Database } from "../../apps/api/src/database/client.ts";
import { verify } from "../../apps/api/src/features/audit/verify.ts";
import { createSigner } from "../../apps/api/src/records/signer.ts";
import type { Work } from "../../apps/api/src/http/work.ts";
import { BUTE_SACHETS, courseOf, signedCourse, weighedBefore } from "../support/medicine.ts";
import { startTestService, type TestService } from "../support/service.ts";

/** Every kind of row the log seals, and the log itself, changed behind the service's back. */
const TRIALS = 1000;
const RECORD =
  "SELECT tgrelid::regclass::text AS name FROM pg_trigger WHERE tgname = 'sealed_by_log'";

let service: TestService;
let db: Database;
let admin: pg.Client;

beforeAll(async () => {
  service = await startTestService();
  const { vet, horseId } = service;
  await service.query("UPDATE horses SET food_chain = 'excluded'");
  await weighedBefore(service, horseId, 500, "2026-10-13T08:00:00+01:00");
  const opened = await vet.send("post", "/cases", { horseId, phase: "acute" });
  const caseId = (opened.body as { id: string }).id;
  const call = await vet.send("post", `/horses/${horseId}/weighings`, {
    method: "scale",
    weightKg: 498,
    weighedAt: "2026-10-14T06:00:00+01:00",
  });
  if (call.status !== 201) throw new Error(call.text);
  await signedCourse(
    vet,
    horseId,
    courseOf(...BUTE_SACHETS, "2026-10-14", [{ toDay: 30, doseMg: 1000, timesLocal: ["20:00"] }]),
  );
  const note = await vet.send("post", "/handoff-notes", {
    horseId,
    toRole: "farrier",
    situation: "Toe sore on the left",
    mustDo: "Ease the breakover",
  });
  if (note.status !== 201) throw new Error(note.text);
  const asked = await vet.send("post", `/cases/${caseId}/procedures`, {
    foot: "LF",
    kind: "drainage",
    reason: "Dark shadow, more lame, heat at the toe",
  });
  if (asked.status !== 201) throw new Error(asked.text);
  admin = new pg.Client({ connectionString: service.ownerUrl });
  await admin.connect();
  db = connect(service.appUrl, 1);
});
afterAll(async () => {
  await db.$disconnect();
  await admin.end();
  await service.close();
});

const randomFrom = (seed: number): (() => number) => {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) | 0;
    return (state >>> 0) / 2 ** 32;
  };
};

const verified = () =>
  inPractice(
    db,
    { practiceId: service.practiceId, personId: service.manager.id, roles: ["manager"] },
    (tx) =>
      verify({
        tx,
        actor: { practiceId: service.practiceId },
        signer: createSigner("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60"),
      } as unknown as Work),
  );

/** One cell of a row, as text, with another character in one place. */
const altered = (text: string, random: () => number): string => {
  const at = Math.floor(random() * text.length);
  const old = text[at] ?? "";
  const others = /\d/u.test(old) ? "0123456789" : "abcdef";
  const put = others.split("").filter((one) => one !== old)[
    Math.floor(random() * (others.length - 1))
  ];
  return text.slice(0, at) + (put ?? "x") + text.slice(at + 1);
};

it(`finds each of ${TRIALS} changes of a single character in a signed or logged row, and each row taken away`, async () => {
  expect((await verified()).faults).toEqual([]);
  // A row that the test put there itself is not in the log.
  const { rows: entries } = await admin.query<{ rows: object | null }>(
    "SELECT entry::jsonb->'rows' AS rows FROM audit_entries",
  );
  const isSealed = new Set(entries.flatMap((entry) => Object.keys(entry.rows ?? {})));
  const { rows: sealed } = await admin.query<{ name: string }>(RECORD);
  const cells: { table: string; key: string; column: string; type: string }[] = [];
  for (const table of [...sealed.map((row) => row.name), "audit_entries"]) {
    const { rows: columns } = await admin.query<{ name: string; type: string }>(
      `SELECT attname AS name, format_type(atttypid, atttypmod) AS type FROM pg_attribute
         WHERE attrelid = $1::regclass AND attnum > 0 AND NOT attisdropped AND attname <> 'practice_id'`,
      [table],
    );
    const { rows } = await admin.query<Record<string, string | null>>(
      `SELECT ${columns.map(({ name }) => `"${name}"::text`).join(", ")} FROM ${table} ${
        // A row that the test put there itself is not in the log.
        table === "horses" ? "WHERE version > 1" : ""
      }`,
    );
    for (const row of rows.filter(
      (one) => table === "audit_entries" || isSealed.has(`${table}/${one["id"] ?? ""}`),
    ))
      for (const { name, type } of columns)
        if ((row[name] ?? "") !== "")
          cells.push({
            table,
            key: row[table === "audit_entries" ? "sequence" : "id"] ?? "",
            column: name,
            type,
          });
  }
  expect(new Set(cells.map((cell) => cell.table)).size).toBeGreaterThan(6);
  const random = randomFrom(20_261_014);
  const missed: unknown[] = [];
  let trials = 0;
  while (trials < TRIALS) {
    const cell = cells[Math.floor(random() * cells.length)];
    if (cell === undefined) throw new Error("there is nothing to change");
    const key = cell.table === "audit_entries" ? "sequence" : "id";
    const removes = random() < 0.05;
    await admin.query("SET session_replication_role = replica");
    const kept = await admin.query(
      `SELECT t.*, to_jsonb(t)::text AS whole FROM ${cell.table} t WHERE ${key} = $1`,
      [cell.key],
    );
    const whole = (kept.rows[0] as { whole: string }).whole;
    const old = await admin.query<{ text: string }>(
      `SELECT "${cell.column}"::text AS text FROM ${cell.table} WHERE ${key} = $1`,
      [cell.key],
    );
    const next = altered(old.rows[0]?.text ?? "", random);
    try {
      const changed = await admin.query<{ whole: string; now: string }>(
        removes
          ? `DELETE FROM ${cell.table} t WHERE ${key} = $1 RETURNING '' AS whole, '' AS now`
          : `UPDATE ${cell.table} t SET "${cell.column}" = $2::${cell.type} WHERE ${key} = $1 RETURNING to_jsonb(t)::text AS whole, t.${key}::text AS now`,
        removes ? [cell.key] : [cell.key, next],
      );
      const after = changed.rows[0];
      if (after === undefined || after.whole === whole) continue; // such as another spelling of the same instant
      trials += 1;
      if ((await verified()).isWhole) missed.push({ ...cell, next, removes });
      await admin.query(`DELETE FROM ${cell.table} WHERE ${key}::text = $1`, [
        removes ? cell.key : after.now,
      ]);
      await admin.query(
        `INSERT INTO ${cell.table} SELECT * FROM jsonb_populate_record(NULL::${cell.table}, $1::jsonb)`,
        [whole],
      );
    } catch (error) {
      // What the column cannot hold nobody can put there.
      if (!(error instanceof pg.DatabaseError)) throw error;
    }
  }
  expect(missed).toEqual([]);
  expect((await verified()).faults).toEqual([]);
}, 300_000);
