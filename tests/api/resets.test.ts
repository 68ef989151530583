import { randomUUID } from "node:crypto";
import { DateTime } from "luxon";
import { afterAll, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { RESETS } from "../../apps/api/src/demo/data/resets.ts";
import { HORSES } from "../../apps/api/src/demo/data/horses.ts";
import { connect, type Database } from "../../apps/api/src/database/client.ts";
import { keepCompliance } from "../../apps/api/src/features/plans/compliance.ts";
import { asSystem } from "../../apps/api/src/jobs/as-system.ts";
import { startTestService, type TestPerson, type TestService } from "../support/service.ts";

let service: TestService;
let db: Database;
let cover: TestPerson;
beforeAll(async () => {
  service = await startTestService();
  db = connect(service.appUrl, 3);
  cover = await service.personWith("farrier", "Finn Cover");
});
beforeEach(async () => {
  await service.query(
    "TRUNCATE resets, working_weeks, absences, practice_closures, horse_covers, prescriptions, cases, compliance_figures, handoff_notes CASCADE",
  );
  await service.query("DELETE FROM case_events");
  await service.query("DELETE FROM horses WHERE id <> $1", [service.horseId]);
});
afterAll(async () => {
  await db.$disconnect();
  await service.close();
});

interface Facts {
  readonly name?: string;
  readonly lastDoneOn?: string;
  readonly intervalDays?: number;
  readonly bookedFor?: string;
  readonly minutes?: number;
  readonly farrierId?: string;
  readonly forecastLimitOn?: string;
  readonly feet?: string;
}
const addReset = async (facts: Facts = {}): Promise<{ id: string; horseId: string }> => {
  const [id, horseId] = [randomUUID(), randomUUID()];
  const farrierId = facts.farrierId ?? service.farrier.id;
  await service.query(
    "INSERT INTO horses (practice_id, id, name, type, sex, yard_id, farrier_id, feet) VALUES ($1, $2, $3, 'horse', 'mare', $4, $5, $6)",
    [
      service.practiceId,
      horseId,
      facts.name ?? `Horse ${horseId.slice(0, 4)}`,
      service.yardId,
      farrierId,
      facts.feet ?? "bare",
    ],
  );
  await service.query(
    `INSERT INTO resets (practice_id, id, horse_id, farrier_id, status, last_done_on, interval_days, due_on, booked_for, booked_minutes, forecast_limit_on)
     VALUES ($1, $2, $3, $4, $5, $6, $7, $6::date + $7::int, $8, $9, $10)`,
    [
      service.practiceId,
      id,
      horseId,
      farrierId,
      facts.bookedFor === undefined ? "open" : "booked",
      facts.lastDoneOn ?? "2026-09-20",
      facts.intervalDays ?? 28,
      facts.bookedFor ?? null,
      facts.bookedFor === undefined ? null : (facts.minutes ?? 45),
      facts.forecastLimitOn ?? null,
    ],
  );
  return { id, horseId };
};
const read = async (id: string) => (await service.manager.get(`/resets/${id}`)).body;
const book = (id: string, body: object, version = 1, person = service.manager) =>
  person.send("post", `/resets/${id}/booking`, body, version);

describe("the due board", () => {
  it("is amber from one day late and red from seven, and names one person each", async () => {
    const red = await addReset({ lastDoneOn: "2026-09-08" });
    const amber = await addReset({ lastDoneOn: "2026-09-15" });
    const due = await addReset({ lastDoneOn: "2026-09-16" });
    const later = await addReset({ lastDoneOn: "2026-10-10" });
    expect(await read(red.id)).toMatchObject({ state: "red", daysLate: 8 });
    expect(await read(amber.id)).toMatchObject({ state: "amber", daysLate: 1 });
    expect(await read(due.id)).toMatchObject({ state: "due", daysLate: 0 });
    expect(await read(later.id)).toMatchObject({ state: "not due" });
    for (const one of [red, amber, due])
      // oxlint-disable-next-line no-await-in-loop
      expect((await read(one.id)).whoseMove.person.length).toBeGreaterThan(0);
  });

  it("counts days in the yard's calendar: red begins at midnight there, not at the server", async () => {
    await service.query("UPDATE yards SET time_zone = 'Pacific/Auckland'");
    // 07:10 in Dublin on the 14th is 19:10 on the 14th in Auckland; seven days late there.
    const far = await addReset({ lastDoneOn: "2026-09-09" });
    expect(await read(far.id)).toMatchObject({ state: "red", daysLate: 7 });
    await service.query("UPDATE yards SET time_zone = 'Pacific/Honolulu'");
    expect(await read(far.id), "still the 13th there").toMatchObject({
      state: "amber",
      daysLate: 6,
    });
    await service.query("UPDATE yards SET time_zone = 'Europe/Dublin'");
  });

  it("can be sorted by the latest safe day: thinnest slack first, horses without a forecast last", async () => {
    const calm = await addReset({ lastDoneOn: "2026-09-20", forecastLimitOn: "2026-10-30" });
    const none = await addReset({ lastDoneOn: "2026-09-12" });
    const tight = await addReset({ lastDoneOn: "2026-09-28", forecastLimitOn: "2026-10-16" });
    const middle = await addReset({ lastDoneOn: "2026-09-25", forecastLimitOn: "2026-10-20" });
    const first = await service.manager.get("/resets?sort=latest%20safe&limit=3");
    expect(first.body.items.map((one: { id: string }) => one.id)).toEqual([
      tight.id,
      middle.id,
      calm.id,
    ]);
    expect(first.body.items[0].daysUntilLatestSafe).toBe(2);
    const rest = await service.manager.get(
      `/resets?sort=latest%20safe&limit=3&cursor=${first.body.nextCursor}`,
    );
    expect(rest.body.items.map((one: { id: string }) => one.id)).toEqual([none.id]);
    expect(rest.body.nextCursor).toBeNull();
  });

  it("takes the shorter of forecast and interval, says so, and leaves the vet's interval alone", async () => {
    // The scenario's mare in spring: reset on 4 May with 6 mm, limit 12 mm, 28 days; the fast edge of growth meets the limit on day 26.
    const { id } = await addReset({ lastDoneOn: "2026-09-25", forecastLimitOn: "2026-10-21" });
    const reset = await read(id);
    expect(reset).toMatchObject({
      intervalDays: 28,
      dueOn: "2026-10-23",
      bookBy: "2026-10-21",
      latestSafeOn: "2026-10-21",
    });
    expect(reset.findings[0].detail).toMatch(
      /day 26 \(21 October 2026\); 28 days leaves no slack/u,
    );
  });

  it("as a table is RFC 4180, and no spreadsheet takes a name for a formula", async () => {
    await addReset({ name: '=HYPERLINK("http://x")', lastDoneOn: "2026-09-08" });
    await addReset({ name: "Comma, Horse" });
    const answer = await service.manager.get("/resets/board.csv");
    expect(answer.status).toBe(200);
    expect(answer.headers["content-type"]).toMatch(/^text\/csv/u);
    const lines = answer.text.replace("\uFEFF", "").split("\r\n");
    expect(lines).toHaveLength(4);
    expect(lines[1]).toMatch(/^"'=HYPERLINK\(""http:\/\/x""\)",/u);
    expect(lines[2]).toMatch(/^"Comma, Horse",/u);
    for (const line of lines) expect(line).not.toMatch(/(?:^|,)"?[=+@]/u);
    for (const person of [service.farrier, service.carer, service.owner])
      // oxlint-disable-next-line no-await-in-loop
      expect((await person.get("/resets/board.csv")).status).toBe(403);
  });

  it("tells of a film to take first while a foot is being changed, and not for a sound horse", async () => {
    const { id, horseId } = await addReset();
    expect((await read(id)).filmNeeded).toBeNull();
    await service.query(
      "INSERT INTO cases (practice_id, id, horse_id, number, opened_at, phase, phase_since) VALUES ($1, gen_random_uuid(), $2, 1, '2026-09-01', 'subacute', '2026-09-01')",
      [service.practiceId, horseId],
    );
    expect((await read(id)).filmNeeded).toMatch(/no film yet; take one from 4 October 2026/u);
  });
});

describe("booking", () => {
  it("warns before a day gets too long, with the sum beside the day's length", async () => {
    await service.manager.send(
      "put",
      `/people/${service.farrier.id}/working-week`,
      { hours: [{ weekday: 5, starts: "08:00", ends: "12:00" }] },
      1,
    );
    await addReset({ bookedFor: "2026-10-16T08:00:00+01:00", minutes: 120 });
    await addReset({ bookedFor: "2026-10-16T10:30:00+01:00", minutes: 60 });
    const { id } = await addReset({ feet: "bevelled glue-on" });
    const asked = await service.manager.send("post", `/resets/${id}/booking/check`, {
      bookedFor: "2026-10-16T11:30:00+01:00",
    });
    expect(asked.status, asked.text).toBe(200);
    expect(asked.body).toMatchObject({
      isAllowed: true,
      minutes: 90,
      dayMinutes: 270,
      dayLengthMinutes: 240,
    });
    expect(asked.body.findings.map((one: { rule: string }) => one.rule)).toContain(
      "cycle/booking-day-too-long@1",
    );
    const clash = await service.manager.send("post", `/resets/${id}/booking/check`, {
      bookedFor: "2026-10-16T08:30:00+01:00",
    });
    expect(clash.body.findings.map((one: { rule: string }) => one.rule)).toContain(
      "cycle/booking-overlaps@1",
    );
    expect((await read(id)).status, "asking books nothing").toBe("open");
  });

  it("estimates the time by the work: bare, nailed, glued (common practice, no source)", async () => {
    const [bare, nailed, glued] = [
      await addReset({ feet: "bare" }),
      await addReset({ feet: "rolled toe, nailed" }),
      await addReset({ feet: "glue-on, bevelled" }),
    ];
    expect((await read(bare.id)).estimatedMinutes).toBe(30);
    expect((await read(nailed.id)).estimatedMinutes).toBe(60);
    expect((await read(glued.id)).estimatedMinutes).toBe(90);
    const booked = await book(glued.id, { bookedFor: "2026-10-16T09:00:00+01:00" });
    expect(booked.body.bookedMinutes).toBe(90);
  });

  it("does not put a visit on a day off, a holiday or beyond a farrier's week", async () => {
    const { id } = await addReset();
    const away = await service.manager.send("post", "/absences", {
      personId: service.farrier.id,
      fromOn: "2026-10-15",
      toOn: "2026-10-16",
      reason: "course",
    });
    expect(away.status).toBe(201);
    const refused = await book(id, { bookedFor: "2026-10-16T09:00:00+01:00" });
    expect(refused.status).toBe(422);
    expect(refused.body.detail).toMatch(/does not work on 16 October 2026; ask for cover/u);
    await service.manager.send("delete", `/absences/${away.body.id}`, undefined, 1);
    await service.manager.send("post", "/closures", { closedOn: "2026-10-16", reason: "holiday" });
    expect((await book(id, { bookedFor: "2026-10-16T09:00:00+01:00" })).status).toBe(422);
    await service.manager.send("delete", "/closures/2026-10-16");
    expect((await book(id, { bookedFor: "2026-10-16T09:00:00+01:00" })).status).toBe(200);
  });

  it("offers slots inside the limits after a cancellation; the due day never moves later", async () => {
    const { id } = await addReset({ bookedFor: "2026-10-15T09:00:00+01:00" });
    const dueBefore = (await read(id)).dueOn;
    const cancelled = await service.manager.send(
      "post",
      `/resets/${id}/cancellation`,
      { kind: "cancelled", detail: "Owner away", personToRebook: service.manager.id },
      1,
    );
    expect(cancelled.status, cancelled.text).toBe(200);
    const slots = await service.manager.get(`/resets/${id}/slots`);
    expect(slots.status, slots.text).toBe(200);
    expect(slots.body.dueOn).toBe(dueBefore);
    expect((await read(id)).dueOn).toBe(dueBefore);
    expect(slots.body.items.length).toBeGreaterThan(0);
    for (const slot of slots.body.items) {
      expect(slot.on <= slots.body.lastDayOn).toBe(true);
      const at = DateTime.fromISO(slot.startAt, { zone: "Europe/Dublin" });
      expect(at.weekday).toBeLessThanOrEqual(5);
      expect(at.hour).toBeGreaterThanOrEqual(8);
      if (slot.on > dueBefore) expect(slot.note).toContain(`after the due day ${dueBefore}`);
    }
    const [first] = slots.body.items;
    const booked = await book(id, { bookedFor: first.startAt }, 2);
    expect(booked.status, "what is offered can be booked").toBe(200);
  });

  it("offers no hour that is taken", async () => {
    await addReset({ bookedFor: "2026-10-15T08:00:00+01:00", minutes: 240 });
    const { id } = await addReset();
    const slots = await service.manager.get(`/resets/${id}/slots?minutes=60`);
    const on15 = slots.body.items.find((one: { on: string }) => one.on === "2026-10-15");
    expect(Date.parse(on15.startAt)).toBeGreaterThanOrEqual(
      Date.parse("2026-10-15T12:30:00+01:00"),
    );
  });
});

describe("cover", () => {
  const PLAN_FEET = [{ foot: "LF", shoe: "heart-bar", fixing: "nailed" }];
  it("moves the list with its plans to the cover and flags a complex first fit", async () => {
    await service.manager.send(
      "put",
      `/people/${cover.id}/working-week`,
      {
        hours: [1, 2, 3, 4, 5].map((weekday) => ({ weekday, starts: "08:00", ends: "15:30" })),
        skills: [],
        yardIds: [service.yardId],
      },
      1,
    );
    const simple = await addReset({ bookedFor: "2026-10-16T09:00:00+01:00" });
    const complex = await addReset({ bookedFor: "2026-10-16T11:00:00+01:00" });
    const beyond = await addReset({ lastDoneOn: "2026-10-10" });
    const caseId = randomUUID();
    await service.query(
      "INSERT INTO cases (practice_id, id, horse_id, number, opened_at, phase, phase_since) VALUES ($1, $2, $3, 1, '2026-09-01', 'chronic active', '2026-09-01')",
      [service.practiceId, caseId, complex.horseId],
    );
    await service.query(
      `INSERT INTO prescriptions (practice_id, id, horse_id, case_id, number, status, aim, feet, interval_days, drafted_by, signed_by, signed_at)
       VALUES ($1, gen_random_uuid(), $2, $3, 1, 'signed', 'unload the toe', $4, 28, $5, $5, now())`,
      [service.practiceId, complex.horseId, caseId, JSON.stringify(PLAN_FEET), service.vet.id],
    );
    const away = { farrierId: service.farrier.id, fromOn: "2026-10-15", toOn: "2026-10-23" };
    const seen = await service.manager.send("post", "/covers/preview", away);
    expect(seen.status, seen.text).toBe(200);
    const of = (id: string) =>
      seen.body.moves.find((one: { resetId: string }) => one.resetId === id);
    expect(of(beyond.id)).toBeUndefined();
    expect(of(simple.id)).toMatchObject({ to: { id: cover.id }, lacks: [] });
    expect(of(complex.id)).toMatchObject({ to: { id: cover.id }, lacks: ["complex first fit"] });
    expect(of(complex.id).prescriptionId).toEqual(expect.any(String));
    expect((await cover.get(`/horses/${complex.horseId}`)).status).toBe(404);

    const moved = await service.manager.send("post", "/covers", {
      ...away,
      reason: "ill",
      moves: [
        { resetId: simple.id, toFarrierId: cover.id, resetVersion: 1 },
        { resetId: complex.id, toFarrierId: cover.id, resetVersion: 99 },
      ],
    });
    expect(moved.status, moved.text).toBe(201);
    const outcome = (id: string) =>
      moved.body.results.find((one: { resetId: string }) => one.resetId === id).outcome;
    expect(outcome(simple.id)).toBe("moved");
    expect(outcome(complex.id), "changed meanwhile").toBe("conflict");
    const taken = await service.manager.send("post", "/covers", {
      ...away,
      reason: "ill",
      moves: [{ resetId: complex.id, toFarrierId: cover.id, resetVersion: 1 }],
    });
    expect(taken.body.results[0].detail).toContain("complex first fit");
    const after = await read(complex.id);
    expect(after.farrier.id).toBe(cover.id);
    expect(after.dueOn, "a cover moves no due day").toBe("2026-10-18");
    const list = await cover.get("/resets");
    expect(list.body.items.map((one: { id: string }) => one.id).toSorted()).toEqual(
      [simple.id, complex.id].toSorted(),
    );
    expect((await cover.get(`/cases/${caseId}`)).status, "with its case").toBe(200);
    const [plans] = await service.query("SELECT count(*)::int AS n FROM prescriptions");
    expect(plans).toEqual({ n: 1 });
    const refused = await book(
      complex.id,
      { bookedFor: "2026-10-16T12:00:00+01:00", farrierId: service.farrier.id },
      2,
    );
    expect(refused.status, "the absent farrier is not booked").toBe(422);
  });

  it("leaves on the board what nobody can take", async () => {
    await service.manager.send(
      "put",
      `/people/${cover.id}/working-week`,
      { hours: [], skills: [], yardIds: [] },
      1,
    );
    const { id } = await addReset({ bookedFor: "2026-10-16T09:00:00+01:00" });
    const seen = await service.manager.send("post", "/covers/preview", {
      farrierId: service.farrier.id,
      fromOn: "2026-10-15",
      toOn: "2026-10-23",
    });
    expect(seen.body.moves).toMatchObject([{ resetId: id, to: null }]);
  });
});

describe("the rota", () => {
  it("is set by the manager or by the farrier for himself, never by another", async () => {
    const week = { hours: [{ weekday: 1, starts: "08:00", ends: "12:00" }] };
    const set = (person: TestPerson, version: number, of = service.farrier.id) =>
      person.send("put", `/people/${of}/working-week`, week, version);
    expect(
      (await service.farrier.get(`/people/${service.farrier.id}/working-week`)).body,
    ).toMatchObject({
      isStandard: true,
      version: 1,
    });
    expect((await set(service.farrier, 1)).status).toBe(200);
    expect((await set(service.manager, 1)).status, "somebody else's version").toBe(412);
    expect((await set(service.manager, 2)).body.version).toBe(3);
    expect((await set(service.farrier, 1, cover.id)).status).toBe(403);
    expect((await set(service.owner, 3)).status).toBe(403);
    const notes = await service.farrier.send("post", "/absences", {
      personId: cover.id,
      fromOn: "2026-10-15",
      toOn: "2026-10-16",
      reason: "not mine to say",
    });
    expect(notes.status).toBe(403);
  });

  it("refuses a day that ends before it starts, a weekday twice and an absence that runs backwards", async () => {
    const put = (hours: unknown) =>
      service.manager.send("put", `/people/${cover.id}/working-week`, { hours }, 1);
    expect((await put([{ weekday: 1, starts: "12:00", ends: "08:00" }])).status).toBe(400);
    expect(
      (
        await put([
          { weekday: 1, starts: "08:00", ends: "12:00" },
          { weekday: 1, starts: "13:00", ends: "15:00" },
        ])
      ).status,
    ).toBe(400);
    const back = await service.manager.send("post", "/absences", {
      personId: cover.id,
      fromOn: "2026-10-16",
      toOn: "2026-10-15",
      reason: "x",
    });
    expect(back.body.errors[0].pointer).toBe("/toOn");
    await service.manager.send("post", "/closures", { closedOn: "2026-12-25", reason: "holiday" });
    expect(
      (await service.manager.send("post", "/closures", { closedOn: "2026-12-25", reason: "again" }))
        .status,
    ).toBe(409);
  });
});

describe("compliance", () => {
  it("gives the scenario's figure: 200 of 235 resets of open cases within three days of due", async () => {
    const ids = new Map<string, string>();
    const farriers = new Map([
      ["F1", service.farrier.id],
      ["F2", cover.id],
      ["F3", (await service.personWith("farrier", "Third Farrier")).id],
    ]);
    for (const horse of HORSES) {
      const id = randomUUID();
      ids.set(horse.id, id);
      // oxlint-disable-next-line no-await-in-loop
      await service.query(
        "INSERT INTO horses (practice_id, id, name, type, sex, yard_id) VALUES ($1, $2, $3, 'horse', 'mare', $4)",
        [service.practiceId, id, horse.name, service.yardId],
      );
      // oxlint-disable-next-line no-await-in-loop
      if (horse.state.startsWith("closed"))
        await service.query(
          "INSERT INTO cases (practice_id, id, horse_id, number, opened_at, phase, phase_since) VALUES ($1, gen_random_uuid(), $2, 99, '2026-02-16', 'closed', '2026-03-09')",
          [service.practiceId, id],
        );
    }
    const last = new Map<string, string>();
    for (const [horse, on, farrier] of RESETS) {
      const before = last.get(horse);
      last.set(horse, on);
      // The first visit of a horse ends no cycle.
      if (before === undefined) continue;
      const interval = HORSES.find((one) => one.id === horse)?.interval_days ?? 28;
      // oxlint-disable-next-line no-await-in-loop
      await service.query(
        `INSERT INTO resets (practice_id, id, horse_id, farrier_id, status, last_done_on, interval_days, due_on, done_at)
         VALUES ($1, gen_random_uuid(), $2, $3, 'done', $4, $5, $4::date + $5::int, $6)`,
        [
          service.practiceId,
          ids.get(horse),
          farriers.get(farrier),
          before,
          interval,
          `${on}T10:00:00Z`,
        ],
      );
    }
    const seen = await service.manager.get("/reset-compliance");
    expect(seen.status, seen.text).toBe(200);
    expect(seen.body.practice).toMatchObject({ onTime: 200, total: 235 });
    expect(seen.body.graceDays).toBe(3);
    const sum = (rows: { onTime: number; total: number }[]) =>
      rows.reduce((all, row) => [all[0]! + row.onTime, all[1]! + row.total], [0, 0]);
    expect(sum(seen.body.byFarrier), "every reset counts for one farrier").toEqual([200, 235]);
    expect(sum(seen.body.byYard)).toEqual([200, 235]);
    expect(seen.body.trend).toEqual([]);
    await asSystem(db, service.practiceId, service.now(), keepCompliance);
    await asSystem(db, service.practiceId, service.now(), keepCompliance);
    expect((await service.manager.get("/reset-compliance")).body.trend).toEqual([
      { on: "2026-10-14", onTime: 200, total: 235, share: 200 / 235 },
    ]);
    expect((await service.farrier.get("/reset-compliance")).status).toBe(403);
  });
});
