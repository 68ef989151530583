import { describe, expect, it } from "vitest";
import type { Entry } from "../../offline/outbox.ts";
import { choicesOf, type Standing } from "./conflict-choices.ts";

const entry = (operation: string, body: Entry["request"]["body"], slug = "conflict"): Entry => ({
  key: "k",
  order: 1,
  lane: "marl",
  request: { operation, params: { prescriptionId: "p1" }, body, ifMatch: 1 },
  personId: "me",
  label: "Marl",
  deviceAtMs: 0,
  clockBefore: null,
  state: "conflict",
  attempts: 1,
  earlierKeys: [],
  refusal: { slug, title: "", detail: "", next: "" },
});
const standing = (status: "superseded" | "accepted" | "queried"): Standing => ({
  plan: { status, version: 4, number: 1, horseId: "marl" },
  managerId: "manager",
});
const visit = {
  prescriptionId: "p1",
  lastRecordId: "r0",
  notes: "Blood at the toe",
  asPlanned: true,
};

describe("the ways out of a conflict", () => {
  it("record work by a replaced plan as just that, with every word, and never against the plan nobody had seen", () => {
    const [first] = choicesOf(entry("recordShoeing", visit), standing("superseded"), "no date");
    expect(first?.id).toBe("recordAll");
    const { lastRecordId: _, ...kept } = visit;
    expect(first?.request.body).toEqual({ ...kept, byReplacedPlan: true });
  });

  it("record a second visit beside the other one once the person has seen it", () => {
    const [first] = choicesOf(entry("recordShoeing", visit), standing("accepted"), "no date");
    expect(first?.id).toBe("recordBoth");
    expect(first?.request.body).not.toHaveProperty("lastRecordId");
    expect(first?.request.body).not.toHaveProperty("byReplacedPlan");
  });

  it("offer to leave the date to a named person when the one chosen without signal cannot be booked", () => {
    const choices = choicesOf(
      entry("recordShoeing", visit, "rule-violated"),
      standing("accepted"),
      "not free",
    );
    expect(choices.map(({ id }) => id)).toEqual(["withoutDate"]);
    expect(choices[0]?.request.body["nextReset"]).toEqual({
      noDateReason: "not free",
      personToBook: "manager",
    });
  });

  it("send an answer again on the plan as it stands, or its words as a note where the plan is gone", () => {
    const reply = entry("replyToPrescription", { reply: "queried", text: "Too thin?" });
    expect(choicesOf(reply, standing("queried"), "").map(({ id }) => id)).toEqual([
      "sendAgain",
      "asNote",
    ]);
    expect(choicesOf(reply, standing("queried"), "")[0]?.request.ifMatch).toBe(4);
    const [note] = choicesOf(reply, standing("superseded"), "");
    expect(note?.id).toBe("asNote");
    expect(note?.request.body).toMatchObject({
      found: "Too thin?",
      horseId: "marl",
      toRole: "vet",
    });
  });
});
