import { randomUUID } from "node:crypto";
import fc from "fast-check";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { readClock } from "../../apps/web/src/offline/clock.ts";
import {
  conflicts,
  decide,
  EMPTY_OUTBOX,
  type Entry,
  type Frozen,
  type Outbox,
  unsettled,
  write,
} from "../../apps/web/src/offline/outbox.ts";
import { type Attempt, type Ports, sync } from "../../apps/web/src/offline/sync.ts";
import { FAULTS, faultyLine, Killed } from "../../apps/web/src/offline/testing/faulty-line.ts";
import { type DayHorse, putFarrierDay, replacePlan } from "../support/farrier-day.ts";
import { startTestService, type TestPerson, type TestService } from "../support/service.ts";

let service: TestService;
let horses: readonly DayHorse[];
beforeAll(async () => {
  service = await startTestService();
  horses = await putFarrierDay(service, 12);
});
afterAll(async () => {
  await service.close();
});

const DEVICE = "0199e000-0000-4000-8000-0000000000d1";
const MINUTE_MS = 60_000;

interface Late {
  readonly key?: string;
  readonly order: number;
  readonly device?: string;
  readonly happenedAtMs?: number;
  readonly offsetMs?: number;
}
/** Headers of a write that was kept on a device. */
const late = ({ key, order, device, happenedAtMs, offsetMs }: Late) => {
  const atMs = happenedAtMs ?? service.now() - 4 * 60 * MINUTE_MS;
  return {
    "idempotency-key": key ?? randomUUID(),
    "device-id": device ?? DEVICE,
    "device-order": String(order),
    "happened-at": new Date(atMs).toISOString(),
    "client-time": new Date(atMs - (offsetMs ?? 0)).toISOString(),
    "clock-offset-ms": String(offsetMs ?? 0),
  };
};
const visit = (horse: DayHorse, more: object = {}) => ({
  prescriptionId: horse.planId,
  doneAt: new Date(service.now() - 4 * 60 * MINUTE_MS).toISOString(),
  asPlanned: true,
  feet: (["LF", "RF"] as const).map((foot) => ({
    foot,
    breakoverAfterMm: 7,
    heelRemovedMm: 2,
    toeBackMm: 6,
    shoe: "rolled-bar",
    supportFill: "full",
    fixing: "glue",
  })),
  nextReset: { noDateReason: "No signal in the yard", personToBook: service.manager.id },
  ...more,
});
const post = (person: TestPerson, path: string, body: object, headers: Record<string, string>) => {
  const call = person.send("post", path, body);
  for (const [name, value] of Object.entries(headers)) void call.set(name, value);
  return call;
};
const arrivalsOf = async (person: TestPerson, horseId: string) =>
  (await person.get(`/arrivals?horseId=${horseId}`)).body.items;

