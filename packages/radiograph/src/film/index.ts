export * from "./film.ts";
export * from "./read-result.ts";
