import type { FilmOutline } from "@heelward/contracts";
import { definitionOf } from "@heelward/domain/geometry";
import type { NumberedLine } from "./film-sheet.ts";

/** Colours that stay apart on a grey film, also for readers who do not tell red from green. */
const ANGLE = "#56b4e9";
const LENGTH = "#f0e442";
const OUTLINE: Record<FilmOutline["kind"], string> = {
  "lucent line": "#d55e00",
  "trim line": "#cc79a7",
  "device outline": "#e69f00",
  note: "#ffffff",
};

/** A ring round each landmark; the point itself stays visible. */
export const MARK = "#ffffff";

export const lineColour = (line: NumberedLine): string =>
  definitionOf(line.measure).unit === "deg" ? ANGLE : LENGTH;
export const outlineColour = (one: FilmOutline): string => OUTLINE[one.kind];

/** A dark shadow is an area and is closed; the other drawings are lines. */
export const isClosed = (one: FilmOutline): boolean => one.kind === "lucent line";
