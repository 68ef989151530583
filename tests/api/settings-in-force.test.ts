import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { connect, type Database } from "../../apps/api/src/database/client.ts";
import { asSystem } from "../../apps/api/src/jobs/as-system.ts";
import { escalate } from "../../apps/api/src/jobs/escalate.ts";
import { draftFirstAidPlan, signPlan } from "../support/first-aid-plan.ts";
import { signInAgain } from "../support/medicine.ts";
import { startTestService, type TestService } from "../support/service.ts";

let service: TestService;
let db: Database;
beforeAll(async () => {
  service = await startTestService();
  db = connect(service.appUrl, 1);
});
afterAll(async () => {
  await db.$disconnect();
  await service.close();
});

const HOUR = 3_600_000;
const change = async (key: string, value: number, since = "2026-10-14") => {
  const vet = await signInAgain(service, service.vet);
  const changed = await vet.send("post", "/settings", {
    key,
    value,
    since,
    source: "Practice meeting",
  });
  expect(changed.status, changed.text).toBe(201);
};
const hoursLeft = (at: string): number => (Date.parse(at) - service.now()) / HOUR;
const writeNote = async (urgent: boolean) => {
  const written = await service.vet.send("post", "/handoff-notes", {
    horseId: service.horseId,
    toRole: "farrier",
    urgent,
    situation: "The shoe moved.",
    mustDo: "Ring me.",
  });
  expect(written.status, written.text).toBe(201);
  return written.body as { id: string; acknowledgeBy: string };
};

describe("a practice's own days for a reset", () => {
  it("turn it amber and red, in the list, in its table and in what climbs to the manager", async () => {
    const started = await service.manager.send("post", `/horses/${service.horseId}/resets`, {
      lastDoneOn: "2026-09-06",
      intervalDays: 35,
    });
    expect(started.status, started.text).toBe(201);
    const { id } = started.body as { id: string };
    const state = async () => {
      const manager = await signInAgain(service, service.manager);
      return (await manager.get(`/resets/${id}`)).body as { state: string; daysLate: number };
    };
    // Due on 11 October; today is the 14th.
    expect(await state()).toMatchObject({ state: "amber", daysLate: 3 });
    await change("cycle.red-days-late", 3);
    expect(await state()).toMatchObject({ state: "red", daysLate: 3 });
    const manager = await signInAgain(service, service.manager);
    const listed = await manager.get("/resets?state=red");
    expect((listed.body.items as { id: string }[]).map((one) => one.id)).toEqual([id]);
    expect((await manager.get("/resets/board.csv")).text).toContain(",red,");
    expect(await asSystem(db, service.practiceId, service.now(), escalate)).toMatchObject({
      resets: 1,
    });
  });

  it("say from when on a reset counts as due soon", async () => {
    const started = await service.manager.get(`/resets?limit=50`);
    const [reset] = started.body.items as { id: string; bookBy: string; opensOn: string }[];
    expect(reset?.opensOn).toBe("2026-10-04");
    await change("cycle.due-soon-days", 10);
    const manager = await signInAgain(service, service.manager);
    const again = await manager.get(`/resets/${reset?.id ?? ""}`);
    expect(again.body).toMatchObject({ bookBy: "2026-10-11", opensOn: "2026-10-01" });
  });
});

describe("a practice's own longest interval", () => {
  it("asks for the vet's reason past it from its day on, for a new cycle and for one that runs", async () => {
    const [open] = (await service.manager.get("/resets?limit=50")).body.items as {
      id: string;
      ceilingOn: string;
      version: number;
    }[];
    // A horse without a bout: 42 days from the last reset, then 38 once the practice has said so.
    expect(open?.ceilingOn).toBe("2026-10-18");
    await change("cycle.interval-sound.mostDays", 38);
    const vet = await signInAgain(service, service.vet);
    const again = (await vet.get(`/resets/${open?.id ?? ""}`)).body as {
      ceilingOn: string;
      version: number;
    };
    expect(again.ceilingOn).toBe("2026-10-14");
    const lengthen = (intervalDays: number, lengthenReason?: string) =>
      vet.send(
        "patch",
        `/resets/${open?.id ?? ""}`,
        { intervalDays, ...(lengthenReason === undefined ? {} : { lengthenReason }) },
        again.version,
      );
    const refused = await lengthen(40);
    expect(refused.status, refused.text).toBe(422);
    expect(refused.body.detail).toContain("past the ceiling of 38");
    expect((await lengthen(40, "grows slowly in winter")).status).toBe(200);
  });
});

describe("a practice's own hours for an answer", () => {
  it("hold for what is sent from their day on; a note sent before keeps the hours of its day", async () => {
    const earlier = await writeNote(true);
    expect(hoursLeft(earlier.acknowledgeBy)).toBe(2);
    expect(hoursLeft((await writeNote(false)).acknowledgeBy)).toBe(24);
    await change("handoff.hours-urgent", 1);
    await change("handoff.hours-routine", 12);
    const later = await writeNote(true);
    expect(hoursLeft(later.acknowledgeBy)).toBe(1);
    expect(hoursLeft((await writeNote(false)).acknowledgeBy)).toBe(12);

    service.advance(1.5 * HOUR);
    const vet = await signInAgain(service, service.vet);
    const { body } = await vet.get("/handoff-notes?limit=50");
    const stateOf = (id: string) =>
      (body.items as { id: string; state: string }[]).find((note) => note.id === id)?.state;
    expect([stateOf(earlier.id), stateOf(later.id)]).toEqual(["open", "escalated"]);
    expect(await asSystem(db, service.practiceId, service.now(), escalate)).toMatchObject({
      notes: 1,
    });
    service.advance(-1.5 * HOUR);
  });

  it("drive the wait for the farrier's answer to a signed plan, and the note that goes with it", async () => {
    const opened = await service.vet.send("post", "/cases", {
      horseId: service.horseId,
      phase: "acute",
    });
    const vet = await signInAgain(service, service.vet);
    const planId = await draftFirstAidPlan({ ...service, vet }, opened.body.id, "Unload the toe");
    await signPlan({ ...service, vet }, planId);
    const waiting = async () => {
      const farrier = await signInAgain(service, service.farrier);
      const { body } = await farrier.get("/queue?role=farrier");
      return (body.items as { kind: string; dueAt: string }[]).find(
        (item) => item.kind === "prescription awaiting reply",
      )?.dueAt;
    };
    expect(hoursLeft((await waiting()) ?? "")).toBe(12);
    const notes = await service.farrier.get("/handoff-notes");
    expect(
      (notes.body.items as { cause: string; acknowledgeBy: string }[])
        .filter((note) => note.cause === "prescription signed")
        .map((note) => hoursLeft(note.acknowledgeBy)),
    ).toEqual([12]);
    // From tomorrow eight hours: what was sent today keeps its twelve.
    await change("handoff.hours-routine", 8, "2026-10-15");
    service.advance(2 * HOUR);
    expect(hoursLeft((await waiting()) ?? "")).toBe(10);
    service.advance(-2 * HOUR);
  });
});
