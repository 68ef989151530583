import type { Operation } from "@heelward/contracts";
import type { z } from "zod";

type Contracts = typeof import("@heelward/contracts");
type Operations = {
  [K in keyof Contracts as Contracts[K] extends Operation ? K : never]: Contracts[K];
};

/** The name of an operation, as exported by the contracts: `signPrescription`. */
export type OperationId = keyof Operations;

type Parts<Id extends OperationId> =
  Operations[Id] extends Operation<infer P, infer Q, infer B, infer R>
    ? { params: z.input<P>; query: z.input<Q>; body: z.input<B>; answer: z.output<R> }
    : never;

/** What an operation answers. */
export type Answer<Id extends OperationId> = Parts<Id>["answer"];
/** The body an operation takes. */
export type Body<Id extends OperationId> = Parts<Id>["body"];

type Part<K extends string, T> = unknown extends T
  ? { readonly [key in K]?: never }
  : object extends T
    ? { readonly [key in K]?: T }
    : { readonly [key in K]: T };

/** What `call` needs for an operation: its params, query and body, typed from the contract. */
export type Input<Id extends OperationId> = Part<"params", Parts<Id>["params"]> &
  Part<"query", Parts<Id>["query"]> &
  Part<"body", Parts<Id>["body"]> & {
    /** The version that was seen, for operations that change a versioned thing. */
    readonly ifMatch?: number;
    /** The file of an upload. */
    readonly file?: File | Blob;
  };
