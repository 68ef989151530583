import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { draftFirstAidPlan, signPlan } from "../support/first-aid-plan.ts";
import { startTestService, type TestService } from "../support/service.ts";
import { keepTables, type Tampering } from "../support/tamper.ts";

let service: TestService;
let prescriptionId: string;
let tamper: Tampering["tamper"];
let undo: Tampering["undo"];

beforeAll(async () => {
  service = await startTestService();
  const opened = await service.vet.send("post", "/cases", {
    horseId: service.horseId,
    phase: "acute",
  });
  const caseId = opened.body.id as string;
  prescriptionId = await draftFirstAidPlan(service, caseId, "Unload the toe");
  await signPlan(service, prescriptionId);
  for (let n = 1; n <= 8; n += 1)
    await service.manager.send("post", "/handoff-notes", {
      horseId: service.horseId,
      toRole: "vet",
      situation: `Note ${n}`,
      mustDo: "Read it",
    });
  ({ tamper, undo } = await keepTables(service, [
    "audit_entries",
    "audit_heads",
    "prescriptions",
    "signing_keys",
  ]));
});
afterAll(async () => {
  await service.close();
});

interface Verification {
  readonly isWhole: boolean;
  readonly entries: number;
  readonly signatures: number;
  readonly head: { readonly sequence: number; readonly hash: string } | null;
  readonly rows: number;
  readonly faults: readonly { readonly sequence: number | null; readonly what: string }[];
}
const verify = async (): Promise<Verification> => {
  const answer = await service.manager.get("/audit/verification");
  expect(answer.status).toBe(200);
  return answer.body as Verification;
};
const faultsAfter = async (sql: string): Promise<Verification["faults"]> => {
  await tamper(sql);
  const found = await verify();
  await undo();
  expect(found.isWhole).toBe(found.faults.length === 0);
  return found.faults;
};

/** Numbers in [0, 1) from a seed (the mulberry32 generator), so that a failure can be repeated. */
const randomFrom = (seed: number) => {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
};
const quoted = (text: string): string => `'${text.replaceAll("'", "''")}'`;

describe("the audit log", () => {
  it("lists newest first and pages without losing or repeating an entry", async () => {
    const seen: number[] = [];
    let cursor = "";
    do {
      const page = await service.manager.get(`/audit?limit=4${cursor}`);
      expect(page.status).toBe(200);
      seen.push(...page.body.items.map((entry: { sequence: number }) => entry.sequence));
      cursor = page.body.nextCursor === null ? "" : `&cursor=${page.body.nextCursor}`;
    } while (cursor !== "");
    expect(seen).toEqual(seen.map((_, at) => seen.length - at));
    expect(seen.length).toBeGreaterThan(10);
    expect((await service.manager.get("/audit?cursor=nonsense")).status).toBe(400);
    const text = Buffer.from(JSON.stringify(["x"])).toString("base64url");
    expect((await service.manager.get(`/audit?cursor=${text}`)).status).toBe(400);
  });

  it("says who did what to which record, and finds it by record or horse", async () => {
    const found = await service.vet.get(
      `/audit?subjectType=prescription&subjectId=${prescriptionId}`,
    );
    expect(found.body.items.map((entry: { event: string }) => entry.event)).toEqual([
      "prescription.signed",
      "prescription.drafted",
    ]);
    expect(found.body.items[0]).toMatchObject({
      actor: { id: service.vet.id, name: "Vera Vet" },
      horseId: service.horseId,
      entry: { event: "prescription.signed", subjectId: prescriptionId },
    });
    const ofHorse = await service.vet.get(`/audit?horseId=${service.horseId}&limit=200`);
    expect(new Set(ofHorse.body.items.map((entry: { horseId: string }) => entry.horseId))).toEqual(
      new Set([service.horseId]),
    );
    expect((await service.vet.get("/audit?subjectType=yard")).body.items).toEqual([]);
  });

  it("is for vet and manager only, both to read and to verify", async () => {
    for (const person of [service.farrier, service.carer, service.owner])
      for (const path of ["/audit", "/audit/verification"])
        expect((await person.get(path)).status).toBe(403);
  });
});

