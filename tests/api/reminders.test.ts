import request from "supertest";
import { afterAll, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { connect, type Database } from "../../apps/api/src/database/client.ts";
import { asSystem } from "../../apps/api/src/jobs/as-system.ts";
import { remindOfVisits } from "../../apps/api/src/jobs/nightly.ts";
import { dispatchOutbox } from "../../apps/api/src/mail/dispatch-outbox.ts";
import { smtpMailer } from "../../apps/api/src/mail/mailer.ts";
import { SENDER } from "../support/background.ts";
import { startMailServer, type TestMailServer } from "../support/mail-server.ts";
import { startTestService, TEST_MAIL, type TestService } from "../support/service.ts";

let service: TestService;
let post: TestMailServer;
let db: Database;
let resetId: string;
const BOOKED_FOR = "2026-10-16T09:00:00+01:00";

beforeAll(async () => {
  post = await startMailServer();
  service = await startTestService();
  db = connect(service.appUrl, 5);
});
beforeEach(async () => {
  await service.query("TRUNCATE resets, cases, outbox CASCADE");
  await service.query("UPDATE horses SET status = 'active'");
  const started = await service.manager.send("post", `/horses/${service.horseId}/resets`, {
    lastDoneOn: "2026-09-18",
    intervalDays: 28,
  });
  resetId = (started.body as { id: string }).id;
});
afterAll(async () => {
  await db.$disconnect();
  await service.close();
  await post.close();
});

const readReset = async () => (await service.manager.get(`/resets/${resetId}`)).body;
const book = async (bookedFor = BOOKED_FOR) => {
  const { version } = await readReset();
  const booked = await service.manager.send(
    "post",
    `/resets/${resetId}/booking`,
    { bookedFor, reason: "agreed" },
    version,
  );
  expect(booked.status, booked.text).toBe(200);
};
const remind = (person = service.manager) => person.send("post", `/resets/${resetId}/reminders`);
const dispatch = async () => {
  const mailer = smtpMailer(post.url, SENDER);
  try {
    return await dispatchOutbox({ db, mailer, room: TEST_MAIL }, service.practiceId, service.now());
  } finally {
    mailer.close();
  }
};
/** Sends a reminder and gives the token of the link in the letter. */
const tokenByMail = async (): Promise<string> => {
  const answer = await remind();
  expect(answer.status, answer.text).toBe(201);
  expect(answer.body.writtenTo).toEqual([{ id: service.owner.id, name: "Odo Owner" }]);
  expect(await dispatch()).toMatchObject({ sent: 1 });
  const token = /\/reminder\/([\w-]+)/u.exec(post.letters.at(-1)?.text ?? "")?.[1];
  if (token === undefined) throw new Error("no link in the letter");
  return token;
};
const open = (token: string) => request(service.app.server).get(`/api/v1/reminders/${token}`);
const answer = (token: string, body: object) =>
  request(service.app.server).post(`/api/v1/reminders/${token}/answer`).send(body);

describe("a reminder to the owner", () => {
  it("says horse, yard and time, and nothing of the file", async () => {
    await book();
    const token = await tokenByMail();
    const letter = post.letters.at(-1);
    expect(letter?.to).toEqual([service.owner.email]);
    expect(letter?.text).toContain("Test Horse");
    expect(letter?.text).toContain("Friday 16 October, 09:00");
    expect(letter?.text).not.toMatch(/laminitis|Obel|breakover|phenylbutazone/iu);
    const seen = await open(token);
    expect(seen.status).toBe(200);
    expect(seen.body).toEqual({
      practice: { name: "Test Practice", phone: "+353 1 000 0000" },
      horseName: "Test Horse",
      yard: "Test Yard",
      bookedFor: "2026-10-16T08:00:00.000Z",
      timeZone: "Europe/Dublin",
      answered: null,
    });
  });

  it.each([
    ["yes", "carry out"],
    ["no", "chase the owner"],
    ["call me", "chase the owner"],
  ] as const)(
    "answered with %s, it moves the board and the log and works once",
    async (word, action) => {
      await book();
      const token = await tokenByMail();
      expect((await readReset()).contactLine).toMatch(/^1 unanswered try: mail 14 October 2026/u);
      const first = await answer(token, { answer: word });
      expect(first.status, first.text).toBe(200);
      const reset = await readReset();
      expect(reset.ownerAnswer).toBe(word);
      expect(reset.whoseMove.action).toBe(action);
      expect(reset.contactLine).toBeNull();
      expect(reset.attempts[0]).toMatchObject({
        kind: "contact",
        channel: "mail",
        answer: word,
        madeBy: { name: "Odo Owner" },
      });
      expect((await answer(token, { answer: "yes" })).status, "a link works once").toBe(404);
      const used = await open(token);
      expect(used.status, "a used link shows what was answered").toBe(200);
      expect(used.body).toMatchObject({
        practice: { phone: "+353 1 000 0000" },
        bookedFor: "2026-10-16T08:00:00.000Z",
        answered: { answer: word, at: expect.any(String), holds: true },
      });
      const [entry] = await service.query(
        "SELECT actor_id FROM audit_entries WHERE event = 'reminder.answered' ORDER BY sequence DESC LIMIT 1",
      );
      expect(entry).toEqual({ actor_id: service.owner.id });
    },
  );

  it("can be answered once only, also when two answers come at the same moment", async () => {
    await book();
    const token = await tokenByMail();
    const both = await Promise.all([
      answer(token, { answer: "yes" }),
      answer(token, { answer: "no" }),
    ]);
    expect(both.map((one) => one.status).toSorted((a, b) => a - b)).toEqual([200, 404]);
  });

  it("does not speak of a date that was moved: the old link is dead and the answer forgotten", async () => {
    await book();
    const token = await tokenByMail();
    await answer(token, { answer: "yes" });
    await book("2026-10-15T10:00:00+01:00");
    expect((await readReset()).ownerAnswer).toBeNull();
    const second = await tokenByMail();
    await book("2026-10-16T11:00:00+01:00");
    expect((await open(second)).status).toBe(404);
    expect((await answer(second, { answer: "yes" })).status).toBe(404);
  });

  it("asks whether a date may be booked where there is none", async () => {
    const token = await tokenByMail();
    expect(post.letters.at(-1)?.text).toContain("May we book a visit");
    expect((await open(token)).body.bookedFor).toBeNull();
  });

  it("is not written twice a day about one date", async () => {
    await book();
    await tokenByMail();
    const again = await remind();
    expect(again.body).toMatchObject({
      writtenTo: [],
      notWrittenTo: [{ why: expect.stringContaining("within the last day") }],
    });
    expect(await dispatch()).toMatchObject({ sent: 0 });
  });

  it("is never sent for a closed case, nor when the case closes between writing and sending", async () => {
    await book();
    await service.query(
      `INSERT INTO cases (practice_id, id, horse_id, number, opened_at, phase, phase_since) VALUES ($1, gen_random_uuid(), $2, 1, '2026-09-01', 'acute', '2026-09-01')`,
      [service.practiceId, service.horseId],
    );
    expect((await remind()).status).toBe(201);
    await service.query("UPDATE cases SET phase = 'closed', closed_at = '2026-10-14'");
    const before = post.letters.length;
    expect(await dispatch()).toMatchObject({ sent: 0, dropped: 1 });
    expect(post.letters).toHaveLength(before);
    const refused = await remind();
    expect(refused.status).toBe(409);
    expect(refused.body.detail).toContain("the case is closed");
    const written = await asSystem(db, service.practiceId, service.now(), (work) =>
      remindOfVisits(work, TEST_MAIL),
    );
    expect(written).toBe(0);
  });

  it("is not sent for a horse that died, was sold or is away", async () => {
    for (const status of ["died", "sold", "away"]) {
      // oxlint-disable-next-line no-await-in-loop
      await service.query("UPDATE horses SET status = $1", [status]);
      // oxlint-disable-next-line no-await-in-loop
      expect((await remind()).status, status).toBe(409);
    }
  });

  it("goes out by itself three days before, once for each date, and says who wrote", async () => {
    await book();
    const run = () =>
      asSystem(db, service.practiceId, service.now(), (work) => remindOfVisits(work, TEST_MAIL));
    expect(await run()).toBe(1);
    expect(await run()).toBe(0);
    expect((await readReset()).attempts[0]).toMatchObject({
      channel: "mail",
      madeBy: { name: "Reminder service" },
    });
  });

  it("belongs to staff: carers and owners send none", async () => {
    for (const person of [service.carer, service.owner])
      // oxlint-disable-next-line no-await-in-loop
      expect((await remind(person)).status).toBe(403);
  });

  it("keeps no usable link: neither table holds the token", async () => {
    await book();
    const token = await tokenByMail();
    const rows = await service.query(
      "SELECT (SELECT json_agg(r)::text FROM reminders r) AS reminders, (SELECT json_agg(o)::text FROM outbox o) AS outbox",
    );
    expect(JSON.stringify(rows)).not.toContain(token);
  });
});

describe("the contact log", () => {
  it("shows two unanswered texts on the alert of a late horse, until somebody answers", async () => {
    const late = await service.query(
      "UPDATE resets SET last_done_on = '2026-09-08', due_on = '2026-10-06' RETURNING id",
    );
    expect(late).toHaveLength(1);
    const log = (at: string, more = {}) =>
      service.manager.send("post", `/resets/${resetId}/attempts`, {
        detail: "Text to the owner",
        at,
        channel: "text",
        ...more,
      });
    await log("2026-10-09T09:00:00+01:00");
    await log("2026-10-12T09:00:00+01:00");
    const red = await readReset();
    expect(red.state).toBe("red");
    expect(red.reasons).toContain("2 unanswered tries: text 9 October 2026, text 12 October 2026");
    await log("2026-10-14T07:00:00+01:00", { reply: "Call me please" });
    const heard = await readReset();
    expect(heard.contactLine).toBeNull();
    expect(heard.ownerAnswer).toBe("call me");
  });

  it("does not take half an answer for a yes", async () => {
    await book();
    await service.manager.send("post", `/resets/${resetId}/attempts`, {
      detail: "Text",
      at: "2026-10-14T07:00:00+01:00",
      channel: "text",
      reply: "Yes but not Friday",
    });
    const reset = await readReset();
    expect(reset.ownerAnswer).not.toBe("yes");
    expect(reset.whoseMove.action).toBe("chase the owner");
  });
});
