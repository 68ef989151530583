// Whether a task of kind film is settled, for lists that join tasks themselves.
export { filmTaken } from "./store.ts";
