import { PROBLEMS, type ProblemBody, type ProblemSlug } from "@heelward/contracts";
import type { Finding } from "@heelward/domain/evidence";

/** What a problem may say beside its sentence. */
export interface ProblemExtras {
  readonly errors?: readonly { readonly pointer: string; readonly detail: string }[];
  readonly findings?: readonly Finding[];
  readonly currentVersion?: number;
  readonly requiredRoles?: readonly string[];
  readonly limitBytes?: number;
  readonly accepted?: readonly string[];
  readonly recordId?: string;
  readonly retryAfterSeconds?: number;
  /** With what the caller can show who they are. */
  readonly ways?: readonly string[];
  readonly passkeyOptions?: Readonly<Record<string, unknown>> | null;
}

/** The only error that services throw on purpose; one plugin turns it into HTTP. */
export class Problem extends Error {
  readonly slug: ProblemSlug;
  readonly extras: ProblemExtras;

  constructor(slug: ProblemSlug, detail: string, extras: ProblemExtras = {}) {
    super(detail);
    this.name = "Problem";
    this.slug = slug;
    this.extras = extras;
  }
}

/** What is not there and what is not yours are the same answer. */
export const notFound = (what: string): Problem =>
  new Problem("not-found", `There is no ${what} with this id, or it is not yours to see.`);

/** One field is at fault. `pointer` is a JSON pointer into the body, such as `/microchip`. */
export const badField = (pointer: string, detail: string): Problem =>
  new Problem("malformed-request", `${pointer.slice(1) || "The body"}: ${detail}`, {
    errors: [{ pointer, detail }],
  });

/** A rule of care says no. */
export const ruleViolated = (detail: string, findings: readonly Finding[]): Problem =>
  new Problem("rule-violated", detail, { findings });

/** The wire form of a problem. */
export const problemBody = (problem: Problem, instance: string): ProblemBody => {
  const { status, title, next } = PROBLEMS[problem.slug];
  const { retryAfterSeconds: _, ...shown } = problem.extras;
  return {
    type: `https://heelward.invalid/problems/${problem.slug}`,
    title,
    status,
    detail: problem.message,
    instance,
    next,
    ...(JSON.parse(JSON.stringify(shown)) as Partial<ProblemBody>),
  };
};
