export * from "./landmarks.ts";
