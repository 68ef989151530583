import type { Role } from "@heelward/domain/access";
import type { z } from "zod";

export type Method = "GET" | "POST" | "PUT" | "PATCH" | "DELETE";

/** `public`: no sign-in. `anyone`: any signed-in person. Otherwise the roles that may call it. */
export type Access = "public" | "anyone" | readonly Role[];

/**
 * One operation of the service: what crosses the wire and who may call it. The API registers
 * handlers against it, the web calls it, the OpenAPI document and the access tests are made from it.
 */
export interface Operation<
  P extends z.ZodType = z.ZodType,
  Q extends z.ZodType = z.ZodType,
  B extends z.ZodType = z.ZodType,
  R extends z.ZodType = z.ZodType,
> {
  /** Verb and noun, unique: `signPrescription`. */
  readonly id: string;
  readonly method: Method;
  /** Below `/api/v1`, with `:name` parameters. */
  readonly path: string;
  readonly summary: string;
  readonly tag: string;
  readonly access: Access;
  readonly status: 200 | 201 | 204;
  readonly params?: P;
  readonly query?: Q;
  readonly body?: B;
  readonly response: R;
  /** The caller must send the version it saw in `If-Match`. */
  readonly ifMatch?: boolean;
  /** The caller must have shown the password, a code or a passkey within the last minutes. */
  readonly stepUp?: boolean;
  /** The answer holds something shown once; what is kept for a repeat of the request is sealed. */
  readonly holdsSecret?: boolean;
  /** Open to a person who still has to add the second factor their practice asks for. */
  readonly whileEnrolling?: boolean;
  /** The body is a file upload; `body` then describes the fields beside the file. */
  readonly upload?: boolean;
  /** The answer is not JSON but bytes of this media type. */
  readonly produces?: string;
  /** It writes down itself what came late from a device. */
  readonly keepsArrival?: boolean;
  /** A POST that computes and stores nothing, so it needs no Idempotency-Key. */
  readonly computes?: boolean;
}

/** Keeps the precise schema types while checking the shape. */
export const operation = <
  P extends z.ZodType,
  Q extends z.ZodType,
  B extends z.ZodType,
  R extends z.ZodType,
>(
  definition: Operation<P, Q, B, R>,
): Operation<P, Q, B, R> => definition;

/** True for operations that change something and so need an Idempotency-Key. */
export const isWrite = (one: Operation): boolean => one.method !== "GET" && one.computes !== true;
