import type { FindingView, ProblemBody, ProblemSlug } from "@heelward/contracts";

const slugOf = (type: string): string => type.slice(type.lastIndexOf("/") + 1);

/** A refusal of the service (RFC 9457), or `no-connection` when it could not be reached. */
export class ProblemError extends Error {
  readonly body: ProblemBody;
  readonly slug: ProblemSlug | "no-connection";

  constructor(body: ProblemBody) {
    super(body.detail);
    this.name = "ProblemError";
    this.body = body;
    this.slug = slugOf(body.type) as ProblemSlug | "no-connection";
  }

  /** What the service said about one field, by JSON pointer without the leading slash. */
  fieldDetail(name: string): string | undefined {
    return this.body.errors?.find((one) => one.pointer.replace(/^\//, "") === name)?.detail;
  }

  get findings(): readonly FindingView[] {
    return (this.body.findings ?? []) as readonly FindingView[];
  }
}

const made = (slug: string, title: string, detail: string, next: string, status = 0) =>
  new ProblemError({ type: slug, title, status, detail, instance: "", next });

/** The service did not answer at all. */
export const noConnection = (): ProblemError =>
  made(
    "no-connection",
    "No connection",
    "The practice's service could not be reached.",
    "Check the signal and try again. Nothing was saved.",
  );

/** The body of an error answer as a typed error; an answer that is no problem document is ours to own. */
export const toProblem = async (response: Response): Promise<ProblemError> => {
  const isProblem = response.headers.get("content-type")?.includes("json") === true;
  if (isProblem) {
    const body = (await response.json().catch(() => undefined)) as ProblemBody | undefined;
    if (body?.title !== undefined && body.type !== undefined) return new ProblemError(body);
  }
  return made(
    response.status === 503 ? "dependency-unavailable" : "internal",
    "The service gave no readable answer",
    `It answered with status ${String(response.status)}.`,
    "Try again in a moment.",
    response.status,
  );
};
