import { spawn, type ChildProcess } from "node:child_process";
import { createHash, randomUUID } from "node:crypto";
import { existsSync, globSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as pause } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import { isDeepStrictEqual } from "node:util";
import pg from "pg";
import sharp from "sharp";
import { clusterFolder } from "../../apps/api/src/database/embedded-cluster.ts";
import { isAlive, runningServer } from "../../apps/api/src/database/postmaster-file.ts";
import { prepareDatabase } from "../../apps/api/src/database/prepare-database.ts";
import { loadOrCreateSecrets } from "../../apps/api/src/database/secrets.ts";
import { hashPassword } from "../../apps/api/src/features/session/password.ts";

/** What is killed, and how much is written meanwhile. */
export interface KillTrial {
  readonly kills: number;
  readonly writes: number;
  /** Hands that write at the same time, each at a horse of its own. */
  readonly hands: number;
  /** Told how far it is. */
  readonly log?: (message: string) => void;
}

/** What was found after the last restart; everything but the counts is empty when nothing was lost. */
export interface KillFindings {
  readonly killed: Readonly<Record<Victim, number>>;
  /** Acknowledged writes by kind. */
  readonly acknowledged: Readonly<Record<string, number>>;
  /** Writes whose first request got no answer or a failure and was sent again under its key. */
  readonly repeated: number;
  /** Of those, writes that were in the record already: the answer alone had been lost. */
  readonly onlyAnswerLost: number;
  /** Acknowledged writes sent once more afterwards, which must give the same answer. */
  readonly replayed: number;
  readonly lost: readonly string[];
  readonly doubled: readonly string[];
  readonly answeredOtherwise: readonly string[];
  /** Where rows, log and stored bytes do not agree. */
  readonly faults: readonly string[];
  /** Bytes that no row speaks of: uploads cut off between the store and the commit. */
  readonly orphanBlobs: number;
  /** Longest time without any acknowledged write, ms. */
  readonly longestSilenceMs: number;
}

type Victim = "service" | "database" | "connection" | "both";
const VICTIMS: readonly Victim[] = ["service", "database", "connection", "both"];
const PASSWORD = "a long pass phrase for tests";
const PATIENCE_MS = 180_000;

type Kind = "note" | "photo" | "film" | "dose" | "as done";
/** One write: what is sent, under which key, and the words by which its row is found. */
interface Write {
  readonly kind: Kind;
  readonly key: string;
  readonly mark: string;
  readonly path: string;
  readonly as: "vet" | "farrier";
  readonly body?: Readonly<Record<string, unknown>>;
  readonly upload?: { readonly bytes: Buffer; readonly fields: Readonly<Record<string, string>> };
}
interface Acknowledged {
  readonly write: Write;
  readonly id: string;
  readonly text: string;
}

/** Where a kind of write ends up, and the column that holds its mark. */
const PLACES: Readonly<Record<Kind, { readonly table: string; readonly mark: string }>> = {
  note: { table: "handoff_notes", mark: "situation" },
  photo: { table: "documents", mark: "caption" },
  film: { table: "radiographs", mark: "file_name" },
  dose: { table: "dose_records", mark: "reason" },
  "as done": { table: "shoeing_records", mark: "notes" },
};

const sha256 = (bytes: Buffer | string): string => createHash("sha256").update(bytes).digest("hex");

const freePort = (): Promise<number> =>
  new Promise((resolve) => {
    const probe = createServer().listen(0, "127.0.0.1", () => {
      const address = probe.address();
      probe.close(() => resolve(typeof address === "object" ? (address?.port ?? 0) : 0));
    });
  });

/** A picture like no other: grey noise of its own. */
const picture = (sidePx: number): Promise<Buffer> =>
  sharp({
    create: {
      width: sidePx,
      height: sidePx,
      channels: 3,
      background: "#808080",
      noise: { type: "gaussian", mean: 128, sigma: 30 },
    },
  })
    .png()
    .toBuffer();

