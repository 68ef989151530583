import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { draftFirstAidPlan, signPlan } from "../support/first-aid-plan.ts";
import { startTestService, type TestService } from "../support/service.ts";

let service: TestService;
let caseId: string;
beforeAll(async () => {
  service = await startTestService();
  const opened = await service.vet.send("post", "/cases", {
    horseId: service.horseId,
    phase: "acute",
    leadVetId: service.vet.id,
  });
  caseId = opened.body.id;
});
afterAll(async () => {
  await service.close();
});

const board = async () => {
  const answer = await service.vet.get("/morning-board");
  expect(answer.status, answer.text).toBe(200);
  return answer.body;
};
const queue = async () => (await service.vet.get("/queue")).body.items;

describe("the morning board", () => {
  it("shows a case once, with the first line of the vet's queue as its next decision", async () => {
    const [first, ...rest] = (await board()).items;
    expect(rest).toEqual([]);
    const own = (await queue()).filter((item: { caseId: string }) => item.caseId === caseId);
    expect(first).toMatchObject({
      caseId,
      horse: { id: service.horseId },
      yard: "Test Yard",
      urgency: own[0].urgency,
      next: { id: own[0].id, nextAction: own[0].nextAction },
      waiting: own.length,
      lastVisitAt: null,
      score: null,
    });
  });

  it("says what changed since a vet last saw the horse, newest first, with the score of the yard", async () => {
    await service.vet.send("post", `/cases/${caseId}/examinations`, {
      obelGrade: 3,
      fiveSignScore: 5,
      examinedAt: "2026-10-14T07:10:00+01:00",
    });
    expect((await board()).items[0]).toMatchObject({ changeCount: 0, changes: [] });
    service.advance(60_000);
    const check = await service.carer.send("post", `/horses/${service.horseId}/care-checks`, {
      fiveSignScore: 8,
      examinedAt: "2026-10-14T07:11:00+01:00",
    });
    expect(check.status, check.text).toBe(201);
    const [row] = (await board()).items;
    expect(row.score).toMatchObject({ before: 5, now: 8 });
    expect(row.changeCount).toBeGreaterThan(0);
    expect(row.changes).toHaveLength(Math.min(3, row.changeCount));
    for (const change of row.changes)
      expect(Date.parse(change.at)).toBeGreaterThan(Date.parse("2026-10-14T07:10:00+01:00"));
  });

  it("is the vet's alone and counts lines that belong to no case", async () => {
    for (const person of [service.farrier, service.manager, service.carer, service.owner])
      expect((await person.get("/morning-board")).status).toBe(403);
    const all = await board();
    const lines = all.items.reduce((sum: number, row: { waiting: number }) => sum + row.waiting, 0);
    expect(lines + all.withoutCase).toBe((await queue()).length);
  });
});

describe("what waits for a signature", () => {
  it("is shown in full, each judged as of now, and leaves the list one by one as it is signed", async () => {
    const first = await draftFirstAidPlan(service, caseId, "Take the load off the toe.");
    const second = await draftFirstAidPlan(service, caseId, "Carry the back of the foot.");
    const all = (await service.vet.get("/drafts")).body;
    expect(all.plans.map((one: { plan: { id: string } }) => one.plan.id)).toEqual([first, second]);
    const alone = (await service.vet.get(`/prescriptions/${first}`)).body;
    expect(all.plans[0]).toMatchObject({
      yard: "Test Yard",
      draftedAt: expect.any(String),
      films: [],
      plan: { feet: alone.feet, aim: alone.aim, doNot: alone.doNot, version: alone.version },
    });
    expect(all.plans[0].plan.findings.length).toBeGreaterThan(0);
    await signPlan(service, first);
    const left = (await service.vet.get("/drafts")).body;
    expect(left.plans.map((one: { plan: { id: string } }) => one.plan.id)).toEqual([second]);
  });

  it("signs nothing silently: a draft changed since it was read is refused, and the others keep their own seal", async () => {
    const { plans } = (await service.vet.get("/drafts")).body;
    const [waiting] = plans;
    const changed = await service.vet.send(
      "patch",
      `/prescriptions/${waiting.plan.id}`,
      { aim: "Something else altogether." },
      waiting.plan.version,
    );
    expect(changed.status, changed.text).toBe(200);
    const refused = await service.vet.send(
      "post",
      `/prescriptions/${waiting.plan.id}/signature`,
      { readBack: { filmOpened: true, targetsConfirmed: true } },
      waiting.plan.version,
    );
    expect(refused.status).toBe(412);
    expect((await service.vet.get(`/prescriptions/${waiting.plan.id}`)).body.signature).toBeNull();
    const third = await draftFirstAidPlan(service, caseId, "Third of the morning.");
    await signPlan(service, third);
    const signed = (await service.vet.get(`/prescriptions/${third}`)).body;
    expect(signed.signature).toEqual(expect.any(String));
    expect(JSON.parse(signed.signedText)).toMatchObject({ prescriptionId: third });
  });

  it("is nobody's business but the vet's", async () => {
    for (const person of [service.farrier, service.manager, service.carer, service.owner])
      expect((await person.get("/drafts")).status).toBe(403);
  });
});

