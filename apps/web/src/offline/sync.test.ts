import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { CLOCK_SLACK_MS, readClock } from "./clock.ts";
import {
  conflicts,
  decide,
  EMPTY_OUTBOX,
  type Entry,
  type Outbox,
  type Request,
  unsettled,
  write,
} from "./outbox.ts";
import { type Attempt, type Ports, sync } from "./sync.ts";
import { FAULTS, faultyLine, Killed, type Packet } from "./testing/faulty-line.ts";

/**
 * The service as a model: what the real one promises about keys, numbers, versions and visits, and
 * nothing else. `tests/api/offline.test.ts` holds the real one to the same promises.
 */
interface Stored {
  readonly edit: string;
  readonly horse: string;
  readonly device: string;
  readonly order: number;
  readonly happenedAtMs: number;
  readonly receivedAtMs: number;
  readonly outcome: "stored" | "put aside";
  readonly planSeen: number;
  readonly planThen: number;
  readonly saidReplaced: boolean;
}

const HORSES = ["marl", "quoit"] as const;
type Horse = (typeof HORSES)[number];
const START_MS = Date.parse("2026-10-14T06:00:00Z");

const modelService = () => {
  let nowMs = START_MS;
  const plans = new Map<string, number>(HORSES.map((horse) => [horse, 1]));
  const notes = new Map<string, number>(HORSES.map((horse) => [horse, 1]));
  const answers = new Map<string, Attempt>();
  const numbers = new Set<string>();
  const stored: Stored[] = [];
  const arrivals = new Map<string, { receivedAt: string; outcome: Stored["outcome"] }>();
  const newestVisit = (horse: string) =>
    stored.findLast((one) => one.horse === horse && one.edit.startsWith("visit"))?.edit ?? null;
  const no = (slug: string, detail: string): Attempt => ({
    kind: "refused",
    refusal: { slug, title: slug, detail, next: "" },
  });
  const handle = (device: string, { entry, frozen }: Packet): Attempt => {
    nowMs += 10;
    const known = answers.get(entry.key);
    if (known !== undefined) return known;
    const { operation, body, ifMatch } = frozen.request;
    const isAside = operation === "putAside";
    const said = (isAside ? (body["payload"] as { body: Request["body"] }).body : body) as Record<
      string,
      string | number | null | boolean
    >;
    const horse = String(said["horse"]);
    const plan = plans.get(horse) ?? 0;
    if (operation === "visit") {
      if (said["lastVisit"] !== undefined && said["lastVisit"] !== newestVisit(horse))
        return no("conflict", "another visit");
      if (said["plan"] !== plan && said["byReplacedPlan"] !== true)
        return no("conflict", "replaced");
    }
    if (operation === "answer" && ifMatch !== notes.get(horse)) return no("version-conflict", "");
    const number = `${device} ${String(entry.order)}`;
    if (numbers.has(number)) return no("conflict", "number has arrived");
    numbers.add(number);
    const version = operation === "answer" ? (ifMatch ?? 0) + 1 : 1;
    if (operation === "answer") notes.set(horse, version);
    stored.push({
      edit: String(said["edit"]),
      horse,
      device,
      order: entry.order,
      happenedAtMs: frozen.happenedAtMs,
      receivedAtMs: nowMs,
      outcome: isAside ? "put aside" : "stored",
      planSeen: Number(said["plan"]),
      planThen: plan,
      saidReplaced: said["byReplacedPlan"] === true,
    });
    arrivals.set(entry.key, {
      receivedAt: new Date(nowMs).toISOString(),
      outcome: isAside ? "put aside" : "stored",
    });
    const answer: Attempt = { kind: "answered", answer: { id: String(said["edit"]), version } };
    answers.set(entry.key, answer);
    return answer;
  };
  return {
    handle,
    stored,
    now: () => nowMs,
    pass: (ms: number) => (nowMs += ms),
    replacePlan: (horse: string) => plans.set(horse, (plans.get(horse) ?? 0) + 1),
    look: (horse: string) => ({
      plan: plans.get(horse) ?? 0,
      version: notes.get(horse) ?? 0,
      lastVisit: newestVisit(horse),
    }),
    arrived: (keys: readonly string[]) =>
      keys.flatMap((key) => {
        const found = arrivals.get(key);
        return found === undefined ? [] : [{ key, ...found }];
      }),
  };
};
type Model = ReturnType<typeof modelService>;

