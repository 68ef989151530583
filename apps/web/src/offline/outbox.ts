import { type ClockReading, happenedAt } from "./clock.ts";

/**
 * What a device has written and not yet seen arrive. Pure: every function takes an outbox and gives
 * the next one; keeping it, asking the service and the clock are the business of others.
 *
 * An entry keeps its place for good. Entries about one thing (a horse) stand in one lane and arrive in
 * the order they were written; one that a person must decide on holds its lane up and no other.
 */
export type Json =
  | string
  | number
  | boolean
  | null
  | readonly Json[]
  | { readonly [key: string]: Json };

/** A request as the service's client sends it. */
export interface Request {
  readonly operation: string;
  readonly params: Readonly<Record<string, string>>;
  readonly body: { readonly [key: string]: Json };
  /** Sent as If-Match. */
  readonly ifMatch?: number;
  /** Key of the entry whose answer says the version to send as If-Match. */
  readonly versionOf?: string;
  /** Under which the file lies on the device. */
  readonly fileId?: string;
}

/** Why the service did not take an entry. */
export interface Refusal {
  readonly slug: string;
  readonly title: string;
  readonly detail: string;
  readonly next: string;
  /** The record that stands in the way. */
  readonly recordId?: string;
  /** The field at fault, as JSON pointer, with what is wrong with it. */
  readonly errors?: readonly { readonly pointer: string; readonly detail: string }[];
}

/** What goes over the wire, fixed at the first attempt: a repeat must be the same to the letter. */
export interface Frozen {
  readonly request: Request;
  readonly happenedAtMs: number;
  readonly isUncertain: boolean;
  readonly clockOffsetMs: number;
}

/**
 * `waiting`: not yet tried, or tried without an answer. `conflict`: the service refused it and a person
 * must decide. `arrived`: the service has it. `put aside`: decided against; the service keeps it whole.
 */
export type EntryState = "waiting" | "conflict" | "arrived" | "put aside";

export interface Entry {
  /** Idempotency-Key. */
  readonly key: string;
  /** 1, 2, 3 … per device, in the order of writing; never used twice. */
  readonly order: number;
  readonly lane: string;
  readonly request: Request;
  readonly personId: string;
  /** For people to recognise it by, such as the horse's name. */
  readonly label: string;
  readonly deviceAtMs: number;
  readonly clockBefore: ClockReading | null;
  readonly state: EntryState;
  readonly attempts: number;
  readonly frozen?: Frozen;
  readonly refusal?: Refusal;
  /** Keys it was sent under before a person decided anew. */
  readonly earlierKeys: readonly string[];
  /** What the service answered, as far as later entries need it. */
  readonly answer?: {
    readonly id?: string;
    readonly version?: number;
    readonly receivedAt?: string;
  };
}

export interface Outbox {
  readonly nextOrder: number;
  readonly entries: readonly Entry[];
}

export const EMPTY_OUTBOX: Outbox = { nextOrder: 1, entries: [] };

const isSettled = ({ state }: Entry): boolean => state === "arrived" || state === "put aside";

/** What has not arrived, oldest first. */
export const unsettled = (outbox: Outbox): readonly Entry[] =>
  outbox.entries.filter((entry) => !isSettled(entry));

export const conflicts = (outbox: Outbox): readonly Entry[] =>
  outbox.entries.filter((entry) => entry.state === "conflict");

const change = (outbox: Outbox, key: string, next: (entry: Entry) => Entry): Outbox => ({
  ...outbox,
  entries: outbox.entries.map((entry) => (entry.key === key ? next(entry) : entry)),
});

/** What is known when something is written. */
export type Written = Pick<
  Entry,
  "key" | "lane" | "request" | "personId" | "label" | "deviceAtMs" | "clockBefore"
>;

/**
 * Writes something down at the end. A change of a thing that an entry still on its way changes too
 * takes its version from that entry's answer.
 */
export const write = (outbox: Outbox, written: Written): Outbox => {
  if (outbox.entries.some((entry) => entry.key === written.key)) return outbox;
  const { request } = written;
  const before =
    request.ifMatch === undefined
      ? undefined
      : unsettled(outbox).findLast((entry) => changesSame(entry.request, request));
  const { ifMatch: _, ...withoutVersion } = request;
  const entry: Entry = {
    ...written,
    request: before === undefined ? request : { ...withoutVersion, versionOf: before.key },
    order: outbox.nextOrder,
    state: "waiting",
    attempts: 0,
    earlierKeys: [],
  };
  return { nextOrder: outbox.nextOrder + 1, entries: [...outbox.entries, entry] };
};

const changesSame = (one: Request, other: Request): boolean =>
  (one.ifMatch !== undefined || one.versionOf !== undefined) &&
  JSON.stringify(one.params) === JSON.stringify(other.params);

/** The next to send: the oldest that waits and whose lane nothing older holds up. */
export const nextToSend = (outbox: Outbox, personId: string): Entry | undefined => {
  const held = new Set<string>();
  for (const entry of unsettled(outbox)) {
    if (entry.state === "waiting" && entry.personId === personId && !held.has(entry.lane))
      return entry;
    held.add(entry.lane);
  }
  return undefined;
};

/** Times a person does not choose but the device's clock gives; they move with its correction. */
const OWN_TIMES = ["doneAt", "startedAt", "takenAt", "pressedAt"];
const MINUTE_MS = 60_000;

const shifted = (body: Request["body"], byMs: number): Request["body"] =>
  Math.abs(byMs) < MINUTE_MS
    ? body
    : Object.fromEntries(
        Object.entries(body).map(([name, value]) => [
          name,
          OWN_TIMES.includes(name) && typeof value === "string"
            ? new Date(Date.parse(value) + byMs).toISOString()
            : value,
        ]),
      );

