import { randomBytes } from "node:crypto";

/** Which chain of calls a request belongs to, as it stands beside every log line of the request. */
export interface TraceContext {
  readonly traceId: string;
  readonly spanId: string;
  /** The caller's span, when the caller sent one. */
  readonly parentId?: string;
}

const HEADER = /^00-([\da-f]{32})-([\da-f]{16})-[\da-f]{2}$/;
const ZEROES = /^0+$/;

/**
 * Continues the caller's trace or begins one. A header that does not fit is as good as none.
 * Source: W3C Trace Context, level 1, section 3.2.
 */
export const traceContext = (header: string | readonly string[] | undefined): TraceContext => {
  const spanId = randomBytes(8).toString("hex");
  const match = typeof header === "string" ? HEADER.exec(header) : null;
  const [, traceId = "", parentId = ""] = match ?? [];
  if (match === null || ZEROES.test(traceId) || ZEROES.test(parentId))
    return { traceId: randomBytes(16).toString("hex"), spanId };
  return { traceId, spanId, parentId };
};