describe("a record that comes late from a phone", () => {
  it("keeps when it happened, when it arrived, what the phone's clock said and how far that was out", async () => {
    const horse = horses[0]!;
    const happenedAtMs = service.now() - 3 * 60 * MINUTE_MS;
    const answer = await post(
      service.farrier,
      `/horses/${horse.id}/shoeing-records`,
      visit(horse, { doneAt: new Date(happenedAtMs).toISOString() }),
      late({ order: 1, happenedAtMs, offsetMs: 40 * MINUTE_MS }),
    );
    expect(answer.status).toBe(201);
    expect(answer.body).toMatchObject({
      doneAt: new Date(happenedAtMs).toISOString(),
      receivedAt: new Date(service.now()).toISOString(),
      byReplacedPlan: false,
    });
    const [record] = (await service.vet.get(`/horses/${horse.id}/shoeing-records`)).body.items;
    expect(record.cameLate).toEqual({
      deviceAt: new Date(happenedAtMs - 40 * MINUTE_MS).toISOString(),
      clockOffsetMs: 40 * MINUTE_MS,
    });
    const [arrival] = await arrivalsOf(service.vet, horse.id);
    expect(arrival).toMatchObject({
      recordId: answer.body.id,
      deviceOrder: 1,
      happenedAt: new Date(happenedAtMs).toISOString(),
      receivedAt: new Date(service.now()).toISOString(),
      outcome: "stored",
      person: { id: service.farrier.id },
    });
  });

  it("is stored once however often it is sent, and answers each time as the first time", async () => {
    const horse = horses[1]!;
    const key = randomUUID();
    const body = visit(horse);
    const send = () =>
      post(service.farrier, `/horses/${horse.id}/shoeing-records`, body, late({ key, order: 2 }));
    const first = await send();
    const again = await Promise.all([send(), send()]);
    expect(first.status).toBe(201);
    for (const one of again) expect([one.status, one.body.id]).toEqual([201, first.body.id]);
    expect(
      await service.query("SELECT id FROM shoeing_records WHERE horse_id = $1", [horse.id]),
    ).toHaveLength(1);
    expect(await arrivalsOf(service.vet, horse.id)).toHaveLength(1);
  });

  it("takes a number of a device once, even under another key", async () => {
    const note = (text: string) => ({
      horseId: horses[2]!.id,
      toRole: "vet",
      situation: text,
      mustDo: "Read this",
    });
    const first = await post(service.farrier, "/handoff-notes", note("Seen"), late({ order: 3 }));
    const second = await post(service.farrier, "/handoff-notes", note("Seen"), late({ order: 3 }));
    expect([first.status, second.status]).toEqual([201, 409]);
    expect(second.body.detail).toContain("Number 3 of this device has arrived already");
  });

  it("says of a note and of an answer to a plan when they were written", async () => {
    const horse = horses[3]!;
    const happenedAtMs = service.now() - 90 * MINUTE_MS;
    const note = await post(
      service.farrier,
      "/handoff-notes",
      { horseId: horse.id, toRole: "vet", situation: "Smell at the toe", mustDo: "Look at it" },
      late({ order: 4, happenedAtMs }),
    );
    expect(note.body).toMatchObject({
      happenedAt: new Date(happenedAtMs).toISOString(),
      writtenAt: new Date(service.now()).toISOString(),
    });
    const call = service.farrier.send(
      "post",
      `/prescriptions/${horse.planId}/reply`,
      { reply: "queried", text: "The wall is too weak for this shoe today." },
      1,
    );
    for (const [name, value] of Object.entries(late({ order: 5, happenedAtMs })))
      void call.set(name, value);
    const { body } = await call;
    expect(body.messages.at(-1)).toMatchObject({
      happenedAt: new Date(happenedAtMs).toISOString(),
      writtenAt: new Date(service.now()).toISOString(),
    });
  });

  it("never happened after it arrived, whatever a phone's clock says", async () => {
    const answer = await post(
      service.farrier,
      "/handoff-notes",
      { horseId: horses[3]!.id, toRole: "vet", situation: "From the future", mustDo: "Nothing" },
      late({ order: 6, happenedAtMs: service.now() + 24 * 60 * MINUTE_MS }),
    );
    expect(answer.body.happenedAt).toBe(new Date(service.now()).toISOString());
  });

  it.each([
    ["device-id", "nobody"],
    ["device-order", "0"],
    ["happened-at", "yesterday"],
    ["clock-offset-ms", "much"],
  ])("is refused with the header named when %s cannot be read", async (name, value) => {
    const answer = await post(
      service.farrier,
      "/handoff-notes",
      { horseId: horses[3]!.id, toRole: "vet", situation: "Unreadable", mustDo: "Nothing" },
      { ...late({ order: 7 }), [name]: value },
    );
    expect(answer.status).toBe(400);
    expect(answer.body.errors[0].pointer).toBe(`#${name}`);
  });
});