interface Rig {
  readonly url: string;
  readonly dataDir: string;
  readonly query: (sql: string, values?: unknown[]) => Promise<Record<string, unknown>[]>;
  readonly kill: (victim: Victim) => void;
  readonly stop: () => Promise<void>;
}

/** A durable database and the service in a process of its own that is started again whenever it ends. */
const startRig = async (): Promise<Rig> => {
  const dataDir = mkdtempSync(join(tmpdir(), "heelward-kill-"));
  const secrets = loadOrCreateSecrets(dataDir);
  const database = await prepareDatabase({ dataDir, secrets, log: () => undefined });
  const admin = new pg.Pool({ connectionString: database.ownerUrl, max: 2 });
  admin.on("error", () => undefined);
  const port = await freePort();
  const program = fileURLToPath(new URL("killable-service.ts", import.meta.url));
  let isStopping = false;
  let child: ChildProcess | undefined;
  const start = (): void => {
    if (isStopping) return;
    child = spawn(
      process.execPath,
      ["--conditions=development", program, database.appUrl, dataDir, String(port)],
      // Told through the channel when this process is gone.
      { stdio: ["ignore", "ignore", "ignore", "ipc"] },
    );
    // A service that finds no database ends; whoever supervises it tries again.
    child.once("exit", () => void setTimeout(start, 100));
  };
  start();
  const killDatabase = (): void => {
    const pid = runningServer(clusterFolder(dataDir))?.pid;
    if (pid !== undefined && isAlive(pid)) process.kill(pid, "SIGKILL");
  };
  return {
    url: `http://127.0.0.1:${port}/api/v1`,
    dataDir,
    query: async (sql, values = []) =>
      (await admin.query<Record<string, unknown>>(sql, values)).rows,
    kill: (victim) => {
      if (victim === "database" || victim === "both") killDatabase();
      if (victim === "service" || victim === "both") child?.kill("SIGKILL");
      if (victim === "connection")
        // One process of the server dies, as when the machine runs out of memory: all others end too.
        void admin
          .query<{ pid: number }>(
            "SELECT pid FROM pg_stat_activity WHERE usename = 'heelward_app' ORDER BY random() LIMIT 1",
          )
          .then(({ rows: [row] }) => row && process.kill(row.pid, "SIGKILL"))
          .catch(() => undefined);
    },
    stop: async () => {
      isStopping = true;
      if (child !== undefined && child.exitCode === null && child.signalCode === null) {
        const ended = new Promise((resolve) => child?.once("exit", resolve));
        child.kill("SIGKILL");
        await ended;
      }
      await admin.end();
      await database.stop();
      rmSync(dataDir, { recursive: true, force: true, maxRetries: 5 });
    },
  };
};

interface Answered {
  readonly answer: Response;
  readonly tries: number;
  /** When the request went out that was answered. */
  readonly sentAt: Date;
}

/** Asks until the service gives an answer that is no failure of its own. */
const insist = async (ask: () => Promise<Response>): Promise<Answered> => {
  const endsAt = performance.now() + PATIENCE_MS;
  for (let tries = 1; ; tries += 1) {
    // Each try follows the failure of the one before.
    // oxlint-disable no-await-in-loop
    const sentAt = new Date();
    const answer = await ask().catch(() => undefined);
    if (answer !== undefined && answer.status < 500 && answer.status !== 429)
      return { answer, tries, sentAt };
    const last = answer === undefined ? "no answer" : `${answer.status} ${await answer.text()}`;
    if (performance.now() > endsAt) throw new Error(`the service does not come back: ${last}`);
    await pause(50);
    // oxlint-enable no-await-in-loop
  }
};

interface Practice {
  readonly practiceId: string;
  readonly horses: readonly { readonly id: string; readonly caseId: string }[];
  readonly farrierId: string;
  /** Sends something until it is answered. */
  readonly send: (write: Omit<Write, "kind" | "mark">) => Promise<Answered>;
  readonly get: (path: string) => Promise<Record<string, unknown>>;
}

