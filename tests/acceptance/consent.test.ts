import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { agreeTo, setCost } from "../support/owner-consent.ts";
import { startTestService, type TestService } from "../support/service.ts";

/** House rule: an owner agrees to what is fixed to the foot and what it may cost; first aid never waits. */
const RULE = "prescription/owner-consent@1";
const FOOT = {
  foot: "LF",
  toeBackMm: 5,
  breakoverFromP3TipMm: 6,
  heelRemoveMm: 0,
  palmarAngleTargetDegrees: { low: 3, high: 5 },
  soleMinMm: 12,
  shoe: "glue-on",
  supportFill: "none",
  fixing: "glue",
} as const;

let service: TestService;
let caseId: string;
beforeAll(async () => {
  service = await startTestService();
  caseId = (
    await service.vet.send("post", "/cases", { horseId: service.horseId, phase: "chronic active" })
  ).body.id;
});
afterAll(() => service.close());

interface Plan {
  readonly id: string;
  readonly version: number;
  readonly findings: readonly { rule: string; outcome: string }[];
}
const draft = async (changes: object = {}, foot: object = {}): Promise<Plan> => {
  const made = await service.vet.send("post", `/cases/${caseId}/prescriptions`, {
    aim: "Unload the toe",
    feet: [{ ...FOOT, ...foot }],
    conditions: {},
    intervalDays: 28,
    ...changes,
  });
  expect(made.status, made.text).toBe(201);
  return made.body;
};
const outcomeOf = (plan: { findings: Plan["findings"] }) =>
  plan.findings.find((one) => one.rule === RULE)?.outcome;
const read = async (id: string) => (await service.vet.get(`/prescriptions/${id}`)).body;
const sign = (plan: { id: string; version: number }, overrides: readonly object[]) =>
  service.vet.send(
    "post",
    `/prescriptions/${plan.id}/signature`,
    { readBack: { filmOpened: false, targetsConfirmed: true }, overrides },
    plan.version,
  );
const EMERGENCY = { conditions: { emergency: true } };
const reasons = (plan: Plan) =>
  plan.findings
    .filter((one) => one.outcome === "warn")
    .map(({ rule }) => ({ rule, reason: `Owner abroad, shoe is off: ${rule}` }));

describe("the owner's consent to a plan with a device", () => {
  it("is asked for before the plan is signed, and nobody is asked about a support any hand takes off", async () => {
    expect(outcomeOf(await draft())).toBe("warn");
    expect(outcomeOf(await draft({}, { shoe: "foam", fixing: "tape" }))).toBeUndefined();
  });

  it("is asked on the owner's own page with the cost band, is given once to the plan as read, and is then in the draft", async () => {
    const plan = await draft();
    const portal = async () => (await service.owner.get(`/portal/horses/${service.horseId}`)).body;
    expect((await portal()).asked).toBeNull();
    expect((await agreeTo(service.owner, plan)).status).toBe(404);
    const asked = await setCost(service, plan);
    expect((await portal()).asked).toMatchObject({
      id: plan.id,
      signedAt: null,
      consent: null,
      cost: { fromAmount: 180, toAmount: 240, currency: "EUR" },
    });
    expect((await agreeTo(service.owner, plan)).status).toBe(409);
    expect((await agreeTo(service.owner, asked)).status).toBe(201);
    expect((await agreeTo(service.owner, asked)).status).toBe(409);
    const agreed = await read(plan.id);
    expect(agreed.consent.by.id).toBe(service.owner.id);
    expect(outcomeOf(agreed)).toBe("pass");
  });

  it("is lost when the plan or its cost changes, for it was given to another plan", async () => {
    const plan = await setCost(service, await draft());
    await agreeTo(service.owner, plan);
    const same = await service.vet.send(
      "patch",
      `/prescriptions/${plan.id}`,
      { feet: [(await read(plan.id)).feet[0]], urgent: true },
      plan.version,
    );
    expect(same.body.consent).not.toBeNull();
    const other = await service.vet.send(
      "patch",
      `/prescriptions/${plan.id}`,
      { feet: [{ ...FOOT, shoe: "heart-bar" }] },
      same.body.version,
    );
    expect(other.body.consent).toBeNull();
    expect(outcomeOf(other.body)).toBe("warn");
    await agreeTo(service.owner, other.body);
    expect((await setCost(service, other.body)).consent).toBeNull();
  });

  it("may be written down by the one who was told, and by nobody without the right to", async () => {
    const plan = await draft();
    const told = (person: TestService["vet"]) =>
      person.send(
        "post",
        `/prescriptions/${plan.id}/consent`,
        { givenBy: "Odo Owner", words: "Yes, by phone" },
        plan.version,
      );
    expect((await told(service.farrier)).status).toBe(403);
    const recorded = await told(service.manager);
    expect(recorded.body.consent).toMatchObject({
      givenBy: "Odo Owner",
      by: { id: service.manager.id },
    });
    expect(outcomeOf(recorded.body)).toBe("pass");
  });
});

describe("a plan with a device", () => {
  it("cannot be sent before consent or a recorded waiver, and the waiver's reason is in what is signed", async () => {
    const plan = await draft(EMERGENCY);
    const owed = plan.findings.filter((one) => one.outcome === "block");
    expect(owed).toEqual([]);
    // First aid is the one plan that may go out unmeasured; the wait is waived, and that is kept.
    expect(outcomeOf(plan)).toBe("note");
    const signed = await sign(plan, reasons(plan));
    expect(signed.status, signed.text).toBe(200);
    expect(JSON.parse(signed.body.signedText).consent.waived).toContain("first aid");
  });
});
