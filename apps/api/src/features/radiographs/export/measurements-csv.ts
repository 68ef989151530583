import type { Work } from "../../../http/work.ts";
import type { Bytes } from "../../../http/route.ts";
import * as cases from "../../cases/service.ts";
import * as radiographs from "../service.ts";

type Cell = string | number | null;

/**
 * One cell. Text that a spreadsheet would take for a formula is led by an apostrophe; numbers stay
 * numbers. source: RFC 4180 for quoting; OWASP CSV injection guidance for the leading characters.
 */
const cell = (value: Cell): string => {
  if (value === null) return "";
  if (typeof value === "number") return String(value);
  const harmless = /^[\s]*[=+\-@|\t\r]/u.test(value) ? `'${value}` : value;
  return /[",\r\n]/u.test(harmless) ? `"${harmless.replaceAll('"', '""')}"` : harmless;
};

/** Lines of a table with CRLF ends; the mark at the start lets spreadsheets read accents. */
export const csvOf = (rows: readonly (readonly Cell[])[]): string =>
  `\uFEFF${rows.map((row) => `${row.map(cell).join(",")}\r\n`).join("")}`;

const HEADINGS = [
  "horse",
  "case",
  "foot",
  "view",
  "film id",
  "film taken at",
  "set",
  "placed by",
  "placed at",
  "side confirmed by",
  "wedge degrees",
  "measure",
  "label",
  "value",
  "unit",
  "standard uncertainty",
  "95 % low",
  "95 % high",
  "reference low",
  "reference high",
  "verdict",
  "source",
  "not given because",
] as const;

/** Every measure of the latest marks of every film of a case, at full precision. */
export const measurementsCsv = async (work: Work, caseId: string): Promise<Bytes> => {
  const found = await cases.read(work, caseId);
  const films = (await radiographs.list(work, caseId)).items;
  const sets = await radiographs.latestSets(
    work,
    films.map((film) => film.id),
  );
  const rows = films.flatMap((film) => {
    const set = sets.find((one) => one.radiographId === film.id);
    return (set?.measurements ?? []).map((one): readonly Cell[] => [
      found.horse.name,
      found.number,
      film.foot,
      film.view,
      film.id,
      film.takenAt,
      set?.number ?? null,
      set?.placedBy.name ?? null,
      set?.placedAt ?? null,
      film.sideConfirmedBy?.name ?? null,
      film.wedgeDegrees,
      one.key,
      one.label,
      one.value,
      one.unit,
      one.standardUncertainty,
      one.interval95?.low ?? null,
      one.interval95?.high ?? null,
      one.reference?.low ?? null,
      one.reference?.high ?? null,
      one.verdict,
      one.source.citation,
      one.missing,
    ]);
  });
  return {
    bytes: new TextEncoder().encode(csvOf([HEADINGS, ...rows])),
    mediaType: "text/csv; charset=utf-8",
    isMade: true,
    fileName: `case-${found.number}-measurements.csv`,
  };
};
