import { afterAll, beforeAll, expect, it } from "vitest";
import { folderBlobStore } from "../../apps/api/src/blobs/blob-store.ts";
import { connect } from "../../apps/api/src/database/client.ts";
import { startJobs } from "../../apps/api/src/jobs/start-jobs.ts";
import { smtpMailer } from "../../apps/api/src/mail/mailer.ts";
import { createSigner } from "../../apps/api/src/records/signer.ts";
import { SENDER, until } from "../support/background.ts";
import { startMailServer } from "../support/mail-server.ts";
import { startPooler } from "../support/pooler.ts";
import { startTestService, TEST_MAIL, type TestService } from "../support/service.ts";

// source of the pooler: PgBouncer from Debian, pool_mode = transaction, two server connections

const DAY = 86_400_000;
let service: TestService;
let pooler: Awaited<ReturnType<typeof startPooler>>;
let post: Awaited<ReturnType<typeof startMailServer>>;
beforeAll(async () => {
  service = await startTestService();
  pooler = await startPooler(service.appUrl);
  post = await startMailServer();
});
afterAll(async () => {
  await post.close();
  await pooler.stop();
  await service.close();
});

it("does everything once with two processes behind a pooler: letters, what climbs, the night's figures and notes", async () => {
  const written = await service.vet.send("post", "/handoff-notes", {
    horseId: service.horseId,
    toRole: "farrier",
    urgent: true,
    situation: "The shoe moved.",
    mustDo: "Ring me.",
  });
  expect(written.status, written.text).toBe(201);
  const names = ["ada", "bea", "cia", "dot", "eve", "fay"];
  for (const name of names) {
    // oxlint-disable-next-line no-await-in-loop
    const invited = await service.manager.send("post", "/invitations", {
      email: `${name}@test.invalid`,
      name,
      roles: ["carer"],
    });
    expect(invited.status).toBe(201);
  }
  const blobs = folderBlobStore(service.blobFolder);
  const errors: unknown[] = [];
  const now = () => service.now() + 4 * DAY;
  const start = async () => {
    const db = connect(pooler.url, 4, { isPooled: true });
    const jobs = await startJobs({
      db,
      appUrl: pooler.url,
      listenUrl: service.appUrl,
      now,
      mail: TEST_MAIL,
      mailer: smtpMailer(post.url, SENDER),
      keeping: { blobs, signer: createSigner("00".repeat(32)) },
      log: (what, error) => errors.push([what, error]),
      pollSeconds: 0.5,
    });
    return {
      jobs,
      stop: async () => {
        await jobs.stop();
        await db.$disconnect();
      },
    };
  };
  const processes = [await start(), await start()];
  try {
    await Promise.all(processes.flatMap(({ jobs }) => [jobs.sweep(), jobs.sweep()]));
    await until(
      () => service.query("SELECT count(*)::int AS n FROM outbox WHERE sent_at IS NULL"),
      ([row]) => row?.["n"] === 0,
    );
  } finally {
    await Promise.all(processes.map(({ stop }) => stop()));
  }
  expect(errors).toEqual([]);
  // The invitations, and one letter about the late note to the one practice manager.
  const to = post.letters.map((letter) => letter.to.join()).toSorted();
  expect(to).toEqual(
    [...names.map((name) => `${name}@test.invalid`), service.manager.email].toSorted(),
  );
  const count = async (sql: string) => (await service.query(sql))[0]?.["n"];
  expect(
    await count(
      "SELECT count(*)::int AS n FROM case_events WHERE title = 'Note climbed to the practice manager'",
    ),
  ).toBe(1);
  expect(
    await count("SELECT count(*)::int AS n FROM audit_entries WHERE event = 'handoff.escalated'"),
  ).toBe(1);
  expect(
    await count("SELECT count(*)::int AS n FROM compliance_figures WHERE kind = 'practice'"),
  ).toBe(1);
  expect(await blobs.notes(service.practiceId)).toHaveLength(1);
  const verified = await service.manager.get("/audit/verification");
  expect(verified.body.faults).toEqual([]);
}, 120_000);
