import type { ClockReading } from "./clock.ts";
import {
  arrive,
  type Entry,
  type Frozen,
  freeze,
  isPassing,
  keysToCompare,
  nextToSend,
  type Outbox,
  type Refusal,
  refuse,
  takeOver,
} from "./outbox.ts";

/** How one attempt ended. `unanswered`: nobody knows whether it arrived. */
export type Attempt =
  | { readonly kind: "answered"; readonly answer: NonNullable<Entry["answer"]> }
  | { readonly kind: "refused"; readonly refusal: Refusal }
  | { readonly kind: "unanswered" };

export interface Comparison {
  readonly clock: ClockReading;
  readonly arrived: Parameters<typeof takeOver>[1];
}

/** What sending needs from outside. */
export interface Ports {
  readonly personId: string;
  readonly load: () => Promise<Outbox>;
  /** Durable once it resolves: a device that dies afterwards finds it again. */
  readonly save: (change: (outbox: Outbox) => Outbox) => Promise<Outbox>;
  /** The service's clock and which keys it has; a refusal, or null when it cannot be reached. */
  readonly compare: (keys: readonly string[]) => Promise<Comparison | Refusal | null>;
  readonly send: (entry: Entry, frozen: Frozen) => Promise<Attempt>;
}

/** `done`: nothing waits that could be sent. `sign in`: the session is over; everything is kept. */
export type SyncEnd = "done" | "no connection" | "sign in";

const SESSION_OVER = ["unauthenticated", "reauthentication-required"];

const endOf = (slug: string): SyncEnd =>
  SESSION_OVER.includes(slug) ? "sign in" : "no connection";

/**
 * Sends what waits, one after the other. Before the first, and after a refusal that may be the echo of
 * an earlier attempt, the service is asked what has arrived; what it has is not sent again.
 */
export const sync = async (ports: Ports): Promise<SyncEnd> => {
  const compare = async (): Promise<Comparison | SyncEnd> => {
    const found = await ports.compare(keysToCompare(await ports.load()));
    if (found === null) return "no connection";
    if (!("clock" in found)) return endOf(found.slug);
    await ports.save((outbox) => takeOver(outbox, found.arrived));
    return found;
  };
  let known = await compare();
  for (;;) {
    if (typeof known === "string") return known;
    const { clock } = known;
    // One after the other: the order is the point.
    // oxlint-disable no-await-in-loop
    const next = nextToSend(await ports.load(), ports.personId);
    if (next === undefined) return "done";
    const { key } = next;
    const saved = await ports.save((outbox) => freeze(outbox, key, clock));
    const entry = saved.entries.find((one) => one.key === key);
    if (entry?.frozen === undefined) continue;
    const attempt = await ports.send(entry, entry.frozen);
    if (attempt.kind === "unanswered") return "no connection";
    if (attempt.kind === "answered")
      await ports.save((outbox) => arrive(outbox, key, attempt.answer));
    else if (isPassing(attempt.refusal.slug)) return endOf(attempt.refusal.slug);
    else {
      await ports.save((outbox) => refuse(outbox, key, attempt.refusal));
      known = await compare();
    }
    // oxlint-enable no-await-in-loop
  }
};