const foundPractice = async (rig: Rig, hands: number): Promise<Practice> => {
  const [practiceId, yardId, vetId, farrierId] = [
    randomUUID(),
    randomUUID(),
    randomUUID(),
    randomUUID(),
  ];
  await rig.query(
    "INSERT INTO practices (id, name, phone, time_zone, jurisdiction) VALUES ($1, 'Test Practice', '+353 1 000 0000', 'Europe/Dublin', 'UK')",
    [practiceId],
  );
  await rig.query(
    "INSERT INTO yards (practice_id, id, name, lat, lon, time_zone) VALUES ($1, $2, 'Test Yard', 53.2, -9, 'Europe/Dublin')",
    [practiceId, yardId],
  );
  const hash = await hashPassword(PASSWORD);
  for (const [id, role] of [
    [vetId, "vet"],
    [farrierId, "farrier"],
  ] as const)
    // oxlint-disable-next-line no-await-in-loop
    await rig.query(
      "INSERT INTO people (practice_id, id, name, email, roles, registration_number, clinical_lead, password_hash) VALUES ($1, $2, $3, $4, $5, 'REG-1', $6, $7)",
      [practiceId, id, `Test ${role}`, `${role}@test.invalid`, [role], role === "vet", hash],
    );

  const tokens = new Map<string, Promise<string>>();
  const tokenOf = (role: string): Promise<string> => {
    const known = tokens.get(role);
    if (known !== undefined) return known;
    const fresh = insist(() =>
      fetch(`${rig.url}/session`, {
        method: "POST",
        headers: { "content-type": "application/json" },
        body: JSON.stringify({ email: `${role}@test.invalid`, password: PASSWORD }),
      }),
    ).then(async ({ answer }) => ((await answer.json()) as { accessToken: string }).accessToken);
    tokens.set(role, fresh);
    return fresh;
  };
  const call = async (as: string, ask: (token: string) => Promise<Response>): Promise<Response> => {
    const used = tokenOf(as);
    const answer = await ask(await used);
    if (answer.status !== 401) return answer;
    // Access tokens last minutes; the first who notices signs in again.
    if (tokens.get(as) === used) tokens.delete(as);
    return ask(await tokenOf(as));
  };
  const formOf = ({ upload, mark = "file" }: Partial<Write>): FormData => {
    const form = new FormData();
    for (const [name, value] of Object.entries(upload?.fields ?? {})) form.append(name, value);
    form.append(
      "file",
      new Blob([new Uint8Array(upload?.bytes ?? [])], { type: "image/png" }),
      mark,
    );
    return form;
  };
  const send: Practice["send"] = (write) =>
    insist(() =>
      call(write.as, (token) =>
        fetch(rig.url + write.path, {
          method: "POST",
          headers: {
            authorization: `Bearer ${token}`,
            "idempotency-key": write.key,
            ...(write.upload === undefined ? { "content-type": "application/json" } : {}),
          },
          body: write.upload === undefined ? JSON.stringify(write.body) : formOf(write),
        }),
      ),
    );
  const made = async (path: string, body: Record<string, unknown>): Promise<string> => {
    const { answer } = await send({ key: randomUUID(), as: "vet", path, body });
    const text = await answer.text();
    if (answer.status !== 201) throw new Error(`${path} answered ${answer.status}: ${text}`);
    return (JSON.parse(text) as { id: string }).id;
  };
  const horses = await Promise.all(
    Array.from({ length: hands }, async (_, at) => {
      const id = await made("/horses", {
        name: `Test Horse ${at + 1}`,
        type: "horse",
        sex: "mare",
        yardId,
        heightCm: 150,
        farrierId,
      });
      await made(`/horses/${id}/weighings`, {
        method: "scale",
        weightKg: 450,
        weighedAt: new Date(Date.now() - 3_600_000).toISOString(),
      });
      const caseId = await made("/cases", {
        horseId: id,
        phase: "chronic active",
        feetAffected: ["LF", "RF"],
      });
      return { id, caseId };
    }),
  );
  return {
    practiceId,
    horses,
    farrierId,
    send,
    get: async (path) => {
      const { answer } = await insist(() =>
        call("vet", (token) =>
          fetch(rig.url + path, { headers: { authorization: `Bearer ${token}` } }),
        ),
      );
      return (await answer.json()) as Record<string, unknown>;
    },
  };
};

