// What the life of a prescription is made of: drafted, judged, signed, answered, carried out.
export { change, draft } from "./draft.ts";
export { recordConsent, setCost } from "./consent.ts";
export { answer, reply, withdraw } from "./exchange.ts";
export { markDone, readReplaced } from "./mark-done.ts";
export { sign } from "./sign.ts";
export { draftPlans } from "./drafts.ts";
export { domainPlan, list, read } from "./views.ts";
