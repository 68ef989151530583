/** One event of a stream in the `text/event-stream` format. */
export interface StreamEvent {
  readonly id: string | null;
  readonly name: string;
  readonly data: string;
}

/** Reads what one line of a block says, per the HTML standard: `field: value`, `:` starts a comment. */
const fieldOf = (line: string): readonly [string, string] => {
  const colon = line.indexOf(":");
  if (colon < 0) return [line, ""];
  const value = line.slice(colon + 1);
  return [line.slice(0, colon), value.startsWith(" ") ? value.slice(1) : value];
};

/**
 * Takes text as it comes off the wire, in pieces of any length, and gives the events that are
 * complete. A block without data is no event. Source: HTML Living Standard, 9.2.6 "Interpreting an
 * event stream".
 */
export const eventReader = (): ((piece: string) => readonly StreamEvent[]) => {
  let rest = "";
  return (piece) => {
    const blocks = (rest + piece).replaceAll(/\r\n?/g, "\n").split("\n\n");
    rest = blocks.pop() ?? "";
    return blocks.flatMap((block) => {
      const fields = block.split("\n").map(fieldOf);
      const last = (name: string) => fields.findLast(([one]) => one === name)?.[1];
      const data = fields.flatMap(([name, value]) => (name === "data" ? [value] : []));
      return data.length === 0
        ? []
        : [{ id: last("id") ?? null, name: last("event") ?? "message", data: data.join("\n") }];
    });
  };
};

/** How a connection ended: it was up for a while, the person is no longer signed in, or it never came up. */
export type Ending = "dropped" | "signed out" | "unreachable";

/** A connection that says nothing for this long is dead; the service sends a sign of life every 25 s. */
const SILENCE_MS = 70_000;

interface Listening {
  readonly address: string;
  readonly lastEventId: string | null;
  readonly signal: AbortSignal;
  readonly onOpen: () => void;
  readonly onEvent: (event: StreamEvent) => void;
}

/** Listens to the stream until it ends, and says how. Never throws. */
export const listenOnce = async (listening: Listening): Promise<Ending> => {
  const { address, lastEventId, signal, onOpen, onEvent } = listening;
  const silent = new AbortController();
  let watch = setTimeout(() => silent.abort(), SILENCE_MS);
  let isOpen = false;
  try {
    const response = await fetch(address, {
      headers: {
        accept: "text/event-stream",
        ...(lastEventId === null ? {} : { "last-event-id": lastEventId }),
      },
      cache: "no-store",
      signal: AbortSignal.any([signal, silent.signal]),
    });
    if (response.status === 401) return "signed out";
    if (!response.ok || response.body === null) return "unreachable";
    isOpen = true;
    onOpen();
    const read = eventReader();
    const pieces = response.body.pipeThrough(new TextDecoderStream()).getReader();
    for (;;) {
      // Each piece is waited for; there is nothing to do at once.
      // oxlint-disable-next-line no-await-in-loop
      const { done, value } = await pieces.read();
      if (done) return "dropped";
      clearTimeout(watch);
      watch = setTimeout(() => silent.abort(), SILENCE_MS);
      for (const event of read(value)) onEvent(event);
    }
  } catch {
    return isOpen ? "dropped" : "unreachable";
  } finally {
    clearTimeout(watch);
  }
};
