import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startBackground, type Background } from "../support/background.ts";
import { enterResult } from "../support/laboratory.ts";
import {
  addAnimal,
  atTime,
  BUTE_SACHETS,
  courseOf,
  signedCourse,
  weighedBefore,
  type Team,
} from "../support/medicine.ts";
import { startTestService, type TestService } from "../support/service.ts";

/** The figures of medicine, cause and recovery that a practice sets, each seen to change what the service does. */
let service: TestService;
let team: Team;
beforeAll(async () => {
  service = await startTestService();
  team = await atTime(service, "2026-10-14T09:00:00+01:00");
});
afterAll(async () => {
  await service.close();
});

const set = async (key: string, value: number, source = "the practice's own list") => {
  const answer = await team.vet.send("post", "/settings", {
    key,
    value,
    source,
    since: "2026-10-14",
  });
  expect(answer.status, answer.text).toBe(201);
};

describe("detection times", () => {
  it("are the practice's own once entered, with the list's name and its day, and 0 takes a figure back", async () => {
    const horse = await addAnimal(service, { name: "Sport" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    const given = await team.vet.send("post", `/horses/${horse}/doses`, {
      drugKey: "phenylbutazone",
      route: "oral",
      doseMg: 2000,
      givenAt: "2026-10-14T09:00:00+01:00",
      reason: "lame after work",
      overrides: [],
    });
    expect(given.status, given.text).toBe(201);
    const clear = async () =>
      (await team.vet.get(`/horses/${horse}/competition-clear-times`)).body.items[0];
    expect(await clear()).toMatchObject({ verified: false, listDate: "not known" });
    await set("medication.detection-hours.phenylbutazone", 200, "Show rules of the season");
    expect(await clear()).toMatchObject({
      list: "Show rules of the season",
      listDate: "2026-10-14",
      verified: true,
      // 09:00 on the 14th and 200 h is 17:00 on the 22nd: the first whole day is the 23rd.
      clearOn: "2026-10-23",
    });
    await set("medication.detection-hours.phenylbutazone", 0);
    expect(await clear()).toMatchObject({ list: null, clearOn: null });
  });

  it("are hours, not more than a year, and only the clinical lead enters them", async () => {
    const body = {
      key: "medication.detection-hours.meloxicam",
      value: 9000,
      source: "a list",
      since: "2026-10-14",
    };
    expect((await team.vet.send("post", "/settings", body)).status).toBe(400);
    expect((await team.manager.send("post", "/settings", { ...body, value: 72 })).status).toBe(403);
  });
});

describe("return to movement and ice", () => {
  it("start from the practice's days and let go by its days after a painkiller", async () => {
    await set("metabolic.ladder-days.1", 10);
    await set("metabolic.medicated-tail", 5);
    const horse = await addAnimal(service, { name: "Stepper" });
    await team.vet.send("post", "/cases", { horseId: horse, phase: "acute" });
    const started = await team.vet.send("post", `/horses/${horse}/movement-ladders`, {});
    expect(started.status).toBe(201);
    expect(started.body).toMatchObject({ daysNeeded: 10, tailDays: 5 });
  });

  it("show a gap on ice by the practice's hours", async () => {
    await set("metabolic.ice-gap", 1);
    const horse = await addAnimal(service, { name: "Icy" });
    for (const [from, to] of [
      ["02:00", "04:00"],
      ["05:30", "08:00"],
    ] as const)
      // Each entry stands after the one before.
      // oxlint-disable-next-line no-await-in-loop
      await team.carer.send("post", `/horses/${horse}/ice-entries`, {
        fromAt: `2026-10-14T${from}:00+01:00`,
        toAt: `2026-10-14T${to}:00+01:00`,
        feet: ["LF"],
      });
    const log = (await team.vet.get(`/horses/${horse}/ice-log`)).body;
    expect(log).toMatchObject({ gapHours: 1, gaps: [{ hours: 1.5 }] });
  });

  it("never get looser where the figure may only be tightened", async () => {
    const looser = await team.vet.send("post", "/settings", {
      key: "metabolic.ice-gap",
      value: 4,
      source: "easier",
      since: "2026-10-14",
    });
    expect(looser.status).toBe(422);
    expect(looser.body.findings[0].rule).toBe("settings/tighten-only@1");
  });
});

describe("steroid watch", () => {
  it("lasts as long as the practice says", async () => {
    await set("cases.steroid-watch", 21, "clinical meeting");
    const horse = await addAnimal(service, { name: "Stero" });
    const recorded = await team.vet.send("post", `/horses/${horse}/other-medicines`, {
      name: "triamcinolone",
      class: "corticosteroid",
      route: "into a joint",
      givenAt: "2026-10-14T08:00:00+01:00",
      givenBy: "the hospital",
      reason: "joint disease, owner told of the risk",
    });
    expect(recorded.status, recorded.text).toBe(201);
    const inForce = (await team.vet.get("/settings")).body.items.find(
      (one: { key: string }) => one.key === "cases.steroid-watch",
    ) as { value: number };
    const until = new Date(Date.UTC(2026, 9, 14 + inForce.value)).toISOString().slice(0, 10);
    expect(recorded.body.watchUntil).toBe(until);
  });
});

describe("blood nobody took", () => {
  it("is late until the next test opens, then lapses with its reason and leaves the queue; the next is late in its own right", async () => {
    const horse = await addAnimal(service, { name: "Lapse" });
    await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
    await signedCourse(
      team.vet,
      horse,
      courseOf(...BUTE_SACHETS, "2026-10-14", [
        { fromDay: 1, toDay: 20, doseMg: 1000, timesLocal: ["10:00"] },
      ]),
    );
    const blood = async () =>
      (
        (await team.vet.get(`/horses/${horse}/monitoring-tasks`)).body.items as {
          key: string;
          kind: string;
          dueOn: string;
          state: string;
          lapsedBecause: string | null;
        }[]
      ).filter((one) => one.kind === "blood");
    const [first, second] = await blood();
    expect(first).toMatchObject({ dueOn: "2026-10-14", state: "due" });
    team = await atTime(service, "2026-10-15T09:00:00+01:00");
    expect((await blood())[0]).toMatchObject({ dueOn: "2026-10-14", state: "late" });
    // The next one opens three days before its day.
    const opens = new Date(Date.parse(second?.dueOn ?? "") - 3 * 86_400_000);
    team = await atTime(service, `${opens.toISOString().slice(0, 10)}T09:00:00+01:00`);
    const [lapsed, next] = await blood();
    expect(lapsed?.state).toBe("lapsed");
    expect(lapsed?.lapsedBecause).toMatch(/stands in its place/u);
    expect(next?.state).toBe("due");
    const queued = async () =>
      (
        (await team.vet.get("/queue")).body.items as { kind: string; horse: { id: string } }[]
      ).filter((one) => one.kind === "monitoring due" && one.horse.id === horse);
    expect(await queued()).toHaveLength(1);
    // A late sample still answers the one that waits.
    await enterResult(team.vet, horse, {
      takenOn: opens.toISOString().slice(0, 10),
      test: "albumin",
      value: 31,
      unit: "g/L",
    });
    expect((await blood())[1]?.state).toBe("due");
  });
});

describe("the night", () => {
  let background: Background;
  it("marks courses that ran their time as finished, once, with a line in the timeline in plain words", async () => {
    const horse = await addAnimal(service, { name: "Over" });
    await weighedBefore(service, horse, 500, "2026-10-14T08:00:00+01:00");
    const today = new Date(service.now()).toISOString().slice(0, 10);
    const course = await signedCourse(
      team.vet,
      horse,
      courseOf(...BUTE_SACHETS, today, [{ doseMg: 1000, timesLocal: ["23:00"] }]),
    );
    service.advance(2 * 86_400_000);
    background = await startBackground(service);
    try {
      await background.jobs.sweep();
      await background.jobs.sweep();
    } finally {
      await background.stop();
    }
    expect(background.errors).toEqual([]);
    expect(
      await service.query("SELECT status FROM medication_courses WHERE id = $1", [course.id]),
    ).toEqual([{ status: "finished" }]);
    const lines = await service.query(
      "SELECT detail, person_id FROM case_events WHERE ref_id = $1 AND title LIKE '%ran its time'",
      [course.id],
    );
    expect(lines).toEqual([
      { detail: expect.stringMatching(/^Last day \d{1,2} October 2026$/u), person_id: null },
    ]);
  });
});

describe("the practice's postal address", () => {
  it("is changed by vet or manager, and stands on prescriptions from then on", async () => {
    team = await atTime(service, new Date(service.now()).toISOString());
    expect((await team.manager.get("/practice/postal-address")).body).toEqual({
      name: "Test Practice",
      postalAddress: null,
    });
    expect(
      (await team.carer.send("put", "/practice/postal-address", { postalAddress: "1 Quay" }))
        .status,
    ).toBe(403);
    const changed = await team.manager.send("put", "/practice/postal-address", {
      postalAddress: "1 Quay Lane, Wrackline",
    });
    expect(changed.status, changed.text).toBe(200);
    const horse = await addAnimal(service, { name: "Paper" });
    await weighedBefore(service, horse, 500, new Date(service.now() - 3_600_000).toISOString());
    const today = new Date(service.now()).toISOString().slice(0, 10);
    const course = await signedCourse(
      team.vet,
      horse,
      courseOf(...BUTE_SACHETS, today, [{ doseMg: 1000, timesLocal: ["23:30"] }]),
    );
    const checked = await team.vet.send(
      "post",
      `/courses/${course.id}/written-prescription-checks`,
      {},
    );
    expect(
      checked.body.fields.find((one: { field: string }) => one.field === "prescriberAddress"),
    ).toMatchObject({ text: "Test Practice, 1 Quay Lane, Wrackline" });
    expect(checked.body.missing).not.toContain("prescriberAddress");
  });
});
