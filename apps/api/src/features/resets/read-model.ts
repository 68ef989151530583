// Resets as they are stored, for features and jobs that work with many at once.
export { findBooked, findResets, lockReset, type ResetRow } from "./store.ts";
