import type { Operation } from "@heelward/contracts";
import type { Dependencies } from "../app.ts";
import { inPractice, setRoles, type Transaction } from "../database/client.ts";
import { appendAudit, type AuditNote } from "../records/audit.ts";
import { keepSigningKey } from "../records/signing-keys.ts";
import type { Actor } from "./actor.ts";
import type { Arrival } from "./arrival.ts";
import { Problem } from "./problem.ts";
import type { Work } from "./work.ts";

/** Who acts: the practice and person the transaction is narrowed to, and how it learns who that is now. */
export interface Acting {
  readonly practiceId: string;
  readonly personId: string;
  /** Runs first inside the transaction. @throws Problem when this person may not act. */
  readonly authorise: (tx: Transaction) => Promise<Actor>;
}

/** When and in which request it happens. */
export interface Moment {
  /** Epoch ms. */
  readonly nowMs: number;
  readonly requestId: string;
  /** When the client says it happened, if it queued the request. */
  readonly clientTime: string | null;
  readonly arrival?: Arrival | null;
}

type Needs = Pick<Dependencies, "db" | "blobs" | "signer">;

/** @throws Problem `forbidden` when none of the person's roles may call the operation. */
export const assertMayCall = (operation: Pick<Operation, "access">, actor: Actor): void => {
  const { access } = operation;
  if (access === "anyone") return;
  const roles: readonly string[] = access === "public" ? [] : access;
  if (actor.roles.some((role) => roles.includes(role))) return;
  throw new Problem(
    "forbidden",
    `This needs the role ${roles.join(" or ")}; you are signed in as ${actor.roles.join(", ")}.`,
    { requiredRoles: roles },
  );
};

/** Somebody whose roles are known already, such as the system or a person of the demo. */
export const asKnown = (actor: Actor): Acting => ({
  practiceId: actor.practiceId,
  personId: actor.personId,
  authorise: async (tx) => {
    await setRoles(tx, actor.roles);
    return actor;
  },
});

const perform = async <T>(
  { blobs, signer }: Needs,
  tx: Transaction,
  actor: Actor,
  moment: Moment,
  refusals: ((work: Work) => Promise<void>)[],
  act: (work: Work) => Promise<T>,
  mustAudit: (result: T) => boolean,
): Promise<T> => {
  const notes: AuditNote[] = [];
  const topics = new Set<string>();
  let hasSealed = false;
  const result = await act({
    ...moment,
    arrival: moment.arrival ?? null,
    tx,
    actor,
    blobs,
    signer: {
      ...signer,
      seal: (document) => {
        hasSealed = true;
        return signer.seal(document);
      },
    },
    audit: (note) => void notes.push(note),
    announce: (topic) => void topics.add(topic),
    keepRefusal: (keep) => void refusals.push(keep),
  });
  // With its public key kept beside it, a signature can be checked after the key was exchanged.
  if (hasSealed) await keepSigningKey(tx, actor.practiceId, signer);
  if (notes.length === 0 && mustAudit(result)) throw new Error("a write left no audit entry");
  await appendAudit(
    tx,
    {
      practiceId: actor.practiceId,
      actorId: actor.personId,
      actorRoles: actor.roles,
      requestId: moment.requestId,
      clientTime: moment.clientTime,
      atMs: moment.nowMs,
    },
    notes,
  );
  if (topics.size > 0)
    await tx.$executeRaw`SELECT pg_notify('heelward_changes', ${JSON.stringify({ practiceId: actor.practiceId, topics: [...topics] })})`;
  return result;
};

/**
 * Runs one piece of work as a person in one transaction inside the practice: its writes, its audit
 * entries and its announcements stand or fall together. When it is refused by a Problem, what was
 * to be kept of the refusal is written afterwards, each in a transaction of its own.
 * `mustAudit` says of a result whether it has to have left an audit entry.
 */
export const actAs = async <T>(
  needs: Needs,
  who: Acting,
  moment: Moment,
  act: (work: Work) => Promise<T>,
  mustAudit: (result: T) => boolean,
): Promise<T> => {
  const scope = { practiceId: who.practiceId, personId: who.personId, roles: [] };
  const refusals: ((work: Work) => Promise<void>)[] = [];
  let actor: Actor | undefined;
  try {
    return await inPractice(needs.db, scope, async (tx) => {
      const by = await who.authorise(tx);
      actor = by;
      return perform(needs, tx, by, moment, refusals, act, mustAudit);
    });
  } catch (error) {
    if (error instanceof Problem && actor !== undefined) {
      const by = actor;
      for (const keep of refusals)
        // One transaction after the other: each refusal is a record of its own.
        // oxlint-disable-next-line no-await-in-loop
        await inPractice(needs.db, { ...scope, roles: by.roles }, (tx) =>
          perform(needs, tx, by, moment, [], keep, () => true),
        );
    }
    throw error;
  }
};
