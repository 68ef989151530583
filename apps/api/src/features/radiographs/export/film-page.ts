import { renderFilm } from "@heelward/radiograph/raster";
import type { Film } from "@heelward/radiograph/film";
import { isClosed, lineColour, MARK, outlineColour } from "./drawn-colours.ts";
import type { FilmSheet, TableRow } from "./film-sheet.ts";
import { openDocument, type Element, type Page } from "../../../print/open-document.ts";

const MARGIN = 34;
const BOTTOM = 806;
const WIDTH = 595.28 - 2 * MARGIN;
const LARGEST_PICTURE_PT = { width: WIDTH, height: 238 };
const PICTURE_PX = 1800;
const INK = "#1c2321";
const WARNING = "#9a3412";
const BODY = 9;

const TABLE_SIZE = 8;

/** Columns of one half of the table: two measures stand beside each other, so that all fits one page. */
const HALF = [
  { heading: "Line", x: 0, width: 20 },
  { heading: "Measure", x: 20, width: 150 },
  { heading: "Value", x: 171, width: 43 },
  { heading: "± (95 %)", x: 215, width: 46 },
] as const;
const SECOND_HALF_X = 266;
const COLUMNS = [...HALF, ...HALF.map((one) => ({ ...one, x: one.x + SECOND_HALF_X }))];

/** The document and the element that all its content belongs to. */
interface Target {
  readonly page: Page;
  readonly root: Element;
}

const COLUMN_HEADING = { title: "Column", scope: "Column" };

/** A text of its own kind in the structure of the page, below what came before. */
const say = (
  { page, root }: Target,
  kind: string,
  text: string,
  style: { readonly size?: number; readonly bold?: boolean; readonly fill?: string } = {},
): void => {
  page
    .font(style.bold === true ? "bold" : "regular")
    .fontSize(style.size ?? BODY)
    .fillColor(style.fill ?? INK);
  if (page.y + page.heightOfString(text, { width: WIDTH }) > BOTTOM) page.addPage();
  const y = page.y;
  root.add(
    page.struct(kind, {}, () => {
      page.text(text, MARGIN, y, { width: WIDTH });
    }),
  );
  page.y += 3;
};

const drawLines = (page: Page, sheet: FilmSheet, left: number, top: number, k: number): void => {
  const at = (point: { readonly x: number; readonly y: number }): [number, number] => [
    left + (point.x + 0.5) * k,
    top + (point.y + 0.5) * k,
  ];
  for (const line of sheet.lines) {
    const colour = lineColour(line);
    const [x, y] = [at(line.from), at(line.to)];
    page.lineWidth(0.9).strokeColor(colour);
    page
      .moveTo(...x)
      .lineTo(...y)
      .stroke();
    page.font("bold").fontSize(6).fillColor(colour);
    page.text(String(line.number), (x[0] + y[0]) / 2 + 2, (x[1] + y[1]) / 2 - 7, {
      lineBreak: false,
    });
  }
  for (const one of sheet.outlines) {
    const [first, ...rest] = one.points.map(at);
    if (first === undefined) continue;
    page
      .lineWidth(1.3)
      .strokeColor(outlineColour(one))
      .moveTo(...first);
    for (const point of rest) page.lineTo(...point);
    if (isClosed(one)) page.closePath();
    page.stroke();
  }
  for (const point of Object.values(sheet.set?.points ?? {}))
    page
      .lineWidth(0.5)
      .strokeColor(MARK)
      .circle(...at(point), 1.6)
      .stroke();
};

const drawFilm = async ({ page, root }: Target, sheet: FilmSheet, film: Film): Promise<void> => {
  const k = Math.min(
    LARGEST_PICTURE_PT.width / film.widthPx,
    LARGEST_PICTURE_PT.height / film.heightPx,
  );
  const [width, height] = [film.widthPx * k, film.heightPx * k];
  const left = MARGIN + (WIDTH - width) / 2;
  const top = page.y + 2;
  const jpeg = await renderFilm(film, { format: "jpeg", maxSidePx: PICTURE_PX });
  // The box is part of the standard's layout attributes; the type of the library lacks it.
  const about = {
    alt: `${sheet.title}. Radiograph with ${sheet.lines.length} measuring lines and ${sheet.outlines.length} drawings; the figures are in the table below.`,
    bbox: [left, top, left + width, top + height],
  };
  root.add(
    page.struct("Figure", about, () => {
      page.image(Buffer.from(jpeg), left, top, { width, height });
      page.save();
      page.rect(left, top, width, height).clip();
      drawLines(page, sheet, left, top, k);
      page.restore();
    }),
  );
  page.x = MARGIN;
  page.y = top + height + 8;
};

/** One cell: its text and whether it lies outside its cited range. */
interface Cell {
  readonly text: string;
  readonly isOutside: boolean;
}

const cellsOf = (row: TableRow | undefined): readonly Cell[] =>
  row === undefined
    ? []
    : [row.number, row.label, row.value, row.plusMinus].map((text) => ({
        text,
        isOutside: row.isOutside,
      }));

const drawTable = ({ page, root }: Target, rows: readonly TableRow[]): void => {
  const table = page.struct("Table");
  root.add(table);
  const line = (kind: "TH" | "TD", cells: readonly Cell[]): void => {
    const dress = ({ isOutside }: Cell): void => {
      page
        .font(isOutside || kind === "TH" ? "bold" : "regular")
        .fontSize(TABLE_SIZE)
        .fillColor(isOutside ? WARNING : INK);
    };
    const heights = cells.map((cell, index) => {
      dress(cell);
      return page.heightOfString(cell.text || " ", { width: COLUMNS[index]?.width ?? 0 });
    });
    const height = Math.max(...heights);
    if (page.y + height > BOTTOM) page.addPage();
    const y = page.y;
    const row = page.struct("TR");
    table.add(row);
    for (const [index, cell] of cells.entries()) {
      const column = COLUMNS[index];
      if (column === undefined) continue;
      row.add(
        page.struct(kind, kind === "TH" ? COLUMN_HEADING : {}, () => {
          dress(cell);
          page.text(cell.text, MARGIN + column.x, y, { width: column.width });
        }),
      );
    }
    row.end();
    page.y = y + height + 1;
  };
  line(
    "TH",
    COLUMNS.map(({ heading }) => ({ text: heading, isOutside: false })),
  );
  const half = Math.ceil(rows.length / 2);
  for (const [index, row] of rows.slice(0, half).entries())
    line("TD", [...cellsOf(row), ...cellsOf(rows[half + index])]);
  table.end();
  page.y += 6;
};

/** One film as a tagged page to print or send: picture with lines, table, cautions, who and when. */
export const filmPage = async (
  sheet: FilmSheet,
  film: Film,
  madeAtMs: number,
): Promise<Uint8Array> => {
  const { page, root, finish } = openDocument({
    title: sheet.title,
    author: sheet.practiceName,
    madeAtMs,
    marginPt: MARGIN,
  });
  const target = { page, root };
  say(target, "H1", sheet.title, { size: 15, bold: true });
  say(target, "P", `${sheet.practiceName}. ${sheet.facts.join(" ")}`);
  await drawFilm(target, sheet, film);
  if (sheet.table.length > 0) drawTable(target, sheet.table);
  say(target, "H2", "Read before you use this page", { size: 10.5, bold: true });
  for (const caution of sheet.cautions) say(target, "P", caution, { fill: WARNING });
  say(target, "H2", "Who and when", { size: 10.5, bold: true });
  for (const line of sheet.provenance) say(target, "P", line);
  return finish();
};
