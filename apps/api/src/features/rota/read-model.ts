// The rota as it is stored, for features that ask who works when.
export { findRota } from "./store.ts";