/** A phone: what it keeps durably, what it saw when it last had signal, and a clock that is out. */
const phone = (
  name: string,
  service: Model,
  skewMs: number,
  faults: Parameters<typeof faultyLine>[1],
) => {
  let kept: Outbox = EMPTY_OUTBOX;
  let clock = null as ReturnType<typeof readClock> | null;
  let keys = 0;
  const surfaced = new Set<number>();
  const deviceNow = () => service.now() - skewMs;
  const seen = new Map(HORSES.map((horse) => [horse as string, service.look(horse)]));
  const line = faultyLine((packet) => Promise.resolve(service.handle(name, packet)), faults);
  const newKey = () => `${name}-${String((keys += 1))}`;
  const ports: Ports = {
    personId: "farrier",
    load: () => Promise.resolve(kept),
    save: (change) => {
      kept = change(kept);
      for (const one of conflicts(kept)) surfaced.add(one.order);
      return Promise.resolve(kept);
    },
    compare: (asked) => {
      clock = readClock(deviceNow(), deviceNow(), service.now());
      return Promise.resolve({ clock, arrived: service.arrived(asked) });
    },
    send: line.send,
  };
  return {
    name,
    outbox: () => kept,
    surfaced,
    heal: line.heal,
    deliverLate: line.deliverLate,
    takeAlong: () => {
      clock = readClock(deviceNow(), deviceNow(), service.now());
      for (const horse of HORSES) seen.set(horse, service.look(horse));
    },
    write: (kind: "visit" | "answer" | "photo", horse: Horse, edit: string) => {
      const view = seen.get(horse);
      const own = unsettled(kept).some((entry) => entry.lane === horse);
      const body = {
        edit: `${kind} ${edit}`,
        horse,
        plan: view?.plan ?? 0,
        ...(kind === "visit" && !own ? { lastVisit: view?.lastVisit ?? null } : {}),
      };
      kept = write(kept, {
        key: newKey(),
        lane: horse,
        personId: "farrier",
        label: horse,
        deviceAtMs: deviceNow(),
        clockBefore: clock,
        request: {
          operation: kind,
          params: { about: `${kind} ${horse}` },
          body,
          ...(kind === "answer" ? { ifMatch: view?.version ?? 0 } : {}),
        },
      });
    },
    sync: async () => {
      try {
        return await sync(ports);
      } catch (error) {
        if (!(error instanceof Killed)) throw error;
        // What was not kept durably is gone; the outbox is read again on the next start.
        return "no connection" as const;
      }
    },
    decide: (isSentAgain: boolean) => {
      const [first] = conflicts(kept);
      if (first === undefined) return false;
      const now = service.look(first.lane);
      const { lastVisit: _, ...body } = first.request.body;
      const { versionOf: __, ...request } = first.request;
      kept = decide(
        kept,
        first.key,
        newKey(),
        isSentAgain
          ? {
              kind: "send",
              request: {
                ...request,
                body: {
                  ...body,
                  ...(request.operation === "visit" && now.plan !== body["plan"]
                    ? { byReplacedPlan: true }
                    : {}),
                },
                ...(request.operation === "answer" ? { ifMatch: now.version } : {}),
              },
            }
          : { kind: "put aside", reason: "not needed" },
      );
      return true;
    },
  };
};

const horse = fc.constantFrom(...HORSES);
const device = fc.constantFrom(0 as const, 1 as const);
const step = fc.oneof(
  {
    weight: 5,
    arbitrary: fc.record({
      do: fc.constant("write" as const),
      device,
      kind: fc.constantFrom("visit" as const, "answer" as const, "photo" as const),
      horse,
    }),
  },
  { weight: 4, arbitrary: fc.record({ do: fc.constant("sync" as const), device }) },
  { weight: 1, arbitrary: fc.record({ do: fc.constant("take along" as const), device }) },
  { weight: 1, arbitrary: fc.record({ do: fc.constant("replace plan" as const), horse }) },
  {
    weight: 2,
    arbitrary: fc.record({ do: fc.constant("late" as const), device, reversed: fc.boolean() }),
  },
  {
    weight: 2,
    arbitrary: fc.record({ do: fc.constant("decide" as const), device, again: fc.boolean() }),
  },
  {
    weight: 2,
    arbitrary: fc.record({
      do: fc.constant("pass" as const),
      ms: fc.integer({ min: 1_000, max: 3_600_000 }),
    }),
  },
);
const schedule = fc.record({
  steps: fc.array(step, { minLength: 5, maxLength: 30 }),
  faults: fc.tuple(
    fc.array(fc.constantFrom(...FAULTS), { maxLength: 20 }),
    fc.array(fc.constantFrom(...FAULTS), { maxLength: 20 }),
  ),
  skewMs: fc.tuple(
    fc.integer({ min: -7_200_000, max: 7_200_000 }),
    fc.integer({ min: -7_200_000, max: 7_200_000 }),
  ),
});

