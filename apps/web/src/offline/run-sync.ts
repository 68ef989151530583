import type { ARRIVAL_HEADERS } from "@heelward/contracts";
import { call } from "../api/client.ts";
import type { Input, OperationId } from "../api/operations.ts";
import { ProblemError } from "../api/problem-error.ts";
import { queryClient } from "../api/query-client.ts";
import { readClock } from "./clock.ts";
import { writeMeta } from "./database.ts";
import type { Refusal } from "./outbox.ts";
import { changeOutbox, deviceId, loadFile, loadOutbox, outboxOwner } from "./outbox-store.ts";
import { tidy, unsettled } from "./outbox.ts";
import { sawService } from "./signal.ts";
import { offlineState, setOffline } from "./state.ts";
import { type Comparison, type Ports, sync, type SyncEnd } from "./sync.ts";

const LOCK = "heelward.sync";
const HEADERS: typeof ARRIVAL_HEADERS = {
  deviceId: "device-id",
  deviceOrder: "device-order",
  happenedAt: "happened-at",
  deviceTime: "client-time",
  clockOffset: "clock-offset-ms",
};

const refusalOf = ({ slug, body }: ProblemError): Refusal => ({
  slug,
  title: body.title,
  detail: body.detail,
  next: body.next,
  ...(body.recordId === undefined ? {} : { recordId: body.recordId }),
  ...(body.errors === undefined ? {} : { errors: body.errors }),
});

/** Asks the service for its clock and which keys it has; keeps the reading of the clock. */
export const compare = async (keys: readonly string[]): Promise<Comparison | Refusal | null> => {
  const sentAtMs = Date.now();
  try {
    const answer = await call("compareWithService", {
      body: { deviceId: await deviceId(), keys: [...keys] },
    });
    const clock = readClock(sentAtMs, Date.now(), Date.parse(answer.at));
    await writeMeta("clock", clock);
    sawService(true);
    setOffline({ clock, mustSignIn: false });
    return { clock, arrived: answer.arrived };
  } catch (error) {
    if (!(error instanceof ProblemError)) throw error;
    if (error.slug !== "no-connection") return refusalOf(error);
    sawService(false);
    setOffline({});
    return null;
  }
};

interface Answered {
  readonly id?: unknown;
  readonly version?: unknown;
  readonly receivedAt?: unknown;
}

const portsOf = (personId: string): Ports => ({
  personId,
  load: loadOutbox,
  save: async (change) => {
    const outbox = await changeOutbox(personId, change);
    setOffline({ outbox });
    return outbox;
  },
  compare,
  send: async (entry, frozen) => {
    const { operation, params, body, ifMatch, fileId } = frozen.request;
    const file = fileId === undefined ? undefined : await loadFile(fileId);
    const input = {
      params,
      body,
      ...(ifMatch === undefined ? {} : { ifMatch }),
      ...(file === undefined ? {} : { file }),
    };
    try {
      const answer = (await call(operation as OperationId, input as Input<OperationId>, {
        key: entry.key,
        lateHeaders: {
          [HEADERS.deviceId]: await deviceId(),
          [HEADERS.deviceOrder]: String(entry.order),
          [HEADERS.happenedAt]: new Date(frozen.happenedAtMs).toISOString(),
          [HEADERS.deviceTime]: new Date(entry.deviceAtMs).toISOString(),
          [HEADERS.clockOffset]: String(frozen.clockOffsetMs),
        },
      })) as Answered | undefined;
      return {
        kind: "answered",
        answer: {
          ...(typeof answer?.id === "string" ? { id: answer.id } : {}),
          ...(typeof answer?.version === "number" ? { version: answer.version } : {}),
          receivedAt:
            typeof answer?.receivedAt === "string"
              ? answer.receivedAt
              : new Date(Date.now() + frozen.clockOffsetMs).toISOString(),
        },
      };
    } catch (error) {
      if (!(error instanceof ProblemError)) throw error;
      return error.slug === "no-connection"
        ? { kind: "unanswered" }
        : { kind: "refused", refusal: refusalOf(error) };
    }
  },
});

const afterSync = new Set<() => void>();

/** Calls back when something has reached the service; gives how to stop. */
export const onArrival = (tell: () => void): (() => void) => {
  afterSync.add(tell);
  return () => void afterSync.delete(tell);
};

const run = async (): Promise<SyncEnd> => {
  const personId = await outboxOwner();
  if (personId === undefined || offlineState().isOthers) return "done";
  const before = unsettled(await loadOutbox()).length;
  if (before === 0) return "done";
  setOffline({ isSending: true });
  try {
    const end = await sync(portsOf(personId));
    if (end === "no connection") sawService(false);
    const outbox = await changeOutbox(personId, (one) => tidy(one));
    setOffline({ outbox, mustSignIn: end === "sign in" });
    // Also after a refusal: what stands at the practice now is shown beside what was written.
    if (end === "done") void queryClient.invalidateQueries();
    if (unsettled(outbox).length !== before) for (const tell of afterSync) tell();
    return end;
  } finally {
    setOffline({ isSending: false });
  }
};

/** Sends what waits, in one window at a time. */
export const syncNow = async (): Promise<SyncEnd> =>
  navigator.locks.request(LOCK, { ifAvailable: true }, (lock) =>
    lock === null ? Promise.resolve("done" as const) : run(),
  );

/** Starts sending without waiting for its end. */
export const startSync = (): void => {
  if (!navigator.onLine) return;
  void syncNow().catch((error: unknown) => console.error("could not send what waits", error));
};
