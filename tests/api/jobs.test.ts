import { randomUUID } from "node:crypto";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { getConstructionPlans } from "pg-boss";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { connect, type Database } from "../../apps/api/src/database/client.ts";
import { repositoryFolder } from "../../apps/api/src/database/files.ts";
import { asSystem } from "../../apps/api/src/jobs/as-system.ts";
import { escalate } from "../../apps/api/src/jobs/escalate.ts";
import { dispatchOutbox } from "../../apps/api/src/mail/dispatch-outbox.ts";
import { smtpMailer } from "../../apps/api/src/mail/mailer.ts";
import { SENDER, startBackground, until } from "../support/background.ts";
import { startMailServer, type TestMailServer } from "../support/mail-server.ts";
import { startTestService, TEST_MAIL, type TestService } from "../support/service.ts";

const HOUR = 3_600_000;

let service: TestService;
let post: TestMailServer;
let db: Database;
beforeAll(async () => {
  service = await startTestService();
  db = connect(service.appUrl, 5);
});
beforeEach(async () => {
  post = await startMailServer();
});
afterEach(async () => {
  await post.close();
});
afterAll(async () => {
  await db.$disconnect();
  await service.close();
});

const invite = async (name = randomUUID().slice(0, 8)) => {
  const answer = await service.manager.send("post", "/invitations", {
    email: `${name}@test.invalid`,
    name,
    roles: ["carer"],
  });
  expect(answer.status).toBe(201);
  return answer.body as { id: string; email: string; link: string };
};
const dispatch = async (url = post.url, laterMs = 0) => {
  const mailer = smtpMailer(url, SENDER);
  try {
    return await dispatchOutbox(
      { db, mailer, room: TEST_MAIL },
      service.practiceId,
      service.now() + laterMs,
    );
  } finally {
    mailer.close();
  }
};
const outbox = (email: string) =>
  service
    .query("SELECT * FROM outbox WHERE payload->>'to' = $1", [email])
    .then((rows) => rows[0] ?? {});

describe("the queue's tables", () => {
  it("are those of the installed library, so that an upgrade without a migration is noticed", () => {
    const { pgboss } = createRequire(import.meta.url)("pg-boss/package.json") as {
      pgboss: { schema: number };
    };
    const migration = readFileSync(
      join(repositoryFolder, "prisma/migrations/0002_job_queue/migration.sql"),
      "utf8",
    );
    const words = (text: string) =>
      text
        .replaceAll(/--.*$/gmu, "")
        .replaceAll(/^\s*(BEGIN|COMMIT);\s*$/gmu, "")
        .split(/\s+/u)
        .filter((word) => word !== "")
        .join(" ");
    expect(words(migration)).toContain(words(getConstructionPlans("jobs")));
    expect(migration).toContain(`VALUES ('${pgboss.schema}')`);
  });

  it("belong to the owner: the service's role can use rows and make nothing", async () => {
    const [owned] = await service.query(
      "SELECT count(*)::int AS n FROM pg_class c JOIN pg_namespace s ON s.oid = c.relnamespace WHERE s.nspname = 'jobs' AND pg_get_userbyid(c.relowner) = 'heelward_app'",
    );
    expect(owned).toEqual({ n: 0 });
    await expect(db.$executeRawUnsafe("CREATE TABLE jobs.mine (id int)")).rejects.toThrow(
      /permission denied/u,
    );
    await expect(db.$executeRawUnsafe("TRUNCATE jobs.job")).rejects.toThrow(/permission denied/u);
  });
});

describe("letters in the outbox", () => {
  it("carry the invitation's link, which works, and of which nothing is left afterwards", async () => {
    const { email, link, id } = await invite();
    const waiting = await outbox(email);
    const secret = link.replace("/invitation/", "");
    expect(JSON.stringify(waiting)).not.toContain(secret);
    expect(waiting["sealed_secret"]).toEqual(expect.any(String));
    expect(await dispatch()).toMatchObject({ sent: 1 });
    const [letter] = post.letters;
    expect(letter?.to).toEqual([email]);
    expect(letter?.from).toBe("desk@practice.invalid");
    expect(letter?.text).toContain(`${TEST_MAIL.publicUrl}${link}`);
    expect(await outbox(email)).toMatchObject({ sealed_secret: null, attempts: 1 });
    const accepted = await service.manager.send("post", "/invitations/acceptance", {
      token: secret,
      password: "a long enough pass phrase",
    });
    expect(accepted.status, `invitation ${id}`).toBe(201);
  });

  it("are sent once, however many processes look at the same moment", async () => {
    const invited = await Promise.all([invite(), invite(), invite(), invite(), invite()]);
    await Promise.all([dispatch(), dispatch(), dispatch(), dispatch()]);
    await dispatch();
    expect(post.letters.map((letter) => letter.to.join()).toSorted()).toEqual(
      invited.map((one) => one.email).toSorted(),
    );
  });

  it("are tried again later when the server refuses, and carry the same id every time", async () => {
    const { email } = await invite();
    post.answer("come back later");
    expect(await dispatch()).toMatchObject({ sent: 0, failed: 1 });
    expect(await outbox(email)).toMatchObject({
      attempts: 1,
      sent_at: null,
      last_error: expect.stringContaining("come back later"),
    });
    expect(await dispatch(), "not before its time").toEqual({ sent: 0, dropped: 0, failed: 0 });
    post.answer(true);
    expect(await dispatch(post.url, 61_000)).toMatchObject({ sent: 1 });
    const row = await outbox(email);
    expect(post.letters.at(-1)?.messageId).toBe(`<${String(row["id"])}@practice.invalid>`);
  });

  it("wait out a server that is away, and are given up in the end with their secret wiped", async () => {
    const { email } = await invite();
    // The waits are 1, 5, 15, 60, 180, 720 and 1440 minutes (house rule).
    for (const minutes of [0, 2, 8, 24, 90, 280, 1010, 2460])
      // Each try comes after the wait of the one before.
      // oxlint-disable-next-line no-await-in-loop
      await dispatch("smtp://127.0.0.1:9", minutes * 60_000);
    expect(await outbox(email)).toMatchObject({
      attempts: 8,
      sealed_secret: null,
      dropped_because: "the mail server did not take it",
    });
    expect(await dispatch()).toEqual({ sent: 0, dropped: 0, failed: 0 });
  });

  it("are dropped when what they speak of is over: a withdrawn invitation sends nothing", async () => {
    const { email, id } = await invite();
    await service.manager.send("delete", `/invitations/${id}`, undefined, 1);
    expect(await dispatch()).toMatchObject({ sent: 0, dropped: 1 });
    expect(post.letters).toEqual([]);
    expect(await outbox(email)).toMatchObject({
      dropped_because: "withdrawn",
      sealed_secret: null,
    });
  });

  it("stay in their practice: another practice's dispatch does not see them", async () => {
    await invite();
    const mailer = smtpMailer(post.url, SENDER);
    const other = await dispatchOutbox(
      { db, mailer, room: TEST_MAIL },
      randomUUID(),
      service.now(),
    );
    mailer.close();
    expect(other).toEqual({ sent: 0, dropped: 0, failed: 0 });
    await dispatch();
  });
});