describe("the outcomes of the practice", () => {
  const read = async (query = "") => {
    const answer = await service.manager.get(`/outcomes${query}`);
    expect(answer.status, answer.text).toBe(200);
    return answer.body;
  };

  it("give each figure with its n and no share or middle below five", async () => {
    const before = await read();
    expect(before.fewest).toBe(5);
    const [plans] = before.timeToSign;
    expect(plans.hours).toEqual({ n: 2, median: null, lowest: null, highest: null });
    expect(before.comfort).toMatchObject({ lower: { n: 1, share: null } });
    for (const hours of [2, 4, 6]) {
      // oxlint-disable-next-line no-await-in-loop
      const id = await draftFirstAidPlan(service, caseId, `Plan of ${String(hours)} hours`);
      // oxlint-disable-next-line no-await-in-loop
      await service.query(
        "UPDATE prescriptions SET created_at = created_at - make_interval(hours => $1) WHERE id = $2",
        [hours, id],
      );
      // oxlint-disable-next-line no-await-in-loop
      await signPlan(service, id);
    }
    // Of 0, 0, 2, 4 and 6 hours the middle is 2.
    const [{ hours }] = (await read()).timeToSign;
    expect(hours).toEqual({ n: 5, median: 2, lowest: 0, highest: 6 });
  });

  it("name who carries how much, what nobody signed and who must be weighed", async () => {
    const all = await read("?days=30");
    const of = (id: string) =>
      all.workload.find((one: { person: { id: string } }) => one.person.id === id);
    expect(of(service.vet.id)).toMatchObject({ signatures: 5, examinations: 1, drafts: 1 });
    expect(of(service.carer.id)).toMatchObject({ examinations: 1, signatures: 0 });
    expect(of(service.owner.id)).toBeUndefined();
    expect(all.drafts).toEqual([
      expect.objectContaining({ what: "plan", title: "Something else altogether." }),
    ]);
    expect(all.staleWeights).toEqual([
      expect.objectContaining({
        horse: { id: service.horseId, name: "Test Horse" },
        ageDays: null,
      }),
    ]);
    expect(all.notes.length).toBeGreaterThan(0);
    expect(all.notes[0]).toMatchObject({ isLate: false, toRole: expect.any(String) });
  });

  it("leave as tables that no spreadsheet takes for formulas", async () => {
    await service.vet.send("post", "/handoff-notes", {
      horseId: service.horseId,
      toRole: "farrier",
      urgent: false,
      situation: "=HYPERLINK(1)",
      mustDo: "Look.",
    });
    for (const [table, head] of [
      ["figures", "Figure,Unit,n"],
      ["workload", "Person,Roles"],
      ["drafts", "Horse,What"],
      ["weights", "Horse,Yard"],
      ["notes", "Horse,From"],
    ] as const) {
      // oxlint-disable-next-line no-await-in-loop
      const answer = await service.manager.get(`/outcomes/table?table=${table}`);
      expect(answer.status).toBe(200);
      expect(answer.headers["content-type"]).toContain("text/csv");
      expect(answer.text.replace("\uFEFF", "").startsWith(head)).toBe(true);
      if (table === "notes") expect(answer.text).toContain("'=HYPERLINK(1)");
      if (table === "figures")
        expect(answer.text).toMatch(/Draft to signature \(plan\),hours,5,,/u);
    }
  });

  it("are for vet and manager only", async () => {
    for (const person of [service.farrier, service.carer, service.owner]) {
      // oxlint-disable-next-line no-await-in-loop
      expect((await person.get("/outcomes")).status).toBe(403);
      // oxlint-disable-next-line no-await-in-loop
      expect((await person.get("/outcomes/table")).status).toBe(403);
    }
  });
});
