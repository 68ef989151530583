import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { isAllowed } from "../evidence/index.ts";
import { MS_PER_HOUR } from "../time/index.ts";
import {
  HANDOFF_KINDS,
  HANDOFF_LIMITS,
  handoffState,
  judgeHandoff,
  nextEscalation,
  requiredHandoffs,
  type HandoffEvent,
  type SentHandoff,
} from "./index.ts";

const t0 = Date.parse("2026-10-12T16:00:00Z");
const ring = "555 0100";

const events: readonly HandoffEvent[] = [
  {
    kind: "prescription signed",
    horseName: "Marl Hopper",
    feet: ["LF", "RF"],
    aim: "load the back half, unload the toe",
    targets: ["breakover 6 mm ahead of the bone tip", "heels: 3 mm off"],
    doNots: ["no sole off the toe"],
    changedFromLast: ["breakover from 8 to 6 mm"],
    nextResetOn: "2026-11-02",
    ringNumber: ring,
    urgent: false,
  },
  {
    kind: "visit finished",
    horseName: "Marl Hopper",
    byRole: "farrier",
    found: ["stood well"],
    done: ["reset, breakover 10.5 before and 6 after"],
    departures: ["left heel left alone: thin wall"],
    yardMustDo: ["boots for two days"],
    nextResetOn: "2026-11-02",
    ringNumber: ring,
    urgent: false,
  },
  {
    kind: "course held",
    horseName: "Tansy Fogg",
    medicine: "phenylbutazone",
    why: "weight fell from 438 to 385 kg; the dose is over its limit",
    nextDoseAt: "08:00",
    ringNumber: ring,
  },
  {
    kind: "phase changed",
    horseName: "Thimble",
    fromPhase: "acute",
    toPhase: "subacute",
    because: "72 h past, no displacement on film",
    mustDo: [],
    ringNumber: ring,
    urgent: false,
  },
  {
    kind: "reset missed",
    horseName: "Marl Hopper",
    dueOn: "2026-06-01",
    outcome: "cancelled",
    farrierName: "M. Ironmere",
    ringNumber: ring,
  },
];

describe("required handoff notes", () => {
  it("drafts a complete note for each of the five events that need one", () => {
    expect(events.map((event) => event.kind)).toEqual(HANDOFF_KINDS);
    for (const event of events) {
      const drafts = requiredHandoffs(event, t0);
      expect(drafts.length).toBeGreaterThan(0);
      for (const draft of drafts) {
        expect(judgeHandoff(draft)).toEqual([]);
        expect(draft.toRole).not.toBe(draft.fromRole);
        expect(draft.toRole).not.toBe("owner");
        expect(draft.callMeIf).toContain(ring);
        expect(draft.situation).toContain(event.horseName);
      }
    }
  });

  it("sends a signed plan to farrier and yard, and what the farrier left out back to the vet", () => {
    const [signed, finished] = events;
    if (signed === undefined || finished === undefined) throw new Error("no events");
    expect(requiredHandoffs(signed, t0).map((draft) => draft.toRole)).toEqual(["farrier", "carer"]);
    const [toVet] = requiredHandoffs(finished, t0);
    expect(toVet?.toRole).toBe("vet");
    expect(toVet?.done).toContain("not as planned: left heel left alone");
  });

  it("makes a held course and an unbooked missed reset urgent: 2 h instead of 24", () => {
    const due = (index: number) =>
      ((requiredHandoffs(events[index]!, t0)[0]?.acknowledgeByMs ?? 0) - t0) / MS_PER_HOUR;
    expect([0, 1, 2, 3, 4].map(due)).toEqual([24, 24, 2, 24, 2]);
  });

  it("sends a decline with its reason to the vet first and at once, even when a new date stands", () => {
    const drafts = requiredHandoffs(
      {
        kind: "reset missed",
        horseName: "Sea Lavender",
        dueOn: "2026-05-09",
        outcome: "declined",
        reason: "pain, needs nerve block and handler",
        farrierName: "D. Oxtarn",
        newDate: "2026-05-11",
        ringNumber: ring,
      },
      t0,
    );
    expect(drafts.map((draft) => draft.toRole)).toEqual(["vet", "manager"]);
    expect(drafts[0]?.urgency).toBe("urgent");
    expect(drafts[0]?.situation).toContain("needs nerve block");
    expect(drafts[0]?.mustDo).toContain("joint visit");
  });

  it("keeps every drafted field inside its length, however long the facts", () => {
    fc.assert(
      fc.property(fc.array(fc.string({ maxLength: 300 }), { maxLength: 20 }), (found) => {
        const event = { ...events[1], found, done: found } as HandoffEvent;
        for (const draft of requiredHandoffs(event, t0))
          for (const [field, limit] of Object.entries(HANDOFF_LIMITS))
            expect(draft[field as keyof typeof HANDOFF_LIMITS].length).toBeLessThanOrEqual(limit);
      }),
    );
  });

  it("keeps a text of exactly the limit whole and marks where a longer one was cut", () => {
    const found = (length: number) =>
      requiredHandoffs({ ...events[1], found: ["x".repeat(length)] } as HandoffEvent, t0)[0]?.found;
    expect(found(400)).toBe("x".repeat(400));
    expect(found(401)).toBe(`${"x".repeat(399)}…`);
  });

  it("refuses an empty field and one character too many, naming the field", () => {
    const note = {
      situation: "s",
      found: "f",
      done: "d",
      mustDo: "m",
      byWhen: "b",
      callMeIf: "c",
    };
    expect(judgeHandoff({ ...note, mustDo: "  " })[0]?.field).toBe("/mustDo");
    expect(isAllowed(judgeHandoff({ ...note, byWhen: "x".repeat(100) }))).toBe(true);
    expect(isAllowed(judgeHandoff({ ...note, byWhen: "x".repeat(101) }))).toBe(false);
  });
});

