// An owner's own horses, for features that ask whose horse it is.
export { findOwnHorses } from "./store.ts";
