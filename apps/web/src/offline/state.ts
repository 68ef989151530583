import { useSyncExternalStore } from "react";
import type { ClockReading } from "./clock.ts";
import { EMPTY_OUTBOX, type Outbox } from "./outbox.ts";
import { hasSignal } from "./signal.ts";

/** The day as it lies on the device. */
export interface KeptDay {
  readonly date: string;
  readonly farrierName: string;
  /** Epoch ms by the device's clock. */
  readonly storedAtMs: number;
  readonly horses: number;
  readonly sizeBytes: number;
  /** Names of horses of which something is missing. */
  readonly missing: readonly string[];
  /** The device had no room for all of it. */
  readonly isFull: boolean;
}

export interface TakingDay {
  readonly done: number;
  readonly of: number;
}

/** Everything the pages show about being without signal. */
export interface OfflineState {
  /** False where the browser gives this page no keys: plain http from another machine. */
  readonly canKeep: boolean;
  readonly hasSignal: boolean;
  readonly day: KeptDay | undefined;
  readonly taking: TakingDay | undefined;
  readonly outbox: Outbox;
  readonly isSending: boolean;
  readonly mustSignIn: boolean;
  /** The last reading of the device's clock. */
  readonly clock: ClockReading | undefined;
  /** The device had no room for the last thing written. */
  readonly isFull: boolean;
  /** Somebody else's unsent records lie on this device. */
  readonly isOthers: boolean;
}

let state: OfflineState = {
  canKeep: true,
  hasSignal: true,
  day: undefined,
  taking: undefined,
  outbox: EMPTY_OUTBOX,
  isSending: false,
  mustSignIn: false,
  clock: undefined,
  isFull: false,
  isOthers: false,
};
const listeners = new Set<() => void>();

export const offlineState = (): OfflineState => state;

export const setOffline = (change: Partial<OfflineState>): void => {
  state = { ...state, ...change, hasSignal: hasSignal() };
  for (const tell of listeners) tell();
};

const subscribe = (tell: () => void): (() => void) => {
  listeners.add(tell);
  return () => void listeners.delete(tell);
};

export const useOffline = (): OfflineState => useSyncExternalStore(subscribe, offlineState);
