import type { FastifyError, FastifyInstance } from "fastify";
import { Problem, problemBody } from "../http/problem.ts";
import { isDatabaseAway, isOutOfRoom, sqlState } from "../http/trouble.ts";
import { UPLOAD_LIMIT_BYTES } from "../http/upload.ts";

const isUniqueViolation = (error: unknown): boolean =>
  sqlState(error) === "23505" ||
  (error instanceof Error && "code" in error && error.code === "P2002");

const fromFastify = (error: FastifyError): Problem | undefined => {
  switch (error.code) {
    case "FST_ERR_CTP_BODY_TOO_LARGE":
    case "FST_REQ_FILE_TOO_LARGE":
      return new Problem(
        "payload-too-large",
        `More than ${Math.round(UPLOAD_LIMIT_BYTES / 1_048_576)} MB cannot be taken.`,
        { limitBytes: UPLOAD_LIMIT_BYTES },
      );
    case "FST_ERR_CTP_INVALID_MEDIA_TYPE":
      return new Problem("unsupported-media", "Send application/json.", {
        accepted: ["application/json"],
      });
    case "FST_ERR_CTP_EMPTY_JSON_BODY":
    case "FST_ERR_CTP_INVALID_JSON_BODY":
      return new Problem("malformed-request", "The body is not JSON.", {
        errors: [{ pointer: "", detail: "is not JSON" }],
      });
    default:
      if (error.statusCode === 429)
        return new Problem("rate-limited", "Too many requests from here for now.");
      if (error.statusCode === 503)
        return new Problem("dependency-unavailable", "The service is under too much load.", {
          retryAfterSeconds: 5,
        });
      if (error.statusCode !== undefined && error.statusCode >= 400 && error.statusCode < 500)
        return new Problem("malformed-request", error.message, {
          errors: [{ pointer: "", detail: error.message }],
        });
      return undefined;
  }
};

/** What any error means for the caller; `undefined` for a bug. */
const interpret = (error: unknown): Problem | undefined => {
  if (error instanceof Problem) return error;
  if (isUniqueViolation(error)) return new Problem("conflict", "There is already one like this.");
  const state = sqlState(error);
  if (state === "HW001") return new Problem("record-sealed", "This was signed and never changes.");
  if (
    state === "40001" ||
    state === "40P01" ||
    (error instanceof Error &&
      "code" in error &&
      (error.code === "P2034" || error.code === "P2028"))
  )
    return new Problem("dependency-unavailable", "Too many people were writing at once.", {
      retryAfterSeconds: 1,
    });
  if (state === "22021" || state === "22P05")
    return new Problem("malformed-request", "The text holds characters that cannot be stored.", {
      errors: [{ pointer: "", detail: "contains characters that cannot be stored" }],
    });
  if (error instanceof SyntaxError && "statusCode" in error)
    return new Problem("malformed-request", "The body is not JSON.", {
      errors: [{ pointer: "", detail: "is not JSON" }],
    });
  if (isOutOfRoom(error))
    return new Problem("dependency-unavailable", "There is no room left; nothing was saved.", {
      retryAfterSeconds: 60,
    });
  // Cut off during the commit nobody knows; the key tells when it is asked again.
  if (isDatabaseAway(error))
    return new Problem(
      "dependency-unavailable",
      "The database does not answer. A change may be saved or not: sent again with the same Idempotency-Key it is saved once.",
      { retryAfterSeconds: 5 },
    );
  return error instanceof Error && "statusCode" in error
    ? fromFastify(error as FastifyError)
    : undefined;
};

/** The only place where an error becomes HTTP. */
export const installProblems = (app: FastifyInstance): void => {
  app.setErrorHandler((error, request, reply) => {
    const known = interpret(error);
    if (known === undefined) request.log.error({ err: error }, "unexpected error");
    else if (known.slug === "dependency-unavailable")
      request.log.warn({ err: error }, "something the service needs does not answer");
    const problem =
      known ?? new Problem("internal", "Something unexpected happened; nothing was saved.");
    const body = problemBody(problem, `urn:request:${request.id}`);
    if (problem.extras.retryAfterSeconds !== undefined)
      reply.header("retry-after", problem.extras.retryAfterSeconds);
    if (problem.slug === "unauthenticated") reply.header("www-authenticate", "Bearer");
    return reply
      .status(body.status)
      .type("application/problem+json")
      .header("cache-control", "no-store")
      .send(body);
  });
};

/** Addresses that do not exist answer with a problem too. */
export const unknownAddress = (path: string): Problem =>
  new Problem("not-found", `There is nothing at ${path.slice(0, 200)}.`);
