import { OPERATION_TABLE } from "virtual:operation-table";
import type { Answer, Input, OperationId } from "./operations.ts";
import { noConnection, ProblemError, toProblem } from "./problem-error.ts";
import { stepUp } from "./step-up.ts";

const BASE = "/api/v1";

/** Random key for one write. `randomUUID` is missing where the page came over plain http. */
export const newKey = (): string => {
  if (typeof crypto.randomUUID === "function") return crypto.randomUUID();
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) =>
    byte.toString(16).padStart(2, "0"),
  ).join("");
};

type Plain = string | number | boolean | null | undefined;

/** The parts of any operation's input. */
export interface Loose {
  readonly params?: Readonly<Record<string, string>>;
  readonly query?: Readonly<Record<string, Plain>>;
  readonly body?: unknown;
  readonly ifMatch?: number;
  readonly file?: File | Blob;
}

interface Options {
  readonly signal?: AbortSignal | undefined;
  /** Idempotency key; the same one must be used when the same write is tried again. */
  readonly key?: string;
  /** What is said of a write that was kept on the device; it is not kept a second time. */
  readonly lateHeaders?: Readonly<Record<string, string>>;
}

const rowOf = (id: OperationId) => {
  const row = OPERATION_TABLE[id];
  if (row === undefined) throw new Error(`unknown operation ${id}`);
  return row;
};

/** The address of an operation, for `img src`, downloads and links. */
export const addressOf = <Id extends OperationId>(id: Id, input: Input<Id>): string => {
  const { params, query } = input as Loose;
  const path = rowOf(id)[1].replace(/:(\w+)/g, (_, name: string) => {
    const value = params?.[name];
    if (value === undefined) throw new Error(`${id} needs ${name}`);
    return encodeURIComponent(value);
  });
  const search = new URLSearchParams(
    Object.entries(query ?? {}).flatMap(([name, value]) =>
      value === undefined || value === null || value === "" ? [] : [[name, String(value)]],
    ),
  ).toString();
  return `${BASE}${path}${search === "" ? "" : `?${search}`}`;
};

const bodyOf = (input: Loose, isUpload: boolean): FormData | string | undefined => {
  if (!isUpload) return input.body === undefined ? undefined : JSON.stringify(input.body);
  const form = new FormData();
  for (const [name, value] of Object.entries((input.body ?? {}) as Record<string, Plain>))
    if (value !== undefined && value !== null) form.append(name, String(value));
  if (input.file !== undefined) form.append("file", input.file);
  return form;
};

/** Keeps writes on the device while the service does not answer; the offline part registers one. */
export interface WriteKeeper {
  /** True when this write is one that can be kept. */
  readonly takes: (id: OperationId) => boolean;
  /** True when it must not be tried now: there is no signal, or older ones of its kind wait before it. */
  readonly mustWait: (id: OperationId, input: Loose) => Promise<boolean>;
  /** Keeps it durably under its key, and gives the answer with which the page goes on. */
  readonly keep: (id: OperationId, input: Loose, key: string) => Promise<unknown>;
}

let keeper: WriteKeeper | undefined;

/** Registers what keeps writes; undefined takes it away again. */
export const keepWritesWith = (one: WriteKeeper | undefined): void => {
  keeper = one;
};

/** How long a write that could be kept waits for a weak signal. House rule. */
const WRITE_PATIENCE_MS = 12_000;

const REFRESHED = "heelward.refreshed";

const askForFreshTokens = async (): Promise<boolean> => {
  try {
    const { ok } = await fetch(`${BASE}/session/refresh`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: "{}",
    });
    if (ok) localStorage.setItem(REFRESHED, String(Date.now()));
    return ok;
  } catch {
    return false;
  }
};

let refreshing: Promise<boolean> | undefined;

/**
 * One refresh at a time, across all tabs of the browser: a refresh token used twice ends the
 * session. A tab that waited for another takes over what that one got.
 */
