import fc from "fast-check";
import { afterEach, describe, expect, it, vi } from "vitest";
import { eventReader, listenOnce, type StreamEvent } from "./event-stream.ts";

// The examples of the HTML Living Standard, section 9.2.6.
const STANDARD = [
  {
    text: "data: YHOO\ndata: +2\ndata: 10\n\n",
    events: [{ id: null, name: "message", data: "YHOO\n+2\n10" }],
  },
  {
    text: ": test stream\n\ndata: first event\nid: 1\n\ndata:second event\nid\n\ndata:  third event\n\n",
    events: [
      { id: "1", name: "message", data: "first event" },
      { id: "", name: "message", data: "second event" },
      { id: null, name: "message", data: " third event" },
    ],
  },
  {
    text: "event: add\ndata: 73857293\n\nevent: remove\ndata: 2153\n\n",
    events: [
      { id: null, name: "add", data: "73857293" },
      { id: null, name: "remove", data: "2153" },
    ],
  },
];

describe("reading an event stream", () => {
  it.each(STANDARD)("reads the standard's own example %#", ({ text, events }) => {
    expect(eventReader()(text)).toEqual(events);
  });

  it("gives the same events however the network cuts the text", () => {
    const text = STANDARD.map((one) => one.text).join("");
    const whole = eventReader()(text);
    fc.assert(
      fc.property(fc.array(fc.nat(text.length), { maxLength: 12 }), (cuts) => {
        const read = eventReader();
        const at = [0, ...cuts.toSorted((a, b) => a - b), text.length];
        const pieces = at.slice(1).map((end, index) => text.slice(at[index], end));
        expect(pieces.flatMap((piece) => read(piece))).toEqual(whole);
      }),
    );
  });
});

describe("one connection", () => {
  afterEach(() => vi.unstubAllGlobals());
  const listen = async (answer: () => Promise<Response>, lastEventId: string | null = null) => {
    const sent: (string | null)[] = [];
    const heard: StreamEvent[] = [];
    vi.stubGlobal("fetch", (_: string, init: RequestInit) => {
      sent.push(new Headers(init.headers).get("last-event-id"));
      return answer();
    });
    const ending = await listenOnce({
      address: "/events",
      lastEventId,
      signal: new AbortController().signal,
      onOpen: () => undefined,
      onEvent: (event) => void heard.push(event),
    });
    return { ending, heard, sent };
  };

  it("says with which event it wants to go on, and hears the ones after it", async () => {
    const { ending, heard, sent } = await listen(
      () => Promise.resolve(new Response('id: 8\nevent: change\ndata: ["queue"]\n\n')),
      "7",
    );
    expect(sent).toEqual(["7"]);
    expect(heard).toEqual([{ id: "8", name: "change", data: '["queue"]' }]);
    expect(ending).toBe("dropped");
  });

  it("tells a session that ended from a service that is away", async () => {
    expect((await listen(() => Promise.resolve(new Response("", { status: 401 })))).ending).toBe(
      "signed out",
    );
    expect((await listen(() => Promise.resolve(new Response("", { status: 503 })))).ending).toBe(
      "unreachable",
    );
    expect((await listen(() => Promise.reject(new TypeError("offline")))).ending).toBe(
      "unreachable",
    );
  });
});
