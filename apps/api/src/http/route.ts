import type { Readable } from "node:stream";
import { isWrite, type Operation } from "@heelward/contracts";
import type { FastifyInstance, FastifyReply, FastifyRequest, HTTPMethods } from "fastify";
import type { z } from "zod";
import type { Dependencies } from "../app.ts";
import { inPractice, setRoles, type Transaction } from "../database/client.ts";
import { canonicalText, sha256Hex } from "../records/canonical.ts";
import { accountLimit, type AccountLimit } from "./account-limit.ts";
import { actAs, assertMayCall, type Acting } from "./act.ts";
import type { Actor } from "./actor.ts";
import { keepArrival, readArrival, subjectOf } from "./arrival.ts";
import { identify, isOwnSite, readClaims } from "./identify.ts";
import { parse, type In, type Out } from "./parse.ts";
import { Problem } from "./problem.ts";
import { openAnswer, sealAnswer, sealerOf } from "./sealed-answer.ts";
import { readUpload } from "./upload.ts";
import type { UploadedFile, Work } from "./work.ts";

/** What a handler is given, already parsed by the contract. */
export interface Input<P, Q, B, T = undefined> {
  readonly params: P;
  readonly query: Q;
  readonly body: B;
  /** The version the caller saw, for operations that require it. */
  readonly version: number;
  /** The uploaded file, for upload operations. */
  readonly file: UploadedFile;
  /** What `prepare` made of the file before the transaction began. */
  readonly prepared: T;
}

/** Bytes instead of JSON. */
export interface Bytes {
  /** A stream may read what never changes once the transaction is over, and nothing else. */
  readonly bytes: Uint8Array | Readable;
  readonly mediaType: string;
  readonly fileName?: string;
  /** Made from records that go on changing: a kept copy would show old figures as today's. */
  readonly isMade?: true;
}

const isBytes = (value: unknown): value is Bytes =>
  typeof value === "object" && value !== null && "bytes" in value && "mediaType" in value;

const STEP_UP_MS = 5 * 60_000;
const REQUESTS_PER_MINUTE = 600;
/** Uploads are decoded and kept: dear enough for a limit of their own. */
const UPLOADS_PER_MINUTE = 30;

/** The limits of one service, shared by all its routes. */
const limitsOf = new WeakMap<
  Dependencies,
  { readonly all: AccountLimit; readonly uploads: AccountLimit }
>();
const limits = (dependencies: Dependencies) => {
  const known = limitsOf.get(dependencies);
  if (known !== undefined) return known;
  const made = {
    all: accountLimit(dependencies.requestsPerMinute ?? REQUESTS_PER_MINUTE),
    uploads: accountLimit(dependencies.requestsPerMinute ?? UPLOADS_PER_MINUTE),
  };
  limitsOf.set(dependencies, made);
  return made;
};
const KEY_PATTERN = /^[\w-]{8,100}$/;

const readVersion = (request: FastifyRequest): number => {
  const header = request.headers["if-match"];
  if (header === undefined)
    throw new Problem("precondition-required", "This change needs the version you saw.");
  const match = /^(?:W\/)?"(\d{1,9})"$/.exec(header);
  if (match === null)
    throw new Problem("malformed-request", 'If-Match must hold a version such as "3".', {
      errors: [{ pointer: "#if-match", detail: 'must look like "3"' }],
    });
  return Number(match[1]);
};

const readIdempotencyKey = (request: FastifyRequest): string => {
  const key = request.headers["idempotency-key"];
  if (typeof key !== "string" || !KEY_PATTERN.test(key))
    throw new Problem(
      "idempotency-key-required",
      "Idempotency-Key must be 8 to 100 letters, digits, - or _.",
      {
        errors: [
          { pointer: "#idempotency-key", detail: "must be 8 to 100 letters, digits, - or _" },
        ],
      },
    );
  return key;
};

const readClientTime = (request: FastifyRequest): string | null => {
  const value = request.headers["client-time"];
  if (typeof value !== "string" || !Number.isFinite(Date.parse(value))) return null;
  return new Date(value).toISOString();
};

const etagOf = (result: unknown): string | null =>
  typeof result === "object" &&
  result !== null &&
  "version" in result &&
  typeof result.version === "number"
    ? `"${result.version}"`
    : null;

interface Answer {
  readonly status: number;
  readonly etag: string | null;
  readonly body: unknown;
}

