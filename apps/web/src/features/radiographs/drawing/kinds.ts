import type { FilmOutline } from "@heelward/contracts";

export type DrawnKind = FilmOutline["kind"];

/** The same colours as on picture and paper; they stay apart for readers who do not tell red from green. */
export const COLOURS: Readonly<Record<DrawnKind, string>> = {
  "lucent line": "#d55e00",
  "trim line": "#cc79a7",
  "device outline": "#e69f00",
  note: "#ffffff",
};

/** A dark shadow is an area and is closed; the other drawings are lines. */
export const isClosed = (kind: DrawnKind): boolean => kind === "lucent line";

/** Points below which a drawing of this kind means nothing. */
export const leastPoints = (kind: DrawnKind): number => (isClosed(kind) ? 3 : 2);

export const MOST_POINTS = 400;
