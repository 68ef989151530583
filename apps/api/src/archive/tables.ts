/** Asks the database; every statement of an archive sees the same moment. */
export type Ask = (sql: string, values?: readonly unknown[]) => Promise<Record<string, unknown>[]>;

/** A table as the catalogue of the database describes it. */
export interface Table {
  readonly name: string;
  /** Columns that are stored; computed ones follow from them. */
  readonly columns: readonly string[];
  readonly key: readonly string[];
  /** Tables its rows belong to, by the column that names them. */
  readonly parents: readonly { readonly column: string; readonly table: string }[];
}

/** Every table of the case file, in order of name. */
export const readTables = async (ask: Ask): Promise<readonly Table[]> => {
  const rows = await ask(`
    SELECT c.relname::text AS name,
      (SELECT json_agg(a.attname ORDER BY a.attname) FROM pg_attribute a
        WHERE a.attrelid = c.oid AND a.attnum > 0 AND NOT a.attisdropped AND a.attgenerated = '') AS columns,
      (SELECT json_agg(a.attname ORDER BY p.position) FROM pg_constraint k, unnest(k.conkey) WITH ORDINALITY p(number, position), pg_attribute a
        WHERE k.conrelid = c.oid AND k.contype = 'p' AND a.attrelid = c.oid AND a.attnum = p.number) AS key,
      (SELECT coalesce(json_agg(json_build_object('column', a.attname, 'table', f.relname) ORDER BY a.attname, f.relname), '[]')
        FROM pg_constraint k JOIN pg_class f ON f.oid = k.confrelid JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum = k.conkey[2]
        WHERE k.conrelid = c.oid AND k.contype = 'f' AND cardinality(k.conkey) = 2) AS parents
    FROM pg_class c
    WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('r', 'p') AND c.relname <> '_prisma_migrations'
    ORDER BY c.relname COLLATE "C"`);
  return rows as unknown as readonly Table[];
};

/** A name inside a statement. Names come from the catalogue only. */
export const quoted = (name: string): string => `"${name.replaceAll('"', '""')}"`;

/**
 * Tables that belong to the installation and not to the record: ways to sign in, letters under way,
 * answers kept for repeated requests. A backup holds them; an open export does not.
 */
export const OF_THE_INSTALLATION: ReadonlySet<string> = new Set([
  "calendar_feeds",
  "idempotency_keys",
  "invitations",
  "outbox",
  "passkey_challenges",
  "password_resets",
  "second_factors",
  "sessions",
]);

/** Columns that let somebody in. An open export has what stands here in their place. */
export const SECRETS: Readonly<Record<string, Readonly<Record<string, (id: string) => unknown>>>> =
  {
    people: { password_hash: () => null },
    first_aid_sheets: { link_token_hash: () => null },
    // Must be there and differ from row to row.
    reminders: { token_hash: (id) => `left out ${id}` },
  };