/**
 * Fixes what is sent: the time it happened by what is now known of the clock, and the version of the
 * answer it waited for. Done once; what was sent before stays as it was.
 */
export const freeze = (outbox: Outbox, key: string, clock: ClockReading): Outbox => {
  const entry = outbox.entries.find((one) => one.key === key);
  if (entry === undefined) throw new Error(`nothing is kept under ${key}`);
  if (entry.frozen !== undefined)
    return change(outbox, key, (one) => ({ ...one, attempts: one.attempts + 1 }));
  const earlier = outbox.entries
    .filter((one) => one.order < entry.order)
    .flatMap((one) => (one.frozen === undefined ? [] : [one.frozen.happenedAtMs]));
  const happened = happenedAt(
    { deviceAtMs: entry.deviceAtMs, before: entry.clockBefore },
    clock,
    Math.max(Number.NEGATIVE_INFINITY, ...earlier),
  );
  const { versionOf, ...request } = entry.request;
  const version = outbox.entries.find(
    (one) => one.key === versionOf || one.earlierKeys.includes(versionOf ?? ""),
  )?.answer?.version;
  return change(outbox, key, (one) => ({
    ...one,
    attempts: one.attempts + 1,
    frozen: {
      request: {
        ...request,
        ...(version === undefined ? {} : { ifMatch: version }),
        body: shifted(request.body, happened.atMs - entry.deviceAtMs),
      },
      happenedAtMs: happened.atMs,
      isUncertain: happened.isUncertain,
      clockOffsetMs: clock.offsetMs,
    },
  }));
};

/** The service has it. */
export const arrive = (outbox: Outbox, key: string, answer: Entry["answer"] = {}): Outbox =>
  change(outbox, key, (entry) => {
    const { refusal: _, ...rest } = entry;
    return {
      ...rest,
      state: entry.request.operation === "putAside" ? "put aside" : "arrived",
      answer,
    };
  });

/** The service refused it: a person must look. */
export const refuse = (outbox: Outbox, key: string, refusal: Refusal): Outbox =>
  change(outbox, key, (entry) => ({ ...entry, state: "conflict", refusal }));

/** Refusals that say nothing about the entry: it waits and is sent again, to the letter. */
const PASSING = [
  "no-connection",
  "unauthenticated",
  "reauthentication-required",
  "dependency-unavailable",
  "rate-limited",
  "internal",
];
export const isPassing = (slug: string): boolean => PASSING.includes(slug);

/** Every key under which something unsettled may have arrived. */
export const keysToCompare = (outbox: Outbox): readonly string[] =>
  unsettled(outbox).flatMap((entry) =>
    entry.attempts === 0 && entry.earlierKeys.length === 0 ? [] : [entry.key, ...entry.earlierKeys],
  );

/**
 * Takes over what the service says has arrived, under whatever key it was sent. One whose version a
 * later entry needs is sent again instead: the service answers a repeat as it did before.
 */
export const takeOver = (
  outbox: Outbox,
  arrived: readonly {
    readonly key: string;
    readonly receivedAt: string;
    readonly outcome: "stored" | "put aside";
  }[],
): Outbox => ({
  ...outbox,
  entries: outbox.entries.map((entry) => {
    const found = arrived.find(({ key }) => key === entry.key || entry.earlierKeys.includes(key));
    if (found === undefined || isSettled(entry)) return entry;
    const isAskedFor = outbox.entries.some(({ request }) => request.versionOf === entry.key);
    if (isAskedFor && entry.state === "waiting" && found.key === entry.key) return entry;
    const { refusal: _, ...rest } = entry;
    return {
      ...rest,
      state: found.outcome === "stored" ? "arrived" : "put aside",
      answer: { ...entry.answer, receivedAt: found.receivedAt },
    };
  }),
});

/** What a person decided about a conflict. */
export type Decision =
  | { readonly kind: "send"; readonly request: Request }
  | { readonly kind: "put aside"; readonly reason: string };

/**
 * Carries out a decision in the entry's own place: sent anew under a new key, or put aside with a
 * reason. The number of the place stays, and the service takes a number once: whichever of the two
 * requests reaches it first is the one that counts.
 */
export const decide = (outbox: Outbox, key: string, newKey: string, decision: Decision): Outbox =>
  change(outbox, key, (entry) => {
    if (entry.state !== "conflict") return entry;
    const { frozen: _, refusal: __, ...rest } = entry;
    const { params, body, operation } = entry.request;
    const horseId = params["horseId"] ?? body["horseId"];
    return {
      ...rest,
      key: newKey,
      earlierKeys: [...entry.earlierKeys, key],
      state: "waiting",
      request:
        decision.kind === "send"
          ? decision.request
          : {
              operation: "putAside",
              params: {},
              body: {
                operation,
                ...(typeof horseId === "string" ? { horseId } : {}),
                payload: { params, body },
                reason: decision.reason,
              },
            },
    };
  });

/** Forgets what has arrived, but for the last few that people look back at. */
export const tidy = (outbox: Outbox, keep = 50): Outbox => {
  const settled = outbox.entries.filter(isSettled);
  const needed = new Set(unsettled(outbox).flatMap(({ request }) => request.versionOf ?? []));
  const gone = new Set(
    settled
      .slice(0, Math.max(0, settled.length - keep))
      .filter(({ key }) => !needed.has(key))
      .map(({ key }) => key),
  );
  return { ...outbox, entries: outbox.entries.filter(({ key }) => !gone.has(key)) };
};