describe("the clock of a note", () => {
  const note: SentHandoff = { sentAtMs: t0, urgency: "routine", toRole: "farrier" };
  const after = (hours: number) => handoffState(note, t0 + hours * MS_PER_HOUR);

  it("is open to just under 24 h, then with the manager, after 48 h with the vet as well", () => {
    expect(after(23.99).state).toBe("open");
    expect(after(24)).toMatchObject({ state: "escalated", withRole: "manager", level: 1 });
    expect(after(47.99).withRole).toBe("manager");
    expect(after(48)).toMatchObject({ withRole: "vet", level: 2 });
    expect(after(1000).level).toBe(2);
  });

  it("climbs after 2 h when urgent", () => {
    const urgent: SentHandoff = { ...note, urgency: "urgent" };
    expect(handoffState(urgent, t0 + 2 * MS_PER_HOUR - 1).state).toBe("open");
    expect(handoffState(urgent, t0 + 2 * MS_PER_HOUR).withRole).toBe("manager");
  });

  it("escalates the plan that stayed unacknowledged for 38 h on the demo morning", () => {
    const sent = Date.parse("2026-10-12T17:10:00+01:00");
    expect(
      handoffState({ ...note, sentAtMs: sent }, Date.parse("2026-10-14T07:10:00+01:00")),
    ).toMatchObject({ state: "escalated", withRole: "manager", overdueMs: 14 * MS_PER_HOUR });
  });

  it("ends with the acknowledgement, early or late, and not before it was made", () => {
    const acknowledged = { ...note, acknowledgedAtMs: t0 + 30 * MS_PER_HOUR };
    expect(handoffState(acknowledged, t0 + 29 * MS_PER_HOUR).state).toBe("escalated");
    expect(handoffState(acknowledged, t0 + 30 * MS_PER_HOUR).state).toBe("acknowledged");
    expect(nextEscalation(acknowledged, t0 + 31 * MS_PER_HOUR)).toBeUndefined();
  });

  it("measures real hours through the night with 25 (2026-10-24 to 25, Europe/Dublin)", () => {
    const evening = Date.parse("2026-10-24T18:00:00+01:00");
    const state = (iso: string) =>
      handoffState({ ...note, sentAtMs: evening }, Date.parse(iso)).state;
    expect(state("2026-10-25T16:59:00Z")).toBe("open");
    expect(state("2026-10-25T17:00:00Z")).toBe("escalated");
  });

  it("keeps the time it was drafted with when the practice tightens its hours later", () => {
    const drafted = { ...note, acknowledgeByMs: t0 + 4 * MS_PER_HOUR };
    expect(handoffState(drafted, t0 + 4 * MS_PER_HOUR - 1).state).toBe("open");
    expect(handoffState(drafted, t0 + 4 * MS_PER_HOUR)).toMatchObject({ level: 1 });
    expect(handoffState(drafted, t0 + 8 * MS_PER_HOUR)).toMatchObject({ level: 2 });
    expect(handoffState({ ...note, acknowledgeByMs: t0 - 1 }, t0).state).toBe("escalated");
  });

  it("sends a manager's own late note to the vet", () => {
    const toManager: SentHandoff = { ...note, toRole: "manager" };
    expect(handoffState(toManager, t0 + 24 * MS_PER_HOUR).withRole).toBe("vet");
    expect(nextEscalation(toManager, t0 + 24 * MS_PER_HOUR)).toBeUndefined();
  });

  it("announces each climb exactly when it happens", () => {
    fc.assert(
      fc.property(
        fc.constantFrom("routine" as const, "urgent" as const),
        fc.constantFrom("vet" as const, "farrier" as const, "carer" as const, "manager" as const),
        fc.integer({ min: 0, max: 100 * MS_PER_HOUR }),
        (urgency, toRole, offset) => {
          const sent = { sentAtMs: t0, urgency, toRole };
          const next = nextEscalation(sent, t0 + offset);
          if (next === undefined) return;
          expect(next.atMs).toBeGreaterThan(t0 + offset);
          expect(handoffState(sent, next.atMs)).toMatchObject({
            level: next.level,
            withRole: next.toRole,
          });
          expect(handoffState(sent, next.atMs - 1).level).toBe(next.level - 1);
        },
      ),
    );
  });
});
