// Many practices beside the one that is measured, by SQL: a yard, a vet, and for each case a horse, a
// reset, three events, and a note for every fifth.
import pg from "pg";

const casesEach = 100;
const practicesAtOnce = 200;

/** Fills up to so many cases in all; says how many rows of cases there are then. */
export const fillPractices = async (ownerUrl, cases) => {
  const client = new pg.Client({ connectionString: ownerUrl });
  await client.connect();
  try {
    const count = async () =>
      (await client.query("SELECT count(*)::int AS n FROM cases")).rows[0].n;
    const { rows } = await client.query(
      "SELECT count(*)::int AS n FROM practices WHERE name LIKE 'Filled %'",
    );
    const wanted = Math.ceil((cases - ((await count()) - rows[0].n * casesEach)) / casesEach);
    for (let from = rows[0].n + 1; from <= wanted; from += practicesAtOnce) {
      const to = Math.min(wanted, from + practicesAtOnce - 1);
      const of = (what, n) => `md5('${what} ' || p || ' ' || ${n})::uuid`;
      const practices = `generate_series(${from}, ${to}) p`;
      const all = `${practices}, generate_series(1, ${casesEach}) n`;
      await client.query("BEGIN");
      // As a restore does it: rows come whole, no trigger writes a log for them.
      await client.query("SET LOCAL session_replication_role = replica");
      for (const sql of [
        `INSERT INTO practices (id, name, time_zone, jurisdiction)
         SELECT ${of("practice", 0)}, 'Filled ' || p, 'Europe/Dublin', 'UK' FROM ${practices}`,
        `INSERT INTO yards (practice_id, id, name, lat, lon, time_zone)
         SELECT ${of("practice", 0)}, ${of("yard", 0)}, 'Yard', 53, -9, 'Europe/Dublin' FROM ${practices}`,
        `INSERT INTO people (practice_id, id, name, email, roles)
         SELECT ${of("practice", 0)}, ${of("vet", 0)}, 'Vet', 'vet' || p || '@filled.invalid', ARRAY['vet'] FROM ${practices}`,
        `INSERT INTO horses (practice_id, id, name, type, sex, yard_id)
         SELECT ${of("practice", 0)}, ${of("horse", "n")}, 'Horse ' || n, 'horse', 'mare', ${of("yard", 0)} FROM ${all}`,
        `INSERT INTO cases (practice_id, id, horse_id, number, opened_at, phase, phase_since)
         SELECT ${of("practice", 0)}, ${of("case", "n")}, ${of("horse", "n")}, n, now() - n * interval '1 day', 'chronic active', now() - n * interval '1 day' FROM ${all}`,
        `INSERT INTO case_events (practice_id, id, horse_id, at, kind, title)
         SELECT ${of("practice", 0)}, md5('event ' || p || ' ' || n || ' ' || e)::uuid, ${of("horse", "n")}, now() - e * interval '1 day', 'note', 'Event ' || e
         FROM ${all}, generate_series(1, 3) e`,
        `INSERT INTO resets (practice_id, id, horse_id, status, last_done_on, interval_days, due_on)
         SELECT ${of("practice", 0)}, ${of("reset", "n")}, ${of("horse", "n")}, 'open', current_date - n % 40, 30, current_date - n % 40 + 30 FROM ${all}`,
        `INSERT INTO handoff_notes (practice_id, id, horse_id, cause, from_person, from_role, to_role, situation, must_do, written_at, acknowledge_by)
         SELECT ${of("practice", 0)}, ${of("note", "n")}, ${of("horse", "n")}, 'by hand', ${of("vet", 0)}, 'vet', 'farrier', 'As before.', 'Ring me.', now(), now() + interval '1 day'
         FROM ${all} WHERE n % 5 = 0`,
      ])
        await client.query(sql);
      await client.query("COMMIT");
    }
    await client.query("VACUUM ANALYZE");
    return await count();
  } finally {
    await client.end();
  }
};
