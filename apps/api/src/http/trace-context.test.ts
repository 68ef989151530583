import { describe, expect, it } from "vitest";
import { traceContext } from "./trace-context.ts";

// source: W3C Trace Context, level 1: the examples of sections 3.2.2.5 and 3.2.2.3.
const TRACE = "4bf92f3577b34da6a3ce929d0e0e4736";
const PARENT = "00f067aa0ba902b7";

describe("the trace a request belongs to", () => {
  it("is the caller's, with a span of its own", () => {
    const context = traceContext(`00-${TRACE}-${PARENT}-01`);
    expect(context).toMatchObject({ traceId: TRACE, parentId: PARENT });
    expect(context.spanId).toMatch(/^[\da-f]{16}$/u);
    expect(context.spanId).not.toBe(PARENT);
  });

  it.each([
    undefined,
    "",
    "nonsense",
    `01-${TRACE}-${PARENT}-01-more`,
    `00-${TRACE.toUpperCase()}-${PARENT}-01`,
    `00-${"0".repeat(32)}-${PARENT}-01`,
    `00-${TRACE}-${"0".repeat(16)}-01`,
    [`00-${TRACE}-${PARENT}-01`, `00-${TRACE}-${PARENT}-01`],
  ])("begins anew when the header is missing or does not fit: %s", (header) => {
    const context = traceContext(header);
    expect(context.parentId).toBeUndefined();
    expect(context.traceId).toMatch(/^[\da-f]{32}$/u);
    expect(context.traceId).not.toBe(TRACE);
  });
});
