import type { TestPerson, TestService } from "./service.ts";

/** Says what a draft is likely to cost, as the vet; the owner is then asked. Gives the plan. */
export const setCost = async (service: TestService, plan: { id: string; version: number }) => {
  const set = await service.vet.send(
    "put",
    `/prescriptions/${plan.id}/cost`,
    {
      fromAmount: 180,
      toAmount: 240,
      currency: "EUR",
      covers: "Both feet, glued shoes, one visit",
    },
    plan.version,
  );
  if (set.status !== 200) throw new Error(`no cost set: ${set.text}`);
  return set.body as { id: string; version: number; cost: object; consent: object | null };
};

/** Agrees to a plan as its owner, having read this version of it. */
export const agreeTo = (owner: TestPerson, plan: { id: string; version: number }) =>
  owner.send("post", `/portal/prescriptions/${plan.id}/consent`, {
    agrees: true,
    seenVersion: plan.version,
  });
