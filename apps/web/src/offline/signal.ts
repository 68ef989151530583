/**
 * Whether the service can be reached, as far as the page knows: what the browser says, and what the
 * service worker saw when it last asked. A weak signal that answers nothing counts as none.
 */
let isReached = true;
const listeners = new Set<() => void>();

const set = (next: boolean): void => {
  if (next === isReached) return;
  isReached = next;
  for (const tell of listeners) tell();
};

export const hasSignal = (): boolean => navigator.onLine && isReached;

/** Calls back whenever {@link hasSignal} may have changed; gives how to stop. */
export const onSignalChange = (tell: () => void): (() => void) => {
  listeners.add(tell);
  window.addEventListener("online", tell);
  window.addEventListener("offline", tell);
  return () => {
    listeners.delete(tell);
    window.removeEventListener("online", tell);
    window.removeEventListener("offline", tell);
  };
};

/** Says that the service answered, or did not; the worker then stops giving stored answers at once. */
export const sawService = (answered: boolean): void => {
  if (answered) navigator.serviceWorker.controller?.postMessage({ kind: "reached" });
  set(answered);
};

let isWatching = false;

/** Listens to the service worker, and forgets an old silence when the browser comes online again. */
export const watchSignal = (): void => {
  if (isWatching) return;
  isWatching = true;
  navigator.serviceWorker.addEventListener("message", ({ data }: MessageEvent<unknown>) => {
    if (typeof data !== "object" || data === null || !("kind" in data)) return;
    if (data.kind === "from device") set(false);
    if (data.kind === "from service") set(true);
  });
  window.addEventListener("online", () => sawService(true));
};
