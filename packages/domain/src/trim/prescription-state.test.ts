import { describe, expect, it } from "vitest";
import {
  isCurrentPrescription,
  isWorkable,
  nextPrescriptionState,
  PRESCRIPTION_ACTIONS,
  PRESCRIPTION_STATES,
} from "./index.ts";
import type { PrescriptionAction, PrescriptionActor, PrescriptionState } from "./index.ts";

const walk = (...steps: readonly (readonly [PrescriptionAction, PrescriptionActor])[]) =>
  steps.reduce<PrescriptionState>((state, [action, actor]) => {
    const next = nextPrescriptionState(state, action, actor);
    if (!next.ok) throw new Error(next.findings[0]?.detail);
    return next.value;
  }, "draft");

describe("the life of a prescription", () => {
  it("goes from draft to done through a query and its answer", () => {
    expect(
      walk(
        ["sign", "vet"],
        ["query", "farrier"],
        ["answer", "vet"],
        ["accept", "farrier"],
        ["record-done", "farrier"],
      ),
    ).toBe("done");
  });

  it("lets a farrier decline with honour, even after accepting", () => {
    expect(walk(["sign", "vet"], ["decline", "farrier"])).toBe("declined");
    expect(walk(["sign", "vet"], ["accept", "farrier"], ["decline", "farrier"])).toBe("declined");
    expect(isWorkable("declined")).toBe(false);
  });

  it("never lets anyone work from a draft or an unaccepted plan", () => {
    expect(PRESCRIPTION_STATES.filter(isWorkable)).toEqual(["accepted"]);
    expect(isCurrentPrescription("draft")).toBe(false);
    expect(nextPrescriptionState("draft", "record-done", "farrier").ok).toBe(false);
    expect(nextPrescriptionState("signed", "record-done", "farrier").ok).toBe(false);
  });

  it("lets only a vet sign, answer, replace or withdraw", () => {
    for (const action of ["sign", "answer", "supersede", "withdraw"] as const)
      for (const state of PRESCRIPTION_STATES)
        for (const actor of ["farrier", "practice manager", "yard carer", "owner"] as const)
          expect(nextPrescriptionState(state, action, actor).ok).toBe(false);
  });

  it("never brings a signed plan back to draft, and ends at replaced or withdrawn", () => {
    for (const state of PRESCRIPTION_STATES)
      for (const action of PRESCRIPTION_ACTIONS)
        for (const actor of ["vet", "farrier"] as const) {
          const next = nextPrescriptionState(state, action, actor);
          if (next.ok) {
            expect(next.value).not.toBe("draft");
            expect(["superseded", "withdrawn"]).not.toContain(state);
          } else expect(next.findings[0]?.outcome).toBe("block");
        }
  });

  it("keeps a done plan current until the next one is signed", () => {
    expect(isCurrentPrescription("done")).toBe(true);
    const next = nextPrescriptionState("done", "supersede", "vet");
    expect(next).toMatchObject({ ok: true, value: "superseded" });
    expect(isCurrentPrescription("superseded")).toBe(false);
    expect(nextPrescriptionState("done", "withdraw", "vet").ok).toBe(false);
  });
});
