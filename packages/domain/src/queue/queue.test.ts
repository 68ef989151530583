import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { ROLES } from "../access/index.ts";
import { PHASES } from "../cases/index.ts";
import { RESET_STATES } from "../cycle/index.ts";
import { MS_PER_DAY, MS_PER_HOUR } from "../time/index.ts";
import {
  KIND_RULES,
  QUEUE_KINDS,
  WELFARE_CLASSES,
  compareQueueItems,
  orderQueue,
  type QueueItem,
} from "./index.ts";

const now = Date.parse("2026-10-14T06:10:00Z");

const anyItem: fc.Arbitrary<QueueItem> = fc
  .record({
    id: fc.string({ minLength: 1, maxLength: 3 }),
    kind: fc.constantFrom(...QUEUE_KINDS),
    phase: fc.constantFrom(...PHASES),
    raised: fc.integer({ min: -5, max: 0 }),
    due: fc.option(fc.integer({ min: -5, max: 5 })),
    acuteUnseen: fc.boolean(),
    urgent: fc.boolean(),
    resetState: fc.option(fc.constantFrom(...RESET_STATES)),
  })
  .map(({ raised, due, resetState, ...rest }) => ({
    ...rest,
    horseName: "Horse",
    raisedAtMs: now + raised * MS_PER_HOUR,
    ...(due === null ? {} : { dueAtMs: now + due * MS_PER_HOUR }),
    ...(resetState === null ? {} : { resetState }),
  }));

const item = (id: string, kind: QueueItem["kind"], more: Partial<QueueItem> = {}): QueueItem => ({
  id,
  kind,
  horseName: id,
  phase: "chronic active",
  raisedAtMs: now - MS_PER_HOUR,
  ...more,
});
const ids = (role: Parameters<typeof orderQueue>[0], items: readonly QueueItem[]) =>
  orderQueue(role, items, now).map((placed) => placed.item.id);

