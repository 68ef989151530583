import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  atTime,
  BUTE_SACHETS,
  courseOf,
  signedCourse,
  weighedBefore,
} from "../support/medicine.ts";
import { startTestService, type TestService } from "../support/service.ts";

let service: TestService;
let caseId = "";
beforeAll(async () => {
  service = await startTestService();
  await service.query("UPDATE horses SET food_chain = 'excluded'");
  await weighedBefore(service, service.horseId, 500, "2026-10-13T08:00:00+01:00");
  const opened = await service.vet.send("post", "/cases", {
    horseId: service.horseId,
    phase: "acute",
  });
  caseId = opened.body.id;
});
afterAll(async () => {
  await service.close();
});

const textOf = async (path: string): Promise<string> => {
  const { body, text } = await service.manager
    .get(path)
    .buffer(true)
    .parse((response, done) => {
      const parts: Buffer[] = [];
      response.on("data", (part: Buffer) => void parts.push(part));
      response.on("end", () => done(null, Buffer.concat(parts).toString()));
    });
  return typeof body === "string" ? body : text;
};

describe("the audit trail", () => {
  it("keeps the old value, the author and the time of an edit, and both exports show both values", async () => {
    const before = (await service.vet.get(`/horses/${service.horseId}`)).body;
    const changed = await service.vet.send(
      "patch",
      `/horses/${service.horseId}`,
      { name: "Renamed Horse" },
      before.version,
    );
    expect(changed.status, changed.text).toBe(200);
    const lines = (await textOf(`/audit/lines?horseId=${service.horseId}`))
      .trim()
      .split("\n")
      .map((line) => JSON.parse(line) as Record<string, unknown>);
    const edit = lines.find((line) => JSON.stringify(line).includes("horse.changed"));
    const said = JSON.stringify(edit);
    expect(said).toContain(service.vet.id);
    expect(said).toContain("Test Horse");
    expect(said).toContain("Renamed Horse");
    expect(said).toContain("2026-10-14T06:10:00.000Z");
    const row = (await textOf(`/audit/table?horseId=${service.horseId}`))
      .split("\n")
      .find((line) => line.includes("horse.changed"));
    expect(row).toContain("Vera Vet");
    expect(row).toContain("Test Horse");
    expect(row).toContain("Renamed Horse");
  });
});

describe("what each role sees", () => {
  it("shows a farrier medicines as names only: no dose, no times, no course, in the file or beside it", async () => {
    await signedCourse(
      service.vet,
      service.horseId,
      courseOf(...BUTE_SACHETS, "2026-10-14", [
        { toDay: 5, doseMg: 1000, timesLocal: ["08:00", "20:00"] },
      ]),
    );
    const forVet = (await service.vet.get(`/cases/${caseId}/file`)).body;
    expect(JSON.stringify(forVet.courses)).toContain("1000");
    const forFarrier = (await service.farrier.get(`/cases/${caseId}/file`)).body;
    expect(forFarrier.medicineNames).toEqual(forVet.medicineNames);
    expect(forFarrier.medicineNames.length).toBeGreaterThan(0);
    expect(forFarrier.courses).toEqual([]);
    expect(forFarrier.labResults).toEqual([]);
    expect(JSON.stringify(forFarrier)).not.toMatch(/doseMg|timesLocal|1000/u);
    for (const path of ["courses", "doses", "dose-ledger", "other-medicines"])
      expect((await service.farrier.get(`/horses/${service.horseId}/${path}`)).status, path).toBe(
        403,
      );
  });

  it("shows a yard carer the own yard only: its horses, cases and doses, and of others nothing", async () => {
    const yard = await service.vet.send("post", "/yards", {
      name: "The other yard",
      lat: 53,
      lon: -9,
      timeZone: "Europe/Dublin",
    });
    const horse = await service.vet.send("post", "/horses", {
      name: "Horse of the other yard",
      type: "horse",
      sex: "mare",
      yardId: yard.body.id,
    });
    expect(horse.status, horse.text).toBe(201);
    const opened = await service.vet.send("post", "/cases", {
      horseId: horse.body.id,
      phase: "acute",
    });
    const { carer } = service;
    for (const path of [
      `/yards/${yard.body.id}`,
      `/horses/${horse.body.id}`,
      `/cases/${opened.body.id}`,
      `/cases/${opened.body.id}/file`,
      `/horses/${horse.body.id}/courses`,
    ])
      // oxlint-disable-next-line no-await-in-loop
      expect((await carer.get(path)).status, path).toBe(404);
    for (const path of [
      "/yards?limit=200",
      "/horses?limit=200",
      "/cases?limit=200",
      "/queue",
      "/care-days/2026-10-14",
      "/search?q=other",
    ]) {
      // oxlint-disable-next-line no-await-in-loop
      const { status, text } = await carer.get(path);
      expect(status, path).toBe(200);
      expect(text, path).not.toContain("other yard");
      expect(text, path).not.toContain(horse.body.id);
    }
    const own = await carer.get("/horses?limit=200");
    expect(own.body.items.map((one: { id: string }) => one.id)).toEqual([service.horseId]);
  });
});

describe("a limit the practice edits", () => {
  const KEY = "medication.ceiling.pbz/absolute.absolute-mg";

  it("keeps the old one with its dates; what was signed under it stands, what comes after is judged by the new", async () => {
    const judged = async (vet: TestService["vet"], startOn: string) => {
      const answer = await vet.send(
        "post",
        `/horses/${service.horseId}/course-checks`,
        courseOf(...BUTE_SACHETS, startOn, [
          { toDay: 3, doseMg: 500, timesLocal: ["08:00", "20:00"] },
        ]),
      );
      expect(answer.status, answer.text).toBe(200);
      return (answer.body.findings as { rule: string; outcome: string }[])
        .filter((one) => one.outcome === "block")
        .map((one) => one.rule);
    };
    const [signed] = (await service.vet.get(`/horses/${service.horseId}/courses`)).body.items;
    expect(await judged(service.vet, "2026-10-20")).toEqual([]);

    const changed = await service.vet.send("post", "/settings", {
      key: KEY,
      value: 900,
      since: "2026-10-16",
      source: "Partners' meeting of 14 October",
    });
    expect(changed.status, changed.text).toBe(201);
    expect(changed.body.history.at(-1)).toMatchObject({
      value: 900,
      since: "2026-10-16",
      source: "Partners' meeting of 14 October",
      setBy: { name: "Vera Vet" },
    });
    expect(changed.body.history[0]).toMatchObject({ setBy: null, value: changed.body.standard });

    const { vet } = await atTime(service, "2026-10-17T09:00:00+01:00");
    expect(await judged(vet, "2026-10-20")).toContain("medication/rolling-limit@1");
    const [still] = (await vet.get(`/horses/${service.horseId}/courses`)).body.items;
    expect(still).toMatchObject({ id: signed.id, status: signed.status });
    expect(still.findings).toEqual(signed.findings);
    expect(still.overrides).toEqual(signed.overrides);
  });
});