const refresh = (): Promise<boolean> => {
  const askedAt = Date.now();
  const take = () =>
    Number(localStorage.getItem(REFRESHED) ?? 0) > askedAt
      ? Promise.resolve(true)
      : askForFreshTokens();
  // Locks are missing where the page came over plain http from another machine.
  const locks = navigator.locks as LockManager | undefined;
  refreshing ??= (locks === undefined ? take() : locks.request(REFRESHED, take)).finally(() => {
    refreshing = undefined;
  });
  return refreshing;
};

const checkAnswer = async (id: OperationId, answer: unknown): Promise<void> => {
  const contracts = (await import("@heelward/contracts")) as unknown as Record<
    string,
    { response: { safeParse: (value: unknown) => { error?: { message: string } } } }
  >;
  const { error } = contracts[id]?.response.safeParse(answer) ?? {};
  if (error !== undefined) console.error(`${id} answered against its contract`, error.message);
};

const send = async (id: OperationId, input: Loose, options: Options): Promise<Response> => {
  const [method, , flags] = rowOf(id);
  const isUpload = flags.includes("u");
  const body = bodyOf(input, isUpload);
  const headers: Record<string, string> = {};
  if (body !== undefined && !isUpload) headers["content-type"] = "application/json";
  if (flags.includes("k")) {
    headers["idempotency-key"] = options.key ?? newKey();
    // Lets the service keep how far this device's clock is out.
    headers["client-time"] = new Date().toISOString();
  }
  Object.assign(headers, options.lateHeaders);
  if (input.ifMatch !== undefined) headers["if-match"] = `"${String(input.ifMatch)}"`;
  try {
    return await fetch(addressOf(id, input as Input<OperationId>), {
      method,
      headers,
      ...(body === undefined ? {} : { body }),
      ...(options.signal === undefined ? {} : { signal: options.signal }),
    });
  } catch (error) {
    if (error instanceof DOMException && error.name === "AbortError") throw error;
    throw noConnection();
  }
};

const recovers = async (problem: ProblemError): Promise<boolean> => {
  if (problem.slug === "unauthenticated") return (await refresh()) || stepUp("session over");
  if (problem.slug === "reauthentication-required") return stepUp("signing");
  return false;
};

/**
 * Calls an operation of the service. An expired session is renewed once; when it has ended for good,
 * and before signing, the password is asked for on the page, so that nothing typed is lost. The
 * request is then repeated with the same idempotency key. What a device can keep without signal is kept
 * there and sent later.
 *
 * @throws ProblemError for every refusal and when the service cannot be reached
 */
export const call = async <Id extends OperationId>(
  id: Id,
  input: Input<Id>,
  options: Options = {},
): Promise<Answer<Id>> => {
  const key = options.key ?? newKey();
  const tried = new Set<string>();
  const device =
    options.lateHeaders === undefined && keeper?.takes(id) === true ? keeper : undefined;
  if ((await device?.mustWait(id, input as Loose)) === true)
    return (await device?.keep(id, input as Loose, key)) as Answer<Id>;
  const signal = device === undefined ? options.signal : AbortSignal.timeout(WRITE_PATIENCE_MS);
  for (;;) {
    const response = await send(id, input as Loose, { ...options, signal, key }).catch(
      (error: unknown) => {
        if (device === undefined || !(error instanceof ProblemError)) throw error;
        return undefined;
      },
    );
    if (response === undefined) return (await device?.keep(id, input as Loose, key)) as Answer<Id>;
    if (response.ok) {
      if (rowOf(id)[2].includes("b")) return (await response.arrayBuffer()) as Answer<Id>;
      const answer = (response.status === 204 ? undefined : await response.json()) as Answer<Id>;
      if (import.meta.env.DEV) void checkAnswer(id, answer);
      return answer;
    }
    const problem = await toProblem(response);
    if (tried.has(problem.slug)) throw problem;
    tried.add(problem.slug);
    if (!(await recovers(problem))) throw problem;
  }
};
