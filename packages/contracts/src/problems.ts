import { z } from "zod";

/**
 * Every problem the service can answer with (RFC 9457): one stable type each, with the status and
 * what the caller should do next. A slug without an entry does not compile.
 */
export const PROBLEMS = {
  "malformed-request": {
    status: 400,
    title: "The request cannot be read",
    next: "Correct the fields named in errors and send it again.",
  },
  "idempotency-key-required": {
    status: 400,
    title: "An Idempotency-Key is missing",
    next: "Send a fresh random Idempotency-Key header with every write, and the same one when you repeat it.",
  },
  unauthenticated: { status: 401, title: "Sign in first", next: "Sign in and repeat the request." },
  "wrong-credentials": {
    status: 401,
    title: "E-mail or password do not fit",
    next: "Check both and try again, or ask your practice manager for a new invitation.",
  },
  "second-factor-required": {
    status: 401,
    title: "Your second factor is needed",
    next: "Send the same sign-in again with a code of your app, a recovery code or a passkey.",
  },
  "reauthentication-required": {
    status: 401,
    title: "Confirm that it is you",
    next: "Signing needs a fresh confirmation. Enter your password, a code or use your passkey, and repeat the request.",
  },
  "enrolment-required": {
    status: 403,
    title: "Add a second factor first",
    next: "Your practice asks vets and managers for one. Add an app or a passkey, then carry on.",
  },
  forbidden: {
    status: 403,
    title: "Your role may not do this",
    next: "Ask a person with the role named in the detail.",
  },
  "cross-site-request": {
    status: 403,
    title: "The request came from another site",
    next: "Use the dashboard, or send a bearer token instead of the cookie.",
  },
  "not-found": {
    status: 404,
    title: "There is no such thing here",
    next: "Go back to the list: it may have moved, or it is not yours to see.",
  },
  "method-not-allowed": {
    status: 405,
    title: "This address does not take that method",
    next: "See the reference at /api/reference.",
  },
  conflict: {
    status: 409,
    title: "This does not fit what is already there",
    next: "Look at the current state and decide again.",
  },
  "idempotency-key-reused": {
    status: 409,
    title: "This Idempotency-Key belongs to another request",
    next: "Use a fresh key for a different request.",
  },
  "record-sealed": {
    status: 409,
    title: "A signed or closed record never changes",
    next: "Write a new version that supersedes it.",
  },
  "version-conflict": {
    status: 412,
    title: "Somebody changed this since you read it",
    next: "Read it again, compare, and repeat your change.",
  },
  "precondition-required": {
    status: 428,
    title: "If-Match is missing",
    next: "Send the ETag you read in an If-Match header.",
  },
  "payload-too-large": {
    status: 413,
    title: "The upload is too large",
    next: "Send a smaller file.",
  },
  "unsupported-media": {
    status: 415,
    title: "This kind of file cannot be read",
    next: "Send DICOM, PNG or JPEG for films and photos, and JSON for everything else.",
  },
  "rule-violated": {
    status: 422,
    title: "A rule of care forbids this",
    next: "Read the findings. A warning needs a written reason; a block cannot be signed.",
  },
  "unreadable-film": {
    status: 422,
    title: "The film cannot be read",
    next: "Export it again as DICOM, PNG or JPEG and upload that.",
  },
  "rate-limited": {
    status: 429,
    title: "Too many requests",
    next: "Wait as long as Retry-After says.",
  },
  internal: {
    status: 500,
    title: "Something broke on our side",
    next: "Nothing was saved. Try again; if it stays, give the request id to your practice.",
  },
  "dependency-unavailable": {
    status: 503,
    title: "A part of the service is away",
    next: "Nothing was saved. Try again after Retry-After.",
  },
} as const satisfies Record<string, { status: number; title: string; next: string }>;

export type ProblemSlug = keyof typeof PROBLEMS;

export const PROBLEM_TYPE_PREFIX = "https://heelward.invalid/problems/";

/** The body of every error. */
export const problem = z
  .object({
    type: z.string(),
    title: z.string(),
    status: z.number().int(),
    detail: z.string(),
    instance: z.string(),
    next: z.string(),
    errors: z.array(z.object({ pointer: z.string(), detail: z.string() })).optional(),
    findings: z
      .array(
        z.object({
          rule: z.string(),
          outcome: z.string(),
          detail: z.string(),
          source: z.object({
            id: z.string(),
            citation: z.string(),
            status: z.string(),
            url: z.string().optional(),
          }),
          field: z.string().optional(),
        }),
      )
      .optional(),
    currentVersion: z.number().int().optional(),
    requiredRoles: z.array(z.string()).optional(),
    limitBytes: z.number().int().optional(),
    accepted: z.array(z.string()).optional(),
    recordId: z.string().optional(),
    ways: z.array(z.string()).optional(),
    passkeyOptions: z.record(z.string(), z.unknown()).nullable().optional(),
  })
  .meta({ id: "Problem" });
export type ProblemBody = z.infer<typeof problem>;

/** The slug of a problem's type URI. */
export const problemSlug = (type: string): string => type.slice(type.lastIndexOf("/") + 1);
