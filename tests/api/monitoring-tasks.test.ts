import { afterAll, beforeAll, describe, expect, it } from "vitest";
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

let service: TestService;
let team: Team;
let horse: string;
let course: { id: string; version: number };
beforeAll(async () => {
  service = await startTestService();
  team = await atTime(service, "2026-10-14T09:50:00+01:00");
  horse = await addAnimal(service, { name: "Watched" });
  await weighedBefore(service, horse, 500, "2026-10-13T08:00:00+01:00");
  course = await signedCourse(
    team.vet,
    horse,
    courseOf(...BUTE_SACHETS, "2026-10-14", [{ toDay: 10, doseMg: 1000, timesLocal: ["20:00"] }]),
  );
});
afterAll(async () => {
  await service.close();
});

interface Task {
  readonly key: string;
  readonly state: string;
  readonly missing: readonly string[];
  readonly doneOn: string | null;
}
const tasks = async (): Promise<Task[]> =>
  (await team.vet.get(`/horses/${horse}/monitoring-tasks`)).body.items;
const task = async (dueOn: string): Promise<Task> => {
  const found = (await tasks()).find((one) => one.key === `course/${course.id}/blood/${dueOn}`);
  if (found === undefined) throw new Error(`no task due on ${dueOn}`);
  return found;
};
const queued = async () =>
  (await team.vet.get("/queue")).body.items.filter(
    (one: { kind: string; horse: { id: string } }) =>
      one.kind === "monitoring due" && one.horse.id === horse,
  );
const CHEMISTRY = [
  ["total protein", 65, "g/L"],
  ["albumin", 31, "g/L"],
  ["creatinine", 110, "µmol/L"],
  ["urea", 5, "mmol/L"],
  ["white cells", 8, "10^9/L"],
] as const;

// The intervals are a house rule; the labels ask for baseline and periodic tests and fix none.
describe("tasks of a course", () => {
  it("opens the baseline at once, is fulfilled test by test by results, and then leaves the vet's queue", async () => {
    expect(await task("2026-10-14")).toMatchObject({ state: "due", doneOn: null });
    expect(await task("2026-10-19")).toMatchObject({ state: "later" });
    expect(await queued()).toHaveLength(1);
    for (const [test, value, unit] of CHEMISTRY)
      // oxlint-disable-next-line no-await-in-loop
      await enterResult(team.vet, horse, { takenOn: "2026-10-14", test, value, unit });
    expect(await task("2026-10-14")).toMatchObject({
      state: "due",
      missing: ["urine specific gravity"],
    });
    await enterResult(team.vet, horse, {
      takenOn: "2026-10-14",
      test: "urine specific gravity",
      value: 1.03,
      unit: "ratio",
    });
    expect(await task("2026-10-14")).toMatchObject({ state: "done", doneOn: "2026-10-14" });
    expect(await queued()).toEqual([]);
    // A sample five days early says nothing about day 5.
    expect(await task("2026-10-19")).toMatchObject({ state: "later" });
  });

  it("becomes late, and only a vet sets it aside, once, with a reason that stays in sight", async () => {
    team = await atTime(service, "2026-10-20T09:00:00+01:00");
    const { key, state } = await task("2026-10-19");
    expect(state).toBe("late");
    const waive = (person: Team["vet"], taskKey: string) =>
      person.send("post", `/horses/${horse}/monitoring-waivers`, {
        taskKey,
        reason: "bled at the hospital; results to follow",
      });
    expect((await waive(team.carer, key)).status).toBe(403);
    expect((await waive(team.vet, "course/none")).body.errors[0].pointer).toBe("/taskKey");
    expect((await waive(team.vet, key)).body).toMatchObject({ state: "waived" });
    expect((await waive(team.vet, key)).status).toBe(409);
    expect(await task("2026-10-19")).toMatchObject({
      state: "waived",
      waivedBecause: "bled at the hospital; results to follow",
    });
    expect(await queued()).toEqual([]);
  });

  it("goes with the course: stopped, it asks for nothing more and keeps what was done", async () => {
    const stopped = await team.vet.send(
      "post",
      `/courses/${course.id}/stop`,
      { reason: "sound without it" },
      (await team.vet.get(`/courses/${course.id}`)).body.version,
    );
    expect(stopped.status).toBe(200);
    const left = (await tasks()).filter((one) => one.key.startsWith(`course/${course.id}/blood`));
    expect(left.map((one) => one.state)).toEqual(["done"]);
  });
});

describe("a horse with a hormone cause", () => {
  it("is weighed weekly, scored every two weeks and bled for insulin while its case is open (house rule)", async () => {
    const pony = await addAnimal(service, { name: "Crest", type: "pony", heightCm: 125 });
    await weighedBefore(service, pony, 300, "2026-10-12T08:00:00+01:00");
    await service.query("UPDATE horses SET conditions = '{insulin dysregulation}' WHERE id = $1", [
      pony,
    ]);
    const read = async () =>
      (await team.vet.get(`/horses/${pony}/monitoring-tasks`)).body.items.filter(
        (one: { key: string }) => one.key.startsWith("recheck/"),
      );
    expect(await read()).toEqual([]);
    await team.vet.send("post", "/cases", { horseId: pony, phase: "subacute" });
    const due = await read();
    expect(due.map((one: { key: string }) => one.key)).toEqual([
      "recheck/weight/2026-10-19",
      "recheck/crest and condition/2026-10-20",
      "recheck/insulin/2026-11-10",
    ]);
    expect(due[0].state).toBe("late");
    await team.carer.send("post", `/horses/${pony}/weighings`, {
      method: "scale",
      weightKg: 298,
      weighedAt: "2026-10-20T08:30:00+01:00",
    });
    expect((await read())[1]).toMatchObject({ key: "recheck/weight/2026-10-27", state: "later" });
  });
});
