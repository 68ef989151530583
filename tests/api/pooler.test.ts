import { afterAll, beforeAll, expect, it } from "vitest";
import { connect, inPractice, type Database } from "../../apps/api/src/database/client.ts";
import { startPooler } from "../support/pooler.ts";
import { startTestService, type TestService } from "../support/service.ts";

// source of the pooler: PgBouncer from Debian, pool_mode = transaction, two server connections

let service: TestService;
let pooler: Awaited<ReturnType<typeof startPooler>>;
let processes: readonly Database[];

beforeAll(async () => {
  service = await startTestService();
  pooler = await startPooler(service.appUrl);
  processes = [1, 2, 3].map(() => connect(pooler.url, 4, { isPooled: true }));
});
afterAll(async () => {
  await Promise.all(processes.map((db) => db.$disconnect()));
  await pooler.stop();
  await service.close();
});

it("shows each person their own horses only, while three processes share two connections transaction by transaction", async () => {
  const { practiceId, horseId, vet, farrier, carer, owner } = service;
  const stranger = await service.personWith("owner", "Other Owner");
  const elsewhere = "0199e000-0000-7000-8000-00000000beef";
  const scopes = [
    { who: { practiceId, personId: vet.id, roles: ["vet"] }, sees: [horseId] },
    { who: { practiceId, personId: farrier.id, roles: ["farrier"] }, sees: [horseId] },
    { who: { practiceId, personId: carer.id, roles: ["carer"] }, sees: [horseId] },
    { who: { practiceId, personId: owner.id, roles: ["owner"] }, sees: [horseId] },
    { who: { practiceId, personId: stranger.id, roles: ["owner"] }, sees: [] },
    { who: { practiceId: elsewhere, personId: vet.id, roles: ["vet"] }, sees: [] },
  ];
  const asked = Array.from({ length: 300 }, async (_, at) => {
    const scope = scopes[at % scopes.length];
    const db = processes[at % processes.length];
    if (scope === undefined || db === undefined) throw new Error("nobody asks");
    const rows = await inPractice(
      db,
      scope.who,
      (tx) => tx.$queryRaw<{ id: string }[]>`SELECT id FROM horses`,
    );
    return { expected: scope.sees, found: rows.map((row) => row.id) };
  });
  for (const { expected, found } of await Promise.all(asked)) expect(found).toEqual(expected);
});

it("leaves nothing of a person behind on a shared connection", async () => {
  const [db] = processes;
  if (db === undefined) throw new Error("no process");
  for (let round = 0; round < 10; round += 1) {
    // One after the other, on whichever connection is free.
    // oxlint-disable-next-line no-await-in-loop
    const [row] = await db.$queryRaw<{ practice: string | null; horses: number }[]>`
      SELECT nullif(current_setting('app.practice', true), '') AS practice, (SELECT count(*)::int FROM horses) AS horses`;
    expect(row).toEqual({ practice: null, horses: 0 });
  }
});
