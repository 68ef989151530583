import { randomUUID } from "node:crypto";
import type { Operation } from "@heelward/contracts";
import type { InstantMs } from "@heelward/domain/time";
import type { z } from "zod";
import type { Dependencies } from "../app.ts";
import { actAs, asKnown, assertMayCall } from "../http/act.ts";
import type { Actor } from "../http/actor.ts";
import { parse, type In, type Out } from "../http/parse.ts";
import type { Work } from "../http/work.ts";

/** What a person of the story sends: checked by the contract like a request from outside. */
export interface Sent<P, B> {
  readonly params?: In<P>;
  readonly body?: In<B>;
  /** When the phone says it happened, if it reached the service later. */
  readonly clientTime?: InstantMs;
}

/** One operation, done by one person at one time, through contract, roles, rules, audit and row security. */
export type Perform = <
  P extends z.ZodType,
  Q extends z.ZodType,
  B extends z.ZodType,
  R extends z.ZodType,
>(
  atMs: InstantMs,
  who: string,
  operation: Operation<P, Q, B, R>,
  sent: Sent<P, B>,
  handle: (work: Work, input: { readonly params: Out<P>; readonly body: Out<B> }) => Promise<In<R>>,
) => Promise<Out<R>>;

/** A desk at which the story's people work, found by their id in the story. */
export const openDesk = (
  dependencies: Pick<Dependencies, "db" | "blobs" | "signer">,
  people: ReadonlyMap<string, Actor>,
): Perform => {
  return async (atMs, who, operation, sent, handle) => {
    const person = people.get(who);
    if (person === undefined) throw new Error(`nobody in the demo is called ${who}`);
    // Whoever works at the desk has just entered the password, as signing asks for.
    const actor: Actor = { ...person, authenticatedAtMs: atMs };
    assertMayCall(operation, actor);
    const params = parse(operation.params, sent.params, "#params");
    const body = parse(operation.body, sent.body, "");
    const result = await actAs(
      dependencies,
      asKnown(actor),
      {
        nowMs: atMs,
        requestId: randomUUID(),
        clientTime: sent.clientTime === undefined ? null : new Date(sent.clientTime).toISOString(),
      },
      (work) => handle(work, { params, body }),
      () => operation.method !== "GET",
    );
    return operation.response.parse(result) as never;
  };
};