describe("what is late", () => {
  it("climbs once: an unacknowledged note goes to the practice manager, by list and by letter", async () => {
    const written = await service.vet.send("post", "/handoff-notes", {
      horseId: service.horseId,
      toRole: "farrier",
      urgent: true,
      situation: "The shoe moved.",
      mustDo: "Ring me.",
    });
    expect(written.status).toBe(201);
    const run = (laterMs: number) =>
      asSystem(db, service.practiceId, service.now() + laterMs, escalate);
    expect(await run(0)).toMatchObject({ notes: 0 });
    const late = 80 * HOUR;
    const ran = await Promise.all([run(late), run(late), run(late)]);
    expect(ran.reduce((sum, one) => sum + one.notes, 0)).toBe(1);
    expect(await run(late)).toMatchObject({ notes: 0 });
    await dispatch(post.url, late);
    const letters = post.letters.filter((letter) => letter.to.includes(service.manager.email));
    expect(letters).toHaveLength(1);
    expect(letters[0]?.text, "a letter names no horse and no finding").not.toMatch(
      /Test Horse|shoe/u,
    );
    const [events] = await service.query(
      "SELECT count(*)::int AS n FROM case_events WHERE title = 'Note climbed to the practice manager'",
    );
    expect(events).toEqual({ n: 1 });
  });

  it("tells of a reset that turned red once, and again only after it was green in between", async () => {
    const started = await service.manager.send("post", `/horses/${service.horseId}/resets`, {
      lastDoneOn: "2026-09-01",
      intervalDays: 35,
    });
    expect(started.status, started.text).toBe(201);
    const run = () => asSystem(db, service.practiceId, service.now() + 14 * 24 * HOUR, escalate);
    expect(await run()).toMatchObject({ resets: 1 });
    expect(await run()).toMatchObject({ resets: 0 });
    const { id } = started.body as { id: string };
    await service.query("UPDATE resets SET last_done_on = $1 WHERE id = $2", ["2026-10-30", id]);
    expect(await run()).toMatchObject({ resets: 0 });
    await service.query("UPDATE resets SET last_done_on = $1 WHERE id = $2", ["2026-09-01", id]);
    expect(await run()).toMatchObject({ resets: 1 });
  });
});

describe("the running jobs", () => {
  it("send a letter soon after it was written, work under the role that owns nothing, and stop cleanly", async () => {
    await dispatch();
    const background = await startBackground(service, post.url);
    try {
      const { email } = await invite();
      await until(
        () => Promise.resolve(post.letters),
        (letters) => letters.some((letter) => letter.to.includes(email)),
      );
      await until(
        () => service.query("SELECT count(*)::int AS n FROM compliance_figures"),
        ([row]) => Number(row?.["n"]) > 0,
      );
    } finally {
      await background.stop();
    }
    expect(background.errors).toEqual([]);
    const [left] = await service.query(
      "SELECT count(*)::int AS n FROM jobs.job_common WHERE state = 'active'",
    );
    expect(left).toEqual({ n: 0 });
  });

  it("keep the night's figures once a day, whoever comes first", async () => {
    const tomorrow = () => service.now() + 24 * HOUR;
    const first = await startBackground(service, undefined, tomorrow);
    const second = await startBackground(service, undefined, tomorrow);
    try {
      await Promise.all([first.jobs.sweep(), second.jobs.sweep(), first.jobs.sweep()]);
      const rows = await service.query(
        "SELECT figured_on, count(*)::int AS n FROM compliance_figures WHERE kind = 'practice' GROUP BY 1 ORDER BY 1",
      );
      expect(rows.length).toBeGreaterThanOrEqual(2);
      expect(rows.every((row) => row["n"] === 1)).toBe(true);
    } finally {
      await first.stop();
      await second.stop();
    }
    expect([...first.errors, ...second.errors]).toEqual([]);
  });
});