/** Of twenty writes: what a working day is made of, with more uploads than one has. */
const DAY: readonly Kind[] = [
  ...Array<Kind>(6).fill("note"),
  ...Array<Kind>(4).fill("photo"),
  ...Array<Kind>(2).fill("film"),
  ...Array<Kind>(4).fill("dose"),
  ...Array<Kind>(4).fill("as done"),
];

const nextWrite = async (
  { horses, farrierId }: Practice,
  hand: number,
  number: number,
): Promise<Write> => {
  const kind = DAY[(number * 7 + hand) % DAY.length] ?? "note";
  const horse = horses[hand % horses.length];
  if (horse === undefined) throw new Error("no horse");
  const key = randomUUID();
  const mark = `mark ${key}`;
  const at = new Date(Date.now() - 60_000).toISOString();
  const common = { kind, key, mark, as: "vet" } as const;
  if (kind === "note")
    return {
      ...common,
      path: "/handoff-notes",
      body: { horseId: horse.id, toRole: "farrier", situation: mark, mustDo: "Ring me." },
    };
  if (kind === "dose")
    return {
      ...common,
      path: `/horses/${horse.id}/doses`,
      // Inside the horse already, so that the limit of the day does not end the trial.
      body: {
        drugKey: "phenylbutazone",
        presentationKey: "phenylbutazone-powder-1g",
        route: "oral",
        doseMg: 1000,
        givenAt: at,
        reason: mark,
        alreadyGiven: true,
      },
    };
  if (kind === "as done")
    return {
      ...common,
      as: "farrier",
      path: `/horses/${horse.id}/shoeing-records`,
      body: {
        doneAt: at,
        asPlanned: true,
        feet: [{ foot: "LF", breakoverAfterMm: 6, heelRemovedMm: 2, shoe: "bare", fixing: "none" }],
        notes: mark,
        nextReset: { noDateReason: "The yard will ring.", personToBook: farrierId },
      },
    };
  if (kind === "photo")
    return {
      ...common,
      path: `/horses/${horse.id}/documents`,
      upload: { bytes: await picture(96), fields: { kind: "photo", takenAt: at, caption: mark } },
    };
  return {
    ...common,
    path: `/cases/${horse.caseId}/radiographs`,
    upload: { bytes: await picture(160), fields: { foot: "LF", takenAt: at } },
  };
};

/** Rows that carry a mark, by mark. */
const rowsByMark = async (
  rig: Rig,
  kind: Kind,
): Promise<ReadonlyMap<string, readonly string[]>> => {
  const { table, mark } = PLACES[kind];
  const rows = await rig.query(
    `SELECT ${mark} AS mark, array_agg(id::text) AS ids FROM ${table} WHERE ${mark} LIKE 'mark %' GROUP BY 1`,
  );
  return new Map(rows.map((row) => [String(row["mark"]), row["ids"] as string[]]));
};

/** The chain recomputed here: SHA-256 (FIPS 180-4) over the hash before, a line feed and the entry. */
const chainFaults = async (rig: Rig): Promise<string[]> => {
  const entries = await rig.query(
    "SELECT sequence::int, entry, previous_hash, hash FROM audit_entries ORDER BY sequence",
  );
  const [head] = await rig.query("SELECT sequence::int, hash FROM audit_heads");
  const faults: string[] = [];
  let last = { sequence: 0, hash: "0".repeat(64) };
  for (const row of entries) {
    const sequence = Number(row["sequence"]);
    const hash = sha256(`${last.hash}\n${String(row["entry"])}`);
    if (sequence !== last.sequence + 1) faults.push(`the log jumps to entry ${sequence}`);
    if (row["previous_hash"] !== last.hash || row["hash"] !== hash)
      faults.push(`entry ${sequence} does not follow`);
    last = { sequence, hash: String(row["hash"]) };
  }
  if (head?.["sequence"] !== last.sequence || head["hash"] !== last.hash)
    faults.push("the log does not end at its head");
  return faults;
};

