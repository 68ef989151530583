import type { Entry, Frozen } from "../outbox.ts";
import type { Attempt } from "../sync.ts";

/** What can happen to one request between a phone in a yard and the service. */
export const FAULTS = [
  "none",
  "request lost",
  "answer lost",
  "twice",
  "late",
  "killed before",
  "killed after",
] as const;
export type Fault = (typeof FAULTS)[number];

/** The phone went off in the middle of something; what it had kept durably is all that is left. */
export class Killed extends Error {}

export interface Packet {
  readonly entry: Entry;
  readonly frozen: Frozen;
}

/** A line that does to each request what the plan says; after the plan's end it is whole. */
export const faultyLine = (
  deliver: (packet: Packet) => Promise<Attempt>,
  faults: readonly Fault[],
) => {
  const plan = [...faults];
  const late: Packet[] = [];
  return {
    send: async (entry: Entry, frozen: Frozen): Promise<Attempt> => {
      const packet = { entry, frozen };
      const fault = plan.shift() ?? "none";
      if (fault === "request lost") return { kind: "unanswered" };
      if (fault === "killed before") throw new Killed();
      if (fault === "late") {
        late.push(packet);
        return { kind: "unanswered" };
      }
      const attempt = await deliver(packet);
      if (fault === "twice") return deliver(packet);
      if (fault === "answer lost") return { kind: "unanswered" };
      if (fault === "killed after") throw new Killed();
      return attempt;
    },
    /** What was held up on the way arrives now, in whatever order; nobody hears the answers. */
    deliverLate: async (isReversed: boolean): Promise<void> => {
      const packets = late.splice(0);
      for (const packet of isReversed ? packets.toReversed() : packets)
        // One after the other, as they reach the service.
        // oxlint-disable-next-line no-await-in-loop
        await deliver(packet);
    },
    heal: (): void => void plan.splice(0),
  };
};