/** Claims the key for this transaction; an earlier answer is given again instead. */
const claimKey = async (
  tx: Transaction,
  actor: Actor,
  operation: Operation,
  key: string,
  requestHash: string,
): Promise<Answer | null> => {
  const claimed = await tx.$executeRaw`
    INSERT INTO idempotency_keys (practice_id, person_id, key, operation, request_hash, status, response)
    VALUES (${actor.practiceId}::uuid, ${actor.personId}::uuid, ${key}, ${operation.id}, ${requestHash}, 0, 'null')
    ON CONFLICT DO NOTHING`;
  if (claimed === 1) return null;
  const earlier = await tx.idempotencyKey.findUnique({
    where: {
      practiceId_personId_key: { practiceId: actor.practiceId, personId: actor.personId, key },
    },
  });
  if (earlier === null || earlier.operation !== operation.id || earlier.requestHash !== requestHash)
    throw new Problem("idempotency-key-reused", "This key was used for a different request.");
  return { status: earlier.status, etag: earlier.etag, body: earlier.response };
};

const reply = (to: FastifyReply, operation: Operation, answer: Answer): FastifyReply => {
  to.status(answer.status);
  if (answer.etag !== null) to.header("etag", answer.etag);
  to.header("cache-control", "no-store");
  return operation.status === 204 ? to.send() : to.send(answer.body);
};

const sendBytes = (to: FastifyReply, answer: Bytes, caching: string): FastifyReply => {
  if (answer.fileName !== undefined)
    to.header(
      "content-disposition",
      `attachment; filename*=UTF-8''${encodeURIComponent(answer.fileName)}`,
    );
  return to
    .type(answer.mediaType)
    .header("cache-control", caching)
    .header("x-content-type-options", "nosniff")
    .send(answer.bytes instanceof Uint8Array ? Buffer.from(answer.bytes) : answer.bytes);
};

/** Everything the contract asks for, parsed; a fault names the field. */
const readInput = <
  P extends z.ZodType,
  Q extends z.ZodType,
  B extends z.ZodType,
  R extends z.ZodType,
>(
  request: FastifyRequest,
  operation: Operation<P, Q, B, R>,
  upload: { readonly file: UploadedFile; readonly fields: Record<string, string> } | undefined,
): Input<Out<P>, Out<Q>, Out<B>> & { readonly key: string | null } => {
  const params = parse(operation.params, request.params, "#params");
  const query = parse(operation.query, request.query, "#query");
  const sent: unknown = upload === undefined ? request.body : upload.fields;
  if (
    operation.body === undefined &&
    typeof sent === "object" &&
    sent !== null &&
    Object.keys(sent).length > 0
  )
    throw new Problem("malformed-request", "This operation takes no body.", {
      errors: [{ pointer: "", detail: "must be empty" }],
    });
  const body = parse(operation.body, sent, "");
  const version = operation.ifMatch === true ? readVersion(request) : 0;
  const key = isWrite(operation as unknown as Operation) ? readIdempotencyKey(request) : null;
  return {
    params,
    query,
    body,
    version,
    key,
    file: upload?.file as UploadedFile,
    prepared: undefined,
  };
};

const hashRequest = (input: Input<unknown, unknown, unknown, unknown>): string =>
  sha256Hex(
    canonicalText({
      params: input.params ?? null,
      body: JSON.parse(JSON.stringify(input.body ?? null)) as unknown,
      version: input.version,
      file:
        (input.file as UploadedFile | undefined) === undefined ? null : sha256Hex(input.file.bytes),
    }),
  );

/** The answer as the contract shows it: nothing beyond it leaves the service. */
const show = <R extends z.ZodType>(
  operation: { readonly status: number; readonly response: R },
  result: unknown,
): unknown => (operation.status === 204 ? null : operation.response.parse(result));

const answerTo = (
  operation: { readonly status: number; readonly response: z.ZodType },
  result: unknown,
): Answer => ({
  status: operation.status,
  etag: etagOf(result),
  body: show(operation, result),
});

/** What a kept answer is sealed to: it opens for the same person and key only. */
const answerName = (actor: Actor, key: string): string =>
  `answer:${actor.practiceId}:${actor.personId}:${key}`;

/** Keeps the answer under its key, to be given again when the same request comes twice. */
const keepAnswer = async (
  tx: Transaction,
  actor: Actor,
  key: string,
  answer: Answer,
): Promise<void> => {
  await tx.$executeRaw`
    UPDATE idempotency_keys SET status = ${answer.status}, etag = ${answer.etag}, response = ${JSON.stringify(answer.body ?? null)}::jsonb
    WHERE practice_id = ${actor.practiceId}::uuid AND person_id = ${actor.personId}::uuid AND key = ${key}`;
};

/**
 * Binds a handler to its contract. Around the handler, in this order: who asks (sign-in, role), what
 * is asked (schema), whether it was asked before (Idempotency-Key), then one transaction inside the
 * practice in which the handler's writes, its audit entries and the kept answer stand or fall together.
 */
export const route = <
  P extends z.ZodType,
  Q extends z.ZodType,
  B extends z.ZodType,
  R extends z.ZodType,
  T = undefined,