describe("verification", () => {
  it("finds nothing wrong in a log and signatures nobody touched, and says where the log stands", async () => {
    const found = await verify();
    const [head] = await service.query("SELECT sequence::int, hash FROM audit_heads");
    expect(found).toEqual({
      isWhole: true,
      faults: [],
      entries: head?.["sequence"],
      signatures: 1,
      head,
      rows: expect.any(Number) as number,
      // The horse that the test itself put there.
      unsealedRows: 1,
    });
    expect(found.rows).toBeGreaterThan(10);
  });

  it("finds any changed character of any entry", async () => {
    const entries = (await service.query(
      "SELECT sequence::int, entry FROM audit_entries ORDER BY sequence",
    )) as { sequence: number; entry: string }[];
    const random = randomFrom(20261014);
    for (let round = 0; round < 60; round += 1) {
      const one = entries[Math.floor(random() * entries.length)];
      if (one === undefined) throw new Error("there are no entries");
      const at = Math.floor(random() * one.entry.length);
      const other = one.entry[at] === "7" ? "8" : "7";
      const changed = one.entry.slice(0, at) + other + one.entry.slice(at + 1);
      const faults = await faultsAfter(
        `UPDATE audit_entries SET entry = ${quoted(changed)} WHERE sequence = ${one.sequence}`,
      );
      expect(faults, `entry ${one.sequence}, character ${at}`).toContainEqual({
        sequence: one.sequence,
        what: "was altered",
      });
    }
  });

  it.each([
    ["at", "at + interval '1 millisecond'"],
    ["event", "'yard.changed'"],
    ["actor_id", "gen_random_uuid()"],
    ["actor_id", "NULL"],
    ["horse_id", "gen_random_uuid()"],
    ["subject_type", "'yard'"],
    ["subject_id", "gen_random_uuid()"],
    ["hash", "reverse(hash)"],
    ["previous_hash", "reverse(previous_hash)"],
  ])("finds a changed column beside the entry: %s = %s", async (column, value) => {
    const faults = await faultsAfter(
      `UPDATE audit_entries SET ${column} = ${value} WHERE sequence = 5`,
    );
    expect(faults.some((fault) => fault.sequence === 5)).toBe(true);
  });

  it("finds a removed entry anywhere: first, middle, last", async () => {
    const { entries } = await verify();
    for (const gone of [1, 2, Math.floor(entries / 2), entries - 1, entries])
      expect(
        await faultsAfter(`DELETE FROM audit_entries WHERE sequence = ${gone}`),
        `entry ${gone}`,
      ).toContainEqual(
        gone === entries
          ? { sequence: null, what: "the last entries are missing" }
          : { sequence: gone + 1, what: `entry ${gone} is missing` },
      );
  });

  it("finds a removed entry even when the rest is numbered anew", async () => {
    const faults = await faultsAfter(`DELETE FROM audit_entries WHERE sequence = 4;
      UPDATE audit_entries SET sequence = -sequence WHERE sequence > 4;
      UPDATE audit_entries SET sequence = -sequence - 1 WHERE sequence < 0;
      UPDATE audit_heads SET sequence = sequence - 1`);
    expect(faults).toContainEqual({ sequence: 4, what: "does not follow from the entry before" });
  });

  it("finds two entries that changed places", async () => {
    const random = randomFrom(7);
    const { entries } = await verify();
    for (let round = 0; round < 10; round += 1) {
      const first = 1 + Math.floor(random() * (entries - 1));
      const second = first + 1 + Math.floor(random() * (entries - first));
      const faults = await faultsAfter(`
        UPDATE audit_entries SET sequence = -1 WHERE sequence = ${first};
        UPDATE audit_entries SET sequence = ${first} WHERE sequence = ${second};
        UPDATE audit_entries SET sequence = ${second} WHERE sequence = -1`);
      expect(faults.some((fault) => fault.sequence === first)).toBe(true);
    }
  });

  it("finds an entry that was added at the end, with and without a moved head", async () => {
    const added = `INSERT INTO audit_entries SELECT practice_id, sequence + 1, at, entry, hash, repeat('0', 64), event, actor_id, horse_id, subject_type, subject_id
      FROM audit_entries ORDER BY sequence DESC LIMIT 1`;
    const { entries } = await verify();
    expect(await faultsAfter(added)).toContainEqual({
      sequence: entries + 1,
      what: "was added beside the log",
    });
    const moved = await faultsAfter(
      `${added}; UPDATE audit_heads SET sequence = sequence + 1, hash = repeat('0', 64)`,
    );
    expect(moved).toContainEqual({ sequence: entries + 1, what: "was altered" });
  });

  it("finds an emptied log", async () => {
    expect((await faultsAfter("DELETE FROM audit_entries")).length).toBeGreaterThan(0);
    const all = await faultsAfter("DELETE FROM audit_entries; DELETE FROM audit_heads");
    expect(all.map((fault) => fault.what)).toEqual([
      expect.stringContaining("a signature the log does not know"),
    ]);
  });

  it("finds any changed character of what was signed and of the signature", async () => {
    const [row] = (await service.query("SELECT signed_text, signature FROM prescriptions")) as {
      signed_text: string;
      signature: string;
    }[];
    if (row === undefined) throw new Error("nothing was signed");
    const random = randomFrom(99);
    for (let round = 0; round < 30; round += 1) {
      const column = round % 3 === 0 ? "signature" : "signed_text";
      const at = Math.floor(random() * row[column].length);
      const other = row[column][at] === "7" ? "8" : "7";
      const changed = row[column].slice(0, at) + other + row[column].slice(at + 1);
      expect(
        (await faultsAfter(`UPDATE prescriptions SET ${column} = ${quoted(changed)}`)).map(
          (fault) => fault.what,
        ),
      ).toContain(`prescription ${prescriptionId} does not match its signature`);
    }
  });

  it.each([
    ["feet", `jsonb_set(feet, '{0,heelRemoveMm}', '9')`],
    ["aim", "'Something else'"],
    ["doNot", "ARRAY['Nothing']", "do_not"],
    ["conditions", "'{}'"],
    ["intervalDays", "interval_days + 1", "interval_days"],
    ["radiographIds", "ARRAY[gen_random_uuid()]", "radiograph_ids"],
    ["horse.id", "gen_random_uuid()", "horse_id"],
    ["caseId", "gen_random_uuid()", "case_id"],
    ["number", "number + 1"],
    ["findings", "'[]'"],
    ["overrides", `'[{"rule":"a","reason":"b"}]'`],
    ["signer.id", "gen_random_uuid()", "signed_by"],
    ["signedAt", "signed_at + interval '1 millisecond'", "signed_at"],
  ])("finds a signed prescription whose %s was changed", async (field, value, column = field) => {
    const faults = await faultsAfter(`UPDATE prescriptions SET ${column} = ${value}`);
    expect(faults.map((fault) => fault.what)).toEqual([
      `prescription ${prescriptionId} says something else under ${field} than what was signed`,
    ]);
  });

  it("finds a signature that was taken away, with its prescription or without", async () => {
    const gone = { sequence: expect.any(Number), what: expect.stringContaining("is gone") };
    expect(await faultsAfter("DELETE FROM prescriptions")).toEqual([gone]);
    expect(
      await faultsAfter(
        "UPDATE prescriptions SET signed_text = NULL, signature = NULL, signing_key_id = NULL, signed_at = NULL, signed_by = NULL, status = 'draft'",
      ),
    ).toEqual([gone]);
    expect(await faultsAfter("UPDATE prescriptions SET signature = NULL")).toContainEqual({
      sequence: null,
      what: `prescription ${prescriptionId} has lost its signature`,
    });
  });

  it("does not take another key in place of the one that signed", async () => {
    await verify();
    expect(await service.query("SELECT count(*)::int AS n FROM signing_keys")).toEqual([{ n: 1 }]);
    // Public key of RFC 8032 section 7.1, TEST 2.
    const other = "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c";
    const faults = await faultsAfter(`UPDATE signing_keys SET public_key = '${other}'`);
    expect(faults).toEqual([
      {
        sequence: null,
        what: `prescription ${prescriptionId} is signed with a key that is not on record`,
      },
    ]);
  });

  it("cannot be done by the service's own role in the first place", async () => {
    await expect(
      service.query("SET LOCAL ROLE heelward_app; DELETE FROM audit_entries"),
    ).rejects.toThrow(/permission denied/);
    await expect(service.query("UPDATE audit_entries SET event = 'x'")).rejects.toThrow(
      /only grows/,
    );
  });
});
