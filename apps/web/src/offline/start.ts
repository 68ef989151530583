import type { SessionView } from "@heelward/contracts";
import { keepWritesWith } from "../api/client.ts";
import { queryClient } from "../api/query-client.ts";
import { writeKeeper } from "./keep-write.ts";
import { unsettled } from "./outbox.ts";
import { loadOutbox, onOutboxChange, outboxOwner, wipeOutbox } from "./outbox-store.ts";
import { onArrival, startSync } from "./run-sync.ts";
import { hasSignal, onSignalChange, watchSignal } from "./signal.ts";
import { offlineState, setOffline } from "./state.ts";
import { readKeptDay, takeDay } from "./take-day.ts";
import { canKeep, findKey, wipe } from "./vault.ts";

const TRY_AGAIN_MS = 30_000;
/** A day taken along is refreshed while there is signal when it is older than this. House rule. */
const REFRESH_AFTER_MS = 15 * 60_000;

const readState = async (personId: string): Promise<void> => {
  const owner = await outboxOwner();
  const key = await findKey("day");
  // Another person's day is not opened, and not left lying about either.
  if (key !== undefined && key.personId !== personId) await wipe("day");
  const isOthers = owner !== undefined && owner !== personId;
  setOffline({
    day: key?.personId === personId ? await readKeptDay() : undefined,
    outbox: isOthers ? offlineState().outbox : await loadOutbox(),
    isOthers,
  });
};

let refreshing: Promise<unknown> | undefined;

const refreshDay = (session: SessionView): void => {
  const { day, taking } = offlineState();
  if (day === undefined || taking !== undefined || refreshing !== undefined || !hasSignal()) return;
  if (Date.now() - day.storedAtMs < REFRESH_AFTER_MS) return;
  refreshing = takeDay(session)
    // The day that is there stays; it is tried again.
    .catch(() => undefined)
    .finally(() => {
      refreshing = undefined;
    });
};

let stop: (() => void) | undefined;

/**
 * Starts what works without signal for one person on this device: the service worker, the keeper of
 * writes, and sending as soon as there is a line. Gives how to stop.
 */
export const startOffline = async (session: SessionView): Promise<() => void> => {
  stop?.();
  if (!canKeep() || !("serviceWorker" in navigator)) {
    setOffline({ canKeep: false });
    return () => undefined;
  }
  const personId = session.person.id;
  if (import.meta.env.PROD) await navigator.serviceWorker.register("/service-worker.js");
  watchSignal();
  await readState(personId);
  keepWritesWith(writeKeeper(personId));
  let hadSignal = hasSignal();
  const look = (): void => {
    setOffline({});
    // What was shown from the device is read again from the service.
    if (hasSignal() && !hadSignal) void queryClient.invalidateQueries();
    hadSignal = hasSignal();
    startSync();
    refreshDay(session);
  };
  const stops = [
    onSignalChange(look),
    onOutboxChange(() => void readState(personId)),
    // What arrived has changed what the stored pages should show.
    onArrival(() => {
      if (offlineState().day !== undefined) void takeDay(session).catch(() => undefined);
    }),
  ];
  const onVisible = (): void => {
    if (document.visibilityState === "visible") look();
  };
  document.addEventListener("visibilitychange", onVisible);
  const timer = setInterval(() => {
    if (unsettled(offlineState().outbox).length > 0) startSync();
    refreshDay(session);
  }, TRY_AGAIN_MS);
  look();
  stop = () => {
    keepWritesWith(undefined);
    document.removeEventListener("visibilitychange", onVisible);
    clearInterval(timer);
    for (const one of stops) one();
    stop = undefined;
  };
  return stop;
};

/** How many records on this device have not been sent. */
export const countUnsent = async (): Promise<number> =>
  canKeep() && !offlineState().isOthers ? unsettled(await loadOutbox()).length : 0;

/** Forms begun and not sent are kept under this beginning of a name. */
const DRAFTS = "heelward.shoeing.";

/** On signing out: the day's key goes, and with it the day; what was not sent only when the person said so. */
export const forgetDevice = async (): Promise<void> => {
  if (!canKeep()) return;
  stop?.();
  await wipe("day");
  // What somebody else has not sent yet is theirs to send.
  if (!offlineState().isOthers) await wipeOutbox();
  for (const name of Object.keys(localStorage))
    if (name.startsWith(DRAFTS)) localStorage.removeItem(name);
  setOffline({ day: undefined, outbox: { nextOrder: 1, entries: [] } });
};
