import ICAL from "ical.js";
import request from "supertest";
import { afterAll, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { startTestService, type TestPerson, type TestService } from "../support/service.ts";

let service: TestService;
let resetId: string;
beforeAll(async () => {
  service = await startTestService();
});
beforeEach(async () => {
  await service.query("TRUNCATE resets, cases, calendar_feeds, calendar_entries CASCADE");
  await service.query("UPDATE horses SET name = 'Test Horse'");
  await service.query("UPDATE people SET status = 'active'");
  const started = await service.manager.send("post", `/horses/${service.horseId}/resets`, {
    lastDoneOn: "2026-09-18",
    intervalDays: 28,
  });
  resetId = (started.body as { id: string }).id;
});
afterAll(async () => {
  await service.close();
});

const makeFeed = async (person: TestPerson) => {
  const made = await person.send("post", "/calendar-feeds", { label: "my phone" });
  expect(made.status, made.text).toBe(201);
  return made.body as { id: string; link: string };
};
const fetchFeed = (link: string) => request(service.app.server).get(link);
const book = async (bookedFor: string) => {
  const { version } = (await service.manager.get(`/resets/${resetId}`)).body;
  const booked = await service.manager.send(
    "post",
    `/resets/${resetId}/booking`,
    { bookedFor, minutes: 50, reason: "agreed" },
    version,
  );
  expect(booked.status, booked.text).toBe(200);
};

interface Event {
  readonly uid: string;
  readonly sequence: number;
  readonly status: string;
  readonly start: string;
  readonly end: string;
  readonly zone: string;
  readonly summary: string;
  readonly stamp: string;
}
/** Read by ical.js, a library that has nothing to do with the one that writes. */
const eventsOf = (text: string): Event[] => {
  const calendar = new ICAL.Component(ICAL.parse(text));
  return calendar.getAllSubcomponents("vevent").map((component) => {
    const event = new ICAL.Event(component);
    return {
      uid: event.uid,
      sequence: Number(event.sequence),
      status: String(component.getFirstPropertyValue("status")),
      start: event.startDate.toJSDate().toISOString(),
      end: event.endDate.toJSDate().toISOString(),
      zone: event.startDate.zone.tzid,
      summary: event.summary,
      stamp: String(component.getFirstPropertyValue("dtstamp")),
    };
  });
};
const read = async (link: string): Promise<Event[]> => {
  const answer = await fetchFeed(link);
  expect(answer.status, answer.text).toBe(200);
  expect(answer.headers["content-type"]).toMatch(/^text\/calendar/u);
  return eventsOf(answer.text);
};

describe("a calendar feed", () => {
  it("gives a farrier the booked visits in UTC, under a UID that stays", async () => {
    await book("2026-10-16T09:00:00+01:00");
    const { link } = await makeFeed(service.farrier);
    const first = await read(link);
    expect(first).toMatchObject([
      {
        uid: `reset-${resetId}@heelward.invalid`,
        sequence: 0,
        status: "CONFIRMED",
        start: "2026-10-16T08:00:00.000Z",
        end: "2026-10-16T08:50:00.000Z",
        zone: "UTC",
        summary: "Test Horse, Test Yard",
      },
    ]);
    expect(await read(link), "reading again changes nothing").toEqual(first);
  });

  it("counts a moved visit up and carries a cancellation, as RFC 5545 asks", async () => {
    await book("2026-10-16T09:00:00+01:00");
    const { link } = await makeFeed(service.farrier);
    const [first] = await read(link);
    await book("2026-10-15T14:00:00+01:00");
    const [moved] = await read(link);
    expect(moved).toMatchObject({
      uid: first?.uid,
      sequence: 1,
      status: "CONFIRMED",
      start: "2026-10-15T13:00:00.000Z",
    });
    const { version } = (await service.manager.get(`/resets/${resetId}`)).body;
    const cancelled = await service.manager.send(
      "post",
      `/resets/${resetId}/cancellation`,
      { kind: "weather", detail: "Storm", personToRebook: service.manager.id },
      version,
    );
    expect(cancelled.status, cancelled.text).toBe(200);
    const [gone] = await read(link);
    expect(gone).toMatchObject({ uid: first?.uid, sequence: 2, status: "CANCELLED" });
    expect((await read(link))[0], "a cancellation is told once").toEqual(gone);
    await book("2026-10-16T10:00:00+01:00");
    expect((await read(link))[0]).toMatchObject({
      uid: first?.uid,
      sequence: 3,
      status: "CONFIRMED",
    });
  });

  it("counts a change once when two programs read at the same moment", async () => {
    await book("2026-10-16T09:00:00+01:00");
    const { link } = await makeFeed(service.farrier);
    await read(link);
    await book("2026-10-16T11:00:00+01:00");
    const reads = await Promise.all([read(link), read(link), read(link)]);
    expect(reads.map(([event]) => event?.sequence)).toEqual([1, 1, 1]);
  });

  it("cancels the visit in the calendar of the farrier who no longer makes it", async () => {
    await book("2026-10-16T09:00:00+01:00");
    const other = await service.personWith("farrier", "Finn Other");
    const [mine, theirs] = [await makeFeed(service.farrier), await makeFeed(other)];
    await read(mine.link);
    const { version } = (await service.manager.get(`/resets/${resetId}`)).body;
    await service.manager.send(
      "post",
      `/resets/${resetId}/booking`,
      { bookedFor: "2026-10-16T09:00:00+01:00", farrierId: other.id },
      version,
    );
    expect(await read(mine.link)).toMatchObject([{ status: "CANCELLED", sequence: 1 }]);
    expect(await read(theirs.link)).toMatchObject([{ status: "CONFIRMED", sequence: 0 }]);
  });

  it("shows the owner the own horses' visits and nobody else's, without a word of the file", async () => {
    await book("2026-10-16T09:00:00+01:00");
    const stranger = await service.personWith("owner", "Ola Stranger");
    const [own, other] = [await makeFeed(service.owner), await makeFeed(stranger)];
    const answer = await fetchFeed(own.link);
    expect(eventsOf(answer.text)).toMatchObject([{ summary: "Farrier: Test Horse" }]);
    expect(answer.text).not.toMatch(/trim|laminitis|case|plan/iu);
    expect(await read(other.link)).toEqual([]);
  });

  it("shows the vet films and reviews to do as whole days", async () => {
    await service.query(
      `INSERT INTO cases (practice_id, id, horse_id, number, opened_at, phase, phase_since) VALUES ($1, gen_random_uuid(), $2, 1, '2026-09-01', 'chronic active', '2026-09-01')`,
      [service.practiceId, service.horseId],
    );
    const { link } = await makeFeed(service.vet);
    const answer = await fetchFeed(link);
    expect(answer.text).toContain("DTSTART;VALUE=DATE:20261016");
    expect(eventsOf(answer.text)).toMatchObject([
      { uid: `film-${resetId}@heelward.invalid`, summary: "Film before the reset: Test Horse" },
    ]);
  });

  it("stops at once when it is taken back or its person leaves, and never tells which", async () => {
    const [first, second] = [await makeFeed(service.farrier), await makeFeed(service.farrier)];
    expect((await service.farrier.send("delete", `/calendar-feeds/${first.id}`)).status).toBe(204);
    expect((await fetchFeed(first.link)).status).toBe(404);
    expect((await fetchFeed(second.link)).status).toBe(200);
    await service.query("UPDATE people SET status = 'removed' WHERE id = $1", [service.farrier.id]);
    expect((await fetchFeed(second.link)).status).toBe(404);
    expect((await fetchFeed(`/api/v1/calendar/${"x".repeat(43)}.ics`)).status).toBe(404);
  });

  it("has an address of at least 128 bits that is stored as a hash only and shown once", async () => {
    const { link, id } = await makeFeed(service.farrier);
    const token = /\/calendar\/([\w-]+)\.ics$/u.exec(link)?.[1] ?? "";
    expect(Buffer.from(token, "base64url").length * 8).toBeGreaterThanOrEqual(128);
    const rows = await service.query("SELECT json_agg(f)::text AS feeds FROM calendar_feeds f");
    expect(JSON.stringify(rows)).not.toContain(token);
    const listed = await service.farrier.get("/calendar-feeds");
    expect(listed.text).not.toContain(token);
    expect(listed.body.items).toMatchObject([{ id, revokedAt: null }]);
  });

  it("belongs to its person: nobody lists or takes back another's", async () => {
    const { id } = await makeFeed(service.farrier);
    expect((await service.manager.get("/calendar-feeds")).body.items).toEqual([]);
    expect((await service.manager.send("delete", `/calendar-feeds/${id}`)).status).toBe(404);
  });

  it("folds long lines and escapes commas and semicolons, so that other programs read the name whole", async () => {
    const name =
      "Älteste Stute; die, die am längsten da ist \\ und noch viel mehr davon, Zeile um Zeile";
    await service.query("UPDATE horses SET name = $1", [name]);
    await book("2026-10-16T09:00:00+01:00");
    const { link } = await makeFeed(service.owner);
    const answer = await fetchFeed(link);
    // RFC 5545, 3.1: lines of at most 75 octets, ended by CRLF.
    for (const line of answer.text.split("\r\n"))
      expect(Buffer.byteLength(line), line).toBeLessThanOrEqual(75);
    expect(answer.text.replaceAll("\r\n", "")).not.toContain("\n");
    expect(eventsOf(answer.text)[0]?.summary).toBe(`Farrier: ${name}`);
  });
});