describe("two phones and the service, over 1,500 schedules of lost, late, doubled and cut-off requests", () => {
  it("store every edit exactly once, in order, with conflicts shown and one state in the end", async () => {
    let [surfaced, aside, writes] = [0, 0, 0];
    await fc.assert(
      fc.asyncProperty(schedule, async ({ steps, faults, skewMs }) => {
        const service = modelService();
        const phones = [
          phone("a", service, skewMs[0], faults[0]),
          phone("b", service, skewMs[1], faults[1]),
        ] as const;
        for (const one of phones) one.takeAlong();
        const written = new Map<string, number>();
        // Steps follow each other.
        // oxlint-disable no-await-in-loop
        for (const [index, one] of steps.entries()) {
          service.pass(500);
          if (one.do === "write") {
            const edit = `${String(one.device)}.${String(index)}`;
            phones[one.device].write(one.kind, one.horse, edit);
            written.set(`${one.kind} ${edit}`, service.now());
          } else if (one.do === "sync") await phones[one.device].sync();
          else if (one.do === "take along") phones[one.device].takeAlong();
          else if (one.do === "replace plan") service.replacePlan(one.horse);
          else if (one.do === "late") await phones[one.device].deliverLate(one.reversed);
          else if (one.do === "decide") phones[one.device].decide(one.again);
          else service.pass(one.ms);
        }
        for (const one of phones) {
          one.heal();
          await one.deliverLate(true);
        }
        for (let round = 0; round < 200; round += 1) {
          const ends = [await phones[0].sync(), await phones[1].sync()];
          if (!phones.map((one) => one.decide(round % 2 === 0)).includes(true)) {
            expect(ends).toEqual(["done", "done"]);
            break;
          }
        }
        // oxlint-enable no-await-in-loop

        // Every edit is there exactly once, as a record or, by a person's decision, put aside.
        expect(service.stored.map((one) => one.edit).toSorted()).toEqual(
          [...written.keys()].toSorted(),
        );
        for (const one of phones) {
          expect(unsettled(one.outbox())).toEqual([]);
          const here = (state: Entry["state"]) =>
            one
              .outbox()
              .entries.filter((entry) => entry.state === state)
              .map((entry) => entry.order);
          const there = (outcome: Stored["outcome"]) =>
            service.stored
              .filter((kept) => kept.device === one.name && kept.outcome === outcome)
              .map((kept) => kept.order)
              .toSorted((a, b) => a - b);
          // Phone and service agree on what became of each.
          expect(here("arrived")).toEqual(there("stored"));
          expect(here("put aside")).toEqual(there("put aside"));
          // About one horse they arrived in the order they were written.
          for (const name of HORSES) {
            const orders = service.stored
              .filter((kept) => kept.device === one.name && kept.horse === name)
              .map((kept) => kept.order);
            expect(orders).toEqual(orders.toSorted((a, b) => a - b));
          }
          // Nothing was put aside, and no replaced plan recorded, that was not first shown to the person.
          for (const kept of service.stored.filter((entry) => entry.device === one.name)) {
            if (kept.outcome === "put aside" || kept.saidReplaced)
              expect(one.surfaced.has(kept.order)).toBe(true);
            if (
              kept.edit.startsWith("visit") &&
              kept.outcome === "stored" &&
              kept.planSeen !== kept.planThen
            )
              expect(kept.saidReplaced).toBe(true);
          }
          surfaced += one.surfaced.size;
        }
        // However wrong the clock, what is kept as event time is when it was written.
        for (const kept of service.stored) {
          const trueMs = written.get(kept.edit) ?? 0;
          expect(Math.abs(kept.happenedAtMs - trueMs)).toBeLessThan(CLOCK_SLACK_MS);
          expect(kept.happenedAtMs).toBeLessThanOrEqual(kept.receivedAtMs);
        }
        writes += written.size;
        aside += service.stored.filter((kept) => kept.outcome === "put aside").length;
      }),
      { numRuns: 1_500 },
    );
    // The schedules are hard enough to mean something.
    expect(writes).toBeGreaterThan(5_000);
    expect(surfaced).toBeGreaterThan(500);
    expect(aside).toBeGreaterThan(100);
  });
});