>(
  app: FastifyInstance,
  dependencies: Dependencies,
  operation: Operation<P, Q, B, R>,
  handle: (
    work: Work & { readonly reply: FastifyReply },
    input: Input<Out<P>, Out<Q>, Out<B>, T>,
  ) => Promise<In<R> | Bytes>,
  /** Slow work on the uploaded file, done before the transaction that stores it. */
  prepare?: (file: UploadedFile) => Promise<T>,
): void => {
  const plain = operation as unknown as Operation;
  app.route({
    method: operation.method as HTTPMethods,
    url: operation.path,
    handler: async (request, to) => {
      const nowMs = dependencies.now();
      const claims = await readClaims(request, nowMs);
      limits(dependencies).all.count(claims.personId, nowMs);
      if (operation.upload === true) limits(dependencies).uploads.count(claims.personId, nowMs);
      const acting: Acting = {
        practiceId: claims.practiceId,
        personId: claims.personId,
        authorise: async (tx) => {
          const person = await identify(tx, claims, nowMs);
          assertMayCall(plain, person);
          if (person.mustEnrol && operation.whileEnrolling !== true)
            throw new Problem(
              "enrolment-required",
              "Your practice asks for a second factor, and you have none yet.",
            );
          await setRoles(tx, person.roles);
          return person;
        },
      };
      // A file is only read for people who may send it, and never inside the transaction that stores it.
      const upload =
        operation.upload === true
          ? await inPractice(dependencies.db, { ...acting, roles: [] }, acting.authorise).then(() =>
              readUpload(request),
            )
          : undefined;
      const prepared = (upload === undefined ? undefined : await prepare?.(upload.file)) as T;
      const moment = {
        nowMs,
        requestId: request.id,
        clientTime: readClientTime(request),
        arrival: readArrival(request, nowMs),
      };
      const answer = await actAs(
        dependencies,
        acting,
        moment,
        async (work): Promise<{ readonly answer: Answer | Bytes; readonly wrote: boolean }> => {
          const { tx, actor } = work;
          const { key, ...read } = readInput(request, operation, upload);
          const input = { ...read, prepared };
          if (operation.stepUp === true && nowMs - actor.authenticatedAtMs > STEP_UP_MS)
            throw new Problem("reauthentication-required", "Signing needs a fresh confirmation.");
          if (key === null) {
            const result = await handle({ ...work, reply: to }, input);
            return { answer: isBytes(result) ? result : answerTo(operation, result), wrote: false };
          }
          const earlier = await claimKey(tx, actor, plain, key, hashRequest(input));
          const name = answerName(actor, key);
          if (earlier !== null)
            return {
              answer:
                operation.holdsSecret === true
                  ? { ...earlier, body: openAnswer(sealerOf(dependencies), earlier.body, name) }
                  : earlier,
              wrote: false,
            };
          const fresh = answerTo(operation, await handle({ ...work, reply: to }, input));
          work.announce(operation.tag);
          if (work.arrival !== null && operation.keepsArrival !== true)
            await keepArrival(work, operation.id, subjectOf(input, fresh.body));
          await keepAnswer(
            tx,
            actor,
            key,
            operation.holdsSecret === true
              ? { ...fresh, body: sealAnswer(sealerOf(dependencies), fresh.body, name) }
              : fresh,
          );
          return { answer: fresh, wrote: true };
        },
        ({ wrote }) => wrote,
      ).then((done) => done.answer);
      return isBytes(answer)
        ? sendBytes(to, answer, answer.isMade === true ? "no-store" : "private, max-age=3600")
        : reply(to, plain, answer);
    },
  });
};

/** What an operation without sign-in works with. */
export interface PublicWork {
  readonly dependencies: Dependencies;
  readonly nowMs: number;
  readonly request: FastifyRequest;
  readonly reply: FastifyReply;
}

/** Binds an operation that needs no sign-in; its handler opens its own transactions. */
export const publicRoute = <
  P extends z.ZodType,
  Q extends z.ZodType,
  B extends z.ZodType,
  R extends z.ZodType,
>(
  app: FastifyInstance,
  dependencies: Dependencies,
  operation: Operation<P, Q, B, R>,
  handle: (work: PublicWork, input: Input<Out<P>, Out<Q>, Out<B>>) => Promise<In<R> | Bytes>,
  limit?: { readonly perMinute: number },
): void => {
  app.route({
    method: operation.method as HTTPMethods,
    url: operation.path,
    config: limit === undefined ? {} : { rateLimit: { max: limit.perMinute, timeWindow: 60_000 } },
    handler: async (request, to) => {
      if (request.headers.authorization === undefined && !isOwnSite(request))
        throw new Problem(
          "cross-site-request",
          "This is taken from our own pages or from scripts only.",
        );
      const { key: _, ...input } = readInput(request, operation, undefined);
      const result = await handle(
        { dependencies, nowMs: dependencies.now(), request, reply: to },
        input,
      );
      if (isBytes(result)) return sendBytes(to, result, "no-store");
      return reply(to, operation as unknown as Operation, {
        status: operation.status,
        etag: null,
        body: show(operation, result),
      });
    },
  });
};