describe("what changed while there was no signal", () => {
  it("is told when the plan was replaced; recorded by the farrier's word, the new plan stays open and the vet is told", async () => {
    const horse = horses[4]!;
    const newPlan = await replacePlan(service, horse);
    const path = `/horses/${horse.id}/shoeing-records`;
    const refused = await post(service.farrier, path, visit(horse), late({ order: 10 }));
    expect(refused.status).toBe(409);
    expect(refused.body).toMatchObject({ recordId: horse.planId });
    const taken = await post(
      service.farrier,
      path,
      visit(horse, { byReplacedPlan: true }),
      late({ order: 10 }),
    );
    expect(taken.body).toMatchObject({ byReplacedPlan: true, asPlanned: false });
    expect((await service.vet.get(`/prescriptions/${newPlan}`)).body.status).toBe("signed");
    const notes = await service.query(
      "SELECT done, urgent FROM handoff_notes WHERE horse_id = $1 AND to_role = 'vet'",
      [horse.id],
    );
    expect(notes.some((note) => note["urgent"] === true)).toBe(true);
  });

  it("does not let a plan in force be recorded as a replaced one", async () => {
    const horse = horses[5]!;
    const answer = await post(
      service.farrier,
      `/horses/${horse.id}/shoeing-records`,
      visit(horse, { byReplacedPlan: true }),
      late({ order: 11 }),
    );
    expect(answer.status).toBe(409);
  });

  it("is told when another visit was recorded since the one that was seen", async () => {
    const horse = horses[5]!;
    const path = `/horses/${horse.id}/shoeing-records`;
    const first = await service.farrier.send("post", path, visit(horse, { lastRecordId: null }));
    expect(first.status).toBe(201);
    const { prescriptionId: _, ...without } = visit(horse);
    const second = await post(
      service.farrier,
      path,
      { ...without, lastRecordId: null },
      late({ order: 12 }),
    );
    expect(second.status).toBe(409);
    expect(second.body).toMatchObject({ recordId: first.body.id });
    const seen = await post(
      service.farrier,
      path,
      { ...without, lastRecordId: first.body.id },
      late({ order: 12 }),
    );
    expect(seen.status).toBe(201);
  });

  it("loses nothing that is put aside: the practice keeps it whole, with the reason, and in the audit log", async () => {
    const horse = horses[6]!;
    const body = {
      operation: "recordShoeing",
      horseId: horse.id,
      payload: { body: visit(horse) },
      reason: "The other farrier did this foot an hour before.",
    };
    const taken = await post(service.farrier, "/arrivals/put-aside", body, late({ order: 13 }));
    expect(taken.status).toBe(201);
    const [kept] = await arrivalsOf(service.vet, horse.id);
    expect(kept).toMatchObject({
      outcome: "put aside",
      operation: "recordShoeing",
      reason: body.reason,
      payload: body.payload,
    });
    const audit = await service.vet.get(`/audit?horseId=${horse.id}`);
    expect(audit.body.items[0].event).toBe("arrival.put-aside");
    const atOnce = await service.farrier.send("post", "/arrivals/put-aside", body);
    expect(atOnce.status).toBe(400);
  });

  it("shows arrivals to the office, to whoever sees the horse and to the person, and to nobody else", async () => {
    const owner = await service.owner.get("/arrivals");
    expect(owner.status).toBe(403);
    const stranger = await service.personWith("farrier", "Stran Ger");
    expect((await stranger.get("/arrivals")).body.items).toEqual([]);
    expect((await service.manager.get("/arrivals")).body.items.length).toBeGreaterThan(5);
  });
});

describe("the red-flag button", () => {
  it("is logged with the time it was pressed and the time it came; with a horse the vet gets an urgent note", async () => {
    const horse = horses[7]!;
    const pressedAt = new Date(service.now() - 50 * MINUTE_MS).toISOString();
    const body = { horseId: horse.id, numberDialled: "+353 1 000 0000", pressedAt };
    const answer = await post(service.farrier, "/red-flag-calls", body, late({ order: 20 }));
    expect(answer.body).toMatchObject({
      pressedAt,
      receivedAt: new Date(service.now()).toISOString(),
      person: { id: service.farrier.id },
    });
    const listed = await service.vet.get("/red-flag-calls");
    expect(listed.body.items[0].id).toBe(answer.body.id);
    const notes = await service.query(
      "SELECT urgent FROM handoff_notes WHERE horse_id = $1 AND to_role = 'vet'",
      [horse.id],
    );
    expect(notes).toEqual([{ urgent: true }]);
  });

  it("is logged without a horse too, because nothing may be asked before the call", async () => {
    const answer = await service.carer.send("post", "/red-flag-calls", {
      numberDialled: "+353 1 000 0000",
      pressedAt: new Date(service.now()).toISOString(),
    });
    expect([answer.status, answer.body.horseId]).toEqual([201, null]);
  });
});

