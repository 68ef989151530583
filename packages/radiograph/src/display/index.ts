export * from "./window-level.ts";