const blobFaults = async (rig: Rig, acknowledged: readonly Acknowledged[]): Promise<string[]> => {
  const faults: string[] = [];
  const rows = await rig.query(
    `SELECT id::text, sha256, ARRAY[blob_key] AS keys FROM documents
     UNION ALL SELECT id::text, sha256, ARRAY[blob_key, preview_key, pixels_key] FROM radiographs`,
  );
  for (const row of rows)
    for (const key of row["keys"] as string[]) {
      const path = join(rig.dataDir, "blobs", key);
      if (!existsSync(path)) faults.push(`${key} of a row is not in the store`);
      else if (sha256(readFileSync(path)) !== key.slice(-64))
        faults.push(`${key} is not as it was`);
    }
  const sums = new Map(rows.map((row) => [String(row["id"]), row["sha256"]]));
  for (const { write, id, text } of acknowledged) {
    if (write.upload === undefined) continue;
    // A photo is kept without what a phone writes into it; a film as it came.
    const { sha256: said } = JSON.parse(text) as { sha256: string };
    if (sums.get(id) !== said) faults.push(`${write.kind} ${id} has other bytes than was answered`);
    if (write.kind === "film" && said !== sha256(write.upload.bytes))
      faults.push(`film ${id} has other bytes than were sent`);
  }
  return faults;
};

const countOrphans = async (rig: Rig): Promise<number> => {
  const [row] = await rig.query(
    `SELECT array_agg(key) AS keys FROM (SELECT blob_key AS key FROM documents
     UNION SELECT unnest(ARRAY[blob_key, preview_key, pixels_key]) FROM radiographs) all_keys`,
  );
  const keys = new Set((row?.["keys"] ?? []) as string[]);
  return globSync("*/*/*", { cwd: join(rig.dataDir, "blobs") }).filter((path) => !keys.has(path))
    .length;
};

const check = async (
  rig: Rig,
  practice: Practice,
  acknowledged: readonly Acknowledged[],
): Promise<Pick<KillFindings, "lost" | "doubled" | "faults" | "orphanBlobs">> => {
  const lost: string[] = [];
  const doubled: string[] = [];
  const found = new Map<Kind, ReadonlyMap<string, readonly string[]>>();
  // oxlint-disable-next-line no-await-in-loop
  for (const kind of Object.keys(PLACES) as Kind[]) found.set(kind, await rowsByMark(rig, kind));
  for (const { write, id } of acknowledged) {
    const ids = found.get(write.kind)?.get(write.mark) ?? [];
    if (!ids.includes(id)) lost.push(`${write.kind} ${id}`);
    if (ids.length > 1) doubled.push(`${write.kind} ${ids.join(" ")}`);
  }
  const rows = [...found.values()].reduce((sum, marks) => sum + marks.size, 0);
  const unclaimed = await rig.query("SELECT key FROM idempotency_keys WHERE status = 0");
  const [told] = await rig.query(
    `SELECT count(*)::int AS n FROM (SELECT subject_id FROM audit_entries
     WHERE subject_id = ANY ($1::uuid[]) GROUP BY subject_id) told`,
    [acknowledged.map(({ id }) => id)],
  );
  const verdict = await practice.get("/audit/verification");
  return {
    lost,
    doubled,
    faults: [
      ...(rows === acknowledged.length
        ? []
        : [`${rows} rows, but ${acknowledged.length} acknowledged writes`]),
      ...(told?.["n"] === acknowledged.length
        ? []
        : [`the log tells of ${String(told?.["n"])} of ${acknowledged.length} writes`]),
      ...unclaimed.map((row) => `the key ${String(row["key"])} was taken and never answered`),
      ...(verdict["isWhole"] === true ? [] : [`the service finds ${JSON.stringify(verdict)}`]),
      ...(await chainFaults(rig)),
      ...(await blobFaults(rig, acknowledged)),
    ],
    orphanBlobs: await countOrphans(rig),
  };
};

