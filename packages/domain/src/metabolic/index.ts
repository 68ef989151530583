export * from "./acth.ts";
export * from "./feeding.ts";
export * from "./insulin.ts";
export * from "./pergolide-plan.ts";
export * from "./recovery.ts";
export * from "./season.ts";
export * from "./steroid.ts";
export * from "./units.ts";
