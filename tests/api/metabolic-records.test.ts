import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { addAnimal, atTime, weighedBefore, type Team } from "../support/medicine.ts";
import { startTestService, type TestService } from "../support/service.ts";

let service: TestService;
let team: Team;
beforeAll(async () => {
  service = await startTestService();
  team = await atTime(service, "2026-10-14T12:00:00+01:00");
});
afterAll(async () => {
  await service.close();
});

const RATION = { dryMatterPercent: 1.5, forage: "hay", dryShare: 0.85, grazing: false } as const;

describe("rations", () => {
  it("need a usable weight, are ended once, and a donkey that does not eat is never restricted (hyperlipaemia: common practice)", async () => {
    const donkey = await addAnimal(service, { name: "Donk", type: "donkey", heightCm: 110 });
    const sign = (more: object = {}) =>
      team.vet.send("post", `/horses/${donkey}/feeding-plans`, { ...RATION, ...more });
    expect((await sign()).status).toBe(409);
    await weighedBefore(service, donkey, 180, "2026-10-13T08:00:00+01:00");
    expect((await sign({ offFeedHours: 6 })).body.findings).toContainEqual(
      expect.objectContaining({ rule: "metabolic/hyperlipaemia@1", outcome: "block" }),
    );
    expect((await sign({ forage: "haylage", dryShare: 0.85 })).status).toBe(422);
    const plan = await sign();
    expect(plan.status).toBe(201);
    const end = (version: number) =>
      team.vet.send("post", `/feeding-plans/${plan.body.id}/end`, { reason: "slim" }, version);
    expect((await end(7)).status).toBe(412);
    expect((await end(1)).body.endReason).toBe("slim");
    expect((await end(2)).status).toBe(409);
    expect((await team.carer.get(`/horses/${donkey}/feeding-plan`)).status).toBe(404);
    // What was signed never changes, whoever asks.
    await expect(
      service.query("UPDATE feeding_plans SET signed_text = 'other' WHERE id = $1", [plan.body.id]),
    ).rejects.toThrow("signed records never change");
  });
});

describe("ice and movement", () => {
  it("refuse a time that ends before it starts, lies ahead, or lasts longer than a day", async () => {
    const horse = await addAnimal(service, { name: "Iced" });
    const ice = (fromAt: string, toAt: string) =>
      team.carer.send("post", `/horses/${horse}/ice-entries`, { fromAt, toAt, feet: ["LF"] });
    const pointer = async (fromAt: string, toAt: string) =>
      (await ice(fromAt, toAt)).body.errors[0].pointer;
    expect(await pointer("2026-10-14T11:00:00+01:00", "2026-10-14T10:00:00+01:00")).toBe("/toAt");
    expect(await pointer("2026-10-14T11:00:00+01:00", "2026-10-14T13:00:00+01:00")).toBe("/toAt");
    expect(await pointer("2026-10-12T11:00:00+01:00", "2026-10-14T10:00:00+01:00")).toBe("/toAt");
    expect((await team.vet.get(`/horses/${horse}/ice-log`)).body).toMatchObject({
      entries: [],
      totalHours: 0,
      gapHours: 2,
      maxCelsius: 10,
    });
  });

  it("a ladder needs an open case, stays while the horse is red-flagged, and once ended is closed", async () => {
    const horse = await addAnimal(service, { name: "Steps" });
    const stages = [
      { name: "box", leastDays: 1, stopRules: ["ring the vet"] },
      { name: "pen", leastDays: 1, stopRules: ["ring the vet"] },
    ];
    const start = () => team.vet.send("post", `/horses/${horse}/movement-ladders`, { stages });
    expect((await start()).status).toBe(409);
    await team.vet.send("post", "/cases", { horseId: horse, phase: "subacute" });
    const ladder = await start();
    expect(ladder.body).toMatchObject({ countedDays: 0, mayMoveUp: false });
    team = await atTime(service, "2026-10-16T12:00:00+01:00");
    await team.carer.send("post", `/horses/${horse}/care-checks`, {
      examinedAt: "2026-10-16T11:50:00+01:00",
      signs: ["colic"],
    });
    const move = (way: string, version: number) =>
      team.vet.send(
        "post",
        `/movement-ladders/${ladder.body.id}/moves`,
        { move: way, reason: "as seen" },
        version,
      );
    const flagged = await move("up", 1);
    expect(flagged.status).toBe(409);
    expect(flagged.body.detail).toContain("red flag");
    expect((await move("end", 9)).status).toBe(412);
    expect((await move("end", 1)).body.status).toBe("ended");
    expect((await move("back", 2)).status).toBe(409);
    expect((await team.carer.get(`/horses/${horse}/movement-ladder`)).status).toBe(404);
    expect((await start()).status).toBe(201);
  });
});

describe("sugar tests", () => {
  it("say how much for this animal: 0.45 mL/kg of syrup for 500 kg is 225 mL (Equine endocrinology group, from memory)", async () => {
    const horse = await addAnimal(service, { name: "Sweet" });
    expect((await team.vet.get(`/horses/${horse}/sugar-tests`)).status).toBe(409);
    await weighedBefore(service, horse, 500, "2026-10-15T08:00:00+01:00");
    const { items } = (await team.vet.get(`/horses/${horse}/sugar-tests`)).body;
    const amount = (protocol: string) =>
      items.find((one: { protocol: string }) => one.protocol === protocol).amount;
    expect(amount("syrup 0.45 mL/kg")).toBe(225);
    expect(amount("syrup 0.15 mL/kg")).toBe(75);
    expect((await team.carer.get(`/horses/${horse}/sugar-tests`)).status).toBe(403);
  });
});