/**
 * Several hands write through HTTP, as phones do: what is not answered is sent again under the same
 * key. Meanwhile the service, the database, one of its connections or all of it is killed (SIGKILL)
 * at random moments, and started again. At the end the record is compared with the answers.
 */
export const runKillTrial = async (trial: KillTrial): Promise<KillFindings> => {
  const log = trial.log ?? (() => undefined);
  const rig = await startRig();
  try {
    const practice = await foundPractice(rig, trial.hands);
    const acknowledged: Acknowledged[] = [];
    const killed = { service: 0, database: 0, connection: 0, both: 0 };
    let [repeated, onlyAnswerLost, longestSilenceMs, lastAt] = [0, 0, 0, performance.now()];
    let isOver = false;

    const hand = async (number: number): Promise<void> => {
      for (let count = 0; !isOver; count += 1) {
        // A hand writes one thing after the other.
        // oxlint-disable no-await-in-loop
        const write = await nextWrite(practice, number, count);
        const first = await practice.send(write);
        const begun = await first.answer.text().catch(() => undefined);
        // An answer that breaks off half way is none.
        const { answer, tries, sentAt } = begun === undefined ? await practice.send(write) : first;
        const text = begun ?? (await answer.text());
        if (answer.status !== 201) throw new Error(`${write.path}: ${answer.status} ${text}`);
        const { id } = JSON.parse(text) as { id: string };
        acknowledged.push({ write, id, text });
        longestSilenceMs = Math.max(longestSilenceMs, performance.now() - lastAt);
        lastAt = performance.now();
        if (tries === 1 && begun !== undefined) continue;
        repeated += 1;
        const [key] = await rig
          .query("SELECT created_at FROM idempotency_keys WHERE key = $1", [write.key])
          .catch(() => []);
        if (key !== undefined && (key["created_at"] as Date) < sentAt) onlyAnswerLost += 1;
        // oxlint-enable no-await-in-loop
      }
    };
    const killer = async (): Promise<void> => {
      const perKill = trial.writes / trial.kills;
      for (let number = 1; number <= trial.kills; number += 1) {
        // One kill after the other, each only after the writers got on.
        // oxlint-disable no-await-in-loop
        while (!isOver && acknowledged.length < (number - 1) * perKill + 1) await pause(10);
        await pause(Math.random() * 300);
        if (isOver) return;
        const victim = VICTIMS[number % VICTIMS.length] ?? "service";
        rig.kill(victim);
        killed[victim] += 1;
        if (number % 20 === 0) log(`  ${number} kills, ${acknowledged.length} writes`);
        // oxlint-enable no-await-in-loop
      }
      while (!isOver && acknowledged.length < trial.writes) await pause(10);
    };
    const hands = Promise.all(Array.from({ length: trial.hands }, (_, number) => hand(number)));
    await Promise.race([killer(), hands]);
    isOver = true;
    await hands;

    // A phone that never saw its answer asks again much later.
    const again = acknowledged.filter((_, at) => at % 5 === 0);
    const answeredOtherwise: string[] = [];
    for (const { write, id, text } of again) {
      // oxlint-disable-next-line no-await-in-loop
      const { answer } = await practice.send(write);
      // oxlint-disable-next-line no-await-in-loop
      if (!isDeepStrictEqual(await answer.json(), JSON.parse(text)))
        answeredOtherwise.push(`${write.kind} ${id}`);
    }
    const kinds = new Set(acknowledged.map(({ write }) => write.kind));
    return {
      killed,
      acknowledged: Object.fromEntries(
        [...kinds].map((kind) => [
          kind,
          acknowledged.filter(({ write }) => write.kind === kind).length,
        ]),
      ),
      repeated,
      onlyAnswerLost,
      replayed: again.length,
      answeredOtherwise,
      longestSilenceMs,
      ...(await check(rig, practice, acknowledged)),
    };
  } finally {
    await rig.stop();
  }
};