describe("order of the queue", () => {
  it("is a total order: antisymmetric, transitive, and equal only for equal ids", () => {
    fc.assert(
      fc.property(anyItem, anyItem, anyItem, (a, b, c) => {
        const ab = Math.sign(compareQueueItems(a, b, now));
        // `+ 0` folds negative zero.
        expect(ab).toBe(-Math.sign(compareQueueItems(b, a, now)) + 0);
        const bc = Math.sign(compareQueueItems(b, c, now));
        if (ab <= 0 && bc <= 0) expect(compareQueueItems(a, c, now)).toBeLessThanOrEqual(0);
        if (ab === 0) expect(a.id).toBe(b.id);
        expect(compareQueueItems(a, a, now)).toBe(0);
      }),
      { numRuns: 2000 },
    );
  });

  it("does not depend on the order of the input and changes nothing in it", () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(anyItem, { selector: (one) => one.id, maxLength: 20 }),
        fc.constantFrom(...ROLES),
        (items, role) => {
          const frozen = Object.freeze([...items]);
          expect(ids(role, frozen.toReversed())).toEqual(ids(role, frozen));
        },
      ),
    );
  });

  it("never puts a lower welfare class above a higher one", () => {
    fc.assert(
      fc.property(
        fc.array(anyItem, { maxLength: 20 }),
        fc.constantFrom(...ROLES),
        (items, role) => {
          const classes = orderQueue(role, items, now).map((placed) =>
            WELFARE_CLASSES.indexOf(placed.welfareClass),
          );
          expect(classes).toEqual(classes.toSorted((left, right) => left - right));
        },
      ),
    );
  });

  it("shows a role only kinds it can act on, never a closed case, each with reason and place", () => {
    fc.assert(
      fc.property(
        fc.array(anyItem, { maxLength: 20 }),
        fc.constantFrom(...ROLES),
        (items, role) => {
          const placed = orderQueue(role, items, now);
          for (const [index, one] of placed.entries()) {
            expect(one.nextAction).toBe(KIND_RULES[one.item.kind].actions[role]);
            expect(one.item.phase).not.toBe("closed");
            expect(one.reason).not.toBe("");
            expect(one.place).toBe(index + 1);
          }
        },
      ),
    );
  });

  it("puts red flag, held course and unseen acute horse above anything that is merely late", () => {
    expect(
      ids("vet", [
        item("late", "handoff to acknowledge", { dueAtMs: now - 9 * MS_PER_DAY }),
        item("unseen", "reset due", { acuteUnseen: true, phase: "acute" }),
        item("held", "held course"),
        item("flag", "red flag call"),
      ]),
    ).toEqual(["flag", "held", "unseen", "late"]);
  });

  it("orders by lateness inside a class, then by phase", () => {
    expect(
      ids("farrier", [
        item("tomorrow", "reset due", { dueAtMs: now + MS_PER_DAY }),
        item("none", "appointment today"),
        item("maintenance", "reset due", { dueAtMs: now - MS_PER_DAY, phase: "maintenance" }),
        item("chronic", "reset due", { dueAtMs: now - MS_PER_DAY }),
        item("two days", "reset due", { dueAtMs: now - 2 * MS_PER_DAY, phase: "maintenance" }),
      ]),
    ).toEqual(["two days", "chronic", "maintenance", "tomorrow", "none"]);
  });

  it("gives the demo morning: the overdue sore gelding first, then the other red reset, then the amber one", () => {
    const reset = (id: string, daysLate: number, resetState: QueueItem["resetState"]): QueueItem =>
      item(id, "reset due", {
        dueAtMs: now - daysLate * MS_PER_DAY,
        ...(resetState === undefined ? {} : { resetState }),
      });
    expect(
      ids("manager", [
        reset("H03", 0, "due"),
        reset("H16", 2, "amber"),
        reset("H08", 7, "red"),
        reset("H22", 13, "red"),
        item("H22 call", "red flag call", { because: "score 4 of 12, 3 yesterday" }),
      ]),
    ).toEqual(["H22 call", "H22", "H08", "H16", "H03"]);
  });

  it("says why an item stands where it stands", () => {
    const [first] = orderQueue(
      "vet",
      [
        item("H22", "red flag call", {
          because: "score 4 of 12, 3 yesterday",
          dueAtMs: now - 15 * 60_000,
        }),
      ],
      now,
    );
    expect(first?.reason).toBe(
      "red flag · score 4 of 12, 3 yesterday · 15 minutes late · chronic active case",
    );
    expect(first?.nextAction).toBe("see the horse");
    expect(first?.latenessMs).toBe(15 * 60_000);
    expect(orderQueue("vet", [item("x", "red flag call")], now)[0]).not.toHaveProperty(
      "latenessMs",
    );
  });

  it("tells lateness in the unit a person would use, on both sides of each change of unit", () => {
    const late = (ms: number) =>
      orderQueue("carer", [item("x", "care check due", { dueAtMs: now - ms })], now)[0]?.reason;
    const hour = MS_PER_HOUR;
    expect(
      [0, 59 * 60_000, hour, 2 * MS_PER_DAY - 1, 2 * MS_PER_DAY, -2 * hour].map(
        (ms) => late(ms)?.split(" · ")[0],
      ),
    ).toEqual([
      "due now",
      "59 minutes late",
      "1 hour late",
      "47 hours late",
      "2 days late",
      "due in 2 hours",
    ]);
  });

  it("takes a dose as late only once its time has passed", () => {
    const dose = (dueAtMs: number) =>
      orderQueue("carer", [item("d", "dose due", { dueAtMs })], now)[0]?.welfareClass;
    expect(dose(now)).toBe("everything else");
    expect(dose(now - 1)).toBe("feet or pain past their limit");
  });

  it("shows an escalated note to the role it climbed to, and a note only to its receiver before", () => {
    const note = item("n", "handoff to acknowledge", { onlyFor: ["farrier"] });
    expect(ids("farrier", [note])).toEqual(["n"]);
    expect(ids("carer", [note])).toEqual([]);
    expect(ids("manager", [note])).toEqual([]);
    expect(ids("manager", [{ ...note, alsoFor: ["manager"] }])).toEqual(["n"]);
  });

  it("gives the owner nothing to do but see today's appointment", () => {
    expect(QUEUE_KINDS.filter((kind) => ids("owner", [item("x", kind)]).length > 0)).toEqual([
      "appointment today",
    ]);
  });
});