describe("photos and voice notes", () => {
  it("keep the id that the phone gave them, so that a record written without signal can name them", async () => {
    const id = randomUUID();
    const upload = () =>
      service.farrier
        .send("post", `/horses/${horses[8]!.id}/documents`)
        .field("id", id)
        .field("kind", "voice note")
        .field("takenAt", new Date(service.now()).toISOString())
        // The first bytes of a WebM file: the EBML mark. Source: RFC 8794.
        .attach("file", Buffer.from([0x1a, 0x45, 0xdf, 0xa3, 0x9f, 0x42, 0x86, 0x81]), "note.webm");
    const answer = await upload();
    expect(answer.body).toMatchObject({ id, kind: "voice note", mediaType: "audio/webm" });
    expect((await upload()).status).toBe(409);
    const wrong = await service.farrier
      .send("post", `/horses/${horses[8]!.id}/documents`)
      .field("kind", "voice note")
      .field("takenAt", new Date(service.now()).toISOString())
      .attach("file", Buffer.from("%PDF-1.7 "), "note.pdf");
    expect(wrong.status).toBe(400);
  });
});

describe("the real service behind the phone's own outbox and a bad line", () => {
  const noteOf = (entry: Entry, frozen: Frozen) => ({
    horseId: entry.lane,
    toRole: "vet",
    situation: frozen.request.body["situation"] as string,
    mustDo: "Read this",
  });
  const headersOf = (entry: Entry, frozen: Frozen, device: string) => ({
    "idempotency-key": entry.key,
    "device-id": device,
    "device-order": String(entry.order),
    "happened-at": new Date(frozen.happenedAtMs).toISOString(),
    "client-time": new Date(entry.deviceAtMs).toISOString(),
    "clock-offset-ms": String(frozen.clockOffsetMs),
  });

  it("stores every note exactly once and in order over 40 schedules of lost, late, doubled and cut-off requests", async () => {
    const fault = fc.constantFrom(...FAULTS);
    let run = 0;
    await fc.assert(
      fc.asyncProperty(
        fc.array(fault, { minLength: 4, maxLength: 14 }),
        fc.array(fc.constantFrom("write", "sync", "late"), { minLength: 4, maxLength: 12 }),
        fc.integer({ min: -3_600_000, max: 3_600_000 }),
        async (faults, steps, skewMs) => {
          run += 1;
          const device = randomUUID();
          let kept: Outbox = EMPTY_OUTBOX;
          let clock = readClock(service.now() - skewMs, service.now() - skewMs, service.now());
          const line = faultyLine(async ({ entry, frozen }): Promise<Attempt> => {
            const answer = await post(
              service.farrier,
              "/handoff-notes",
              noteOf(entry, frozen),
              headersOf(entry, frozen, device),
            );
            if (answer.status === 201)
              return { kind: "answered", answer: { id: answer.body.id, version: 1 } };
            const { title, detail, next } = answer.body;
            return { kind: "refused", refusal: { slug: "conflict", title, detail, next } };
          }, faults);
          const ports: Ports = {
            personId: service.farrier.id,
            load: () => Promise.resolve(kept),
            save: (change) => {
              kept = change(kept);
              return Promise.resolve(kept);
            },
            compare: async (keys) => {
              const { body } = await service.farrier.send("post", "/arrivals/comparison", {
                deviceId: device,
                keys: [...keys],
              });
              const now = service.now() - skewMs;
              clock = readClock(now, now, Date.parse(body.at));
              return { clock, arrived: body.arrived };
            },
            send: line.send,
          };
          const written: { text: string; atMs: number }[] = [];
          const tryToSend = () =>
            sync(ports).catch((error: unknown) => {
              if (!(error instanceof Killed)) throw error;
            });
          // oxlint-disable no-await-in-loop
          for (const [index, step] of [...steps, "sync", "sync"].entries()) {
            service.advance(1_000);
            if (step === "late") await line.deliverLate(index % 2 === 0);
            else if (step === "sync") await tryToSend();
            else {
              const text = `run ${String(run)} note ${String(index)}`;
              written.push({ text, atMs: service.now() });
              kept = write(kept, {
                key: randomUUID(),
                lane: horses[9]!.id,
                personId: service.farrier.id,
                label: "",
                deviceAtMs: service.now() - skewMs,
                clockBefore: clock,
                request: { operation: "writeHandoffNote", params: {}, body: { situation: text } },
              });
            }
          }
          line.heal();
          await line.deliverLate(true);
          await tryToSend();
          // oxlint-enable no-await-in-loop
          expect([unsettled(kept), conflicts(kept)]).toEqual([[], []]);
          const rows = await service.query(
            `SELECT n.situation, n.happened_at FROM arrivals a JOIN handoff_notes n ON n.id = a.record_id
              WHERE a.device_id = $1 ORDER BY a.device_order`,
            [device],
          );
          expect(rows.map((row) => row["situation"])).toEqual(written.map(({ text }) => text));
          const all = await service.query("SELECT id FROM handoff_notes WHERE situation LIKE $1", [
            `run ${String(run)} note %`,
          ]);
          expect(all).toHaveLength(written.length);
          for (const [index, row] of rows.entries())
            expect(
              Math.abs((row["happened_at"] as Date).getTime() - (written[index]?.atMs ?? 0)),
            ).toBeLessThan(MINUTE_MS);
        },
      ),
      { numRuns: 40 },
    );
  });

  it("sends a decision anew under its old number: whichever request comes first is the one that counts", async () => {
    const horse = horses[10]!;
    const device = randomUUID();
    const path = `/horses/${horse.id}/shoeing-records`;
    await replacePlan(service, horse);
    let kept = write(EMPTY_OUTBOX, {
      key: randomUUID(),
      lane: horse.id,
      personId: service.farrier.id,
      label: "",
      deviceAtMs: service.now(),
      clockBefore: null,
      request: { operation: "recordShoeing", params: { horseId: horse.id }, body: visit(horse) },
    });
    const ports: Ports = {
      personId: service.farrier.id,
      load: () => Promise.resolve(kept),
      save: (change) => {
        kept = change(kept);
        return Promise.resolve(kept);
      },
      compare: async (keys) => {
        const { body } = await service.farrier.send("post", "/arrivals/comparison", {
          deviceId: device,
          keys: [...keys],
        });
        return {
          clock: readClock(service.now(), service.now(), Date.parse(body.at)),
          arrived: body.arrived,
        };
      },
      send: async (entry, frozen) => {
        const answer = await post(
          service.farrier,
          path,
          frozen.request.body,
          headersOf(entry, frozen, device),
        );
        if (answer.status === 201) return { kind: "answered", answer: { id: answer.body.id } };
        const { title, detail, next, recordId } = answer.body;
        return { kind: "refused", refusal: { slug: "conflict", title, detail, next, recordId } };
      },
    };
    await sync(ports);
    const [refused] = conflicts(kept);
    expect(refused?.refusal?.recordId).toBe(horse.planId);
    kept = decide(kept, refused!.key, randomUUID(), {
      kind: "send",
      request: {
        ...refused!.request,
        body: { ...refused!.request.body, byReplacedPlan: true },
      },
    });
    await sync(ports);
    expect(unsettled(kept)).toEqual([]);
    expect(
      await service.query("SELECT by_replaced_plan FROM shoeing_records WHERE horse_id = $1", [
        horse.id,
      ]),
    ).toEqual([{ by_replaced_plan: true }]);
  });
});
