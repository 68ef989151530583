import { randomUUID } from "node:crypto";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startTestService, type TestService } from "../support/service.ts";

let service: TestService;
beforeAll(async () => {
  service = await startTestService();
});
afterAll(async () => {
  await service.close();
});

interface Facts {
  readonly horseId?: string;
  readonly feet?: string;
  readonly lastDoneOn?: string;
  readonly intervalDays?: number;
  readonly bookedFor?: string;
  readonly doneAt?: string;
}
const addReset = async (facts: Facts = {}): Promise<string> => {
  const [id, horseId] = [randomUUID(), facts.horseId ?? randomUUID()];
  if (facts.horseId === undefined)
    await service.query(
      "INSERT INTO horses (practice_id, id, name, type, sex, yard_id, farrier_id, feet) VALUES ($1, $2, $3, 'horse', 'mare', $4, $5, $6)",
      [
        service.practiceId,
        horseId,
        `Horse ${horseId.slice(0, 4)}`,
        service.yardId,
        service.farrier.id,
        facts.feet ?? "bare",
      ],
    );
  await service.query(
    `INSERT INTO resets (practice_id, id, horse_id, farrier_id, status, last_done_on, interval_days, due_on, booked_for, done_at)
     VALUES ($1, $2, $3, $4, $5, $6, $7, $6::date + $7::int, $8, $9)`,
    [
      service.practiceId,
      id,
      horseId,
      service.farrier.id,
      facts.doneAt !== undefined ? "done" : facts.bookedFor === undefined ? "open" : "booked",
      facts.lastDoneOn ?? "2026-09-20",
      facts.intervalDays ?? 28,
      facts.bookedFor ?? null,
      facts.doneAt ?? null,
    ],
  );
  return id;
};
const read = async (id: string) => (await service.manager.get(`/resets/${id}`)).body;
const setFigure = async (key: string, value: number) => {
  const answer = await service.vet.send("post", "/settings", {
    key,
    value,
    since: "2026-10-14",
    source: "Our own year of visits",
  });
  expect(answer.status, answer.text).toBe(201);
};

describe("figures a practice sets for itself", () => {
  it("time its visits: a glued job of 75 minutes in place of the common 90", async () => {
    const id = await addReset({ feet: "glue-on, bevelled" });
    expect((await read(id)).estimatedMinutes).toBe(90);
    await setFigure("reset-job/glued", 75);
    expect((await read(id)).estimatedMinutes).toBe(75);
  });

  it("judge its day's route: what the yard is told, what is pointed out ahead", async () => {
    await service.query("DELETE FROM resets");
    await service.query("UPDATE practices SET lat = 53.2, lon = -9.0");
    const due = await addReset({ lastDoneOn: "2026-09-24" });
    const { name } = (await read(due)).horse;
    await addReset({ bookedFor: "2026-10-14T10:00:00+01:00" });
    const day = async () =>
      (await service.manager.get(`/route-days/2026-10-14?farrierId=${service.farrier.id}`)).body
        .problems as string[];
    expect((await day()).join(" ")).not.toContain(name);
    expect((await day()).join(" ")).toContain("tell the yard");
    await setFigure("routing/look-ahead", 10);
    await setFigure("routing/told-time", 240);
    expect((await day()).join(" ")).toContain(`${name} at Test Yard is due on 22 October 2026`);
    expect((await day()).join(" ")).not.toContain("tell the yard");
  });

  it("count its resets as kept by its own grace, and the overdue week by week", async () => {
    await service.query("DELETE FROM resets");
    await addReset({ lastDoneOn: "2026-08-01", doneAt: "2026-08-31T09:00:00+01:00" });
    const figures = async () => (await service.manager.get("/reset-compliance")).body;
    const before = await figures();
    expect(before).toMatchObject({ graceDays: 3, practice: { onTime: 1, total: 1, share: 1 } });
    // Due on 29 August, done on the 31st: none of the weekly days lies between.
    expect(before.overdue.at(-7)).toEqual({ on: "2026-09-02", horses: 0 });
    await addReset({ lastDoneOn: "2026-08-10", intervalDays: 28 });
    const after = await figures();
    expect(after.overdue.slice(-7).map((week: { horses: number }) => week.horses)).toEqual([
      0, 1, 1, 1, 1, 1, 1,
    ]);
    expect(after.byFarrier[0].overdue).toEqual(after.overdue);
    expect(after.byYard[0].overdue).toEqual(after.overdue);
    await setFigure("cycle.compliance-grace", 1);
    expect(await figures()).toMatchObject({ graceDays: 1, practice: { onTime: 0, total: 1 } });
  });
});

describe("the interval of a running cycle", () => {
  const change = (id: string, body: object, version = 1) =>
    service.vet.send("patch", `/resets/${id}`, body, version);

  it("is shortened at once, which pulls the due day earlier", async () => {
    const id = await addReset();
    const shorter = await change(id, { intervalDays: 23 });
    expect(shorter.status, shorter.text).toBe(200);
    expect(shorter.body).toMatchObject({ intervalDays: 23, dueOn: "2026-10-13" });
  });

  it("is lengthened by nobody without a written reason: no due day moves later by itself", async () => {
    const id = await addReset();
    const refused = await change(id, { intervalDays: 33 });
    expect(refused.status).toBe(422);
    expect(refused.body.findings).toContainEqual(
      expect.objectContaining({ rule: "cycle/interval-lengthened@1", outcome: "block" }),
    );
    expect(await read(id)).toMatchObject({ intervalDays: 28, dueOn: "2026-10-18" });
    const signed = await change(id, { intervalDays: 33, lengthenReason: "Frost: growth is slow" });
    expect(signed.body).toMatchObject({
      intervalDays: 33,
      dueOn: "2026-10-23",
      lengthenReason: "Frost: growth is slow",
    });
  });
});
