import { renderFilm } from "@heelward/radiograph/raster";
import type { Film } from "@heelward/radiograph/film";
import sharp from "sharp";
import { isClosed, lineColour, MARK, outlineColour } from "./drawn-colours.ts";
import type { FilmSheet } from "./film-sheet.ts";
import { BOLD, REGULAR, textPath, textWidth, wrap } from "../../../print/fonts.ts";

/** Films lower than this are enlarged by a whole number, so that the figures can be read. */
const LEAST_HEIGHT_PX = 900;
const INK = "#1c2321";
const PAPER = "#ffffff";
const WARNING = "#9a3412";

/** How many pixels of the picture one pixel of the film takes. */
const pictureScale = (heightPx: number): number =>
  Math.max(1, Math.ceil(LEAST_HEIGHT_PX / heightPx));

/** Lines and outlines in picture pixels. Whole film coordinates are pixel centres, SVG counts from corners. */
const drawings = (sheet: FilmSheet, scale: number, thick: number): string => {
  const at = (value: number): number => (value + 0.5) * scale;
  const lines = sheet.lines.map((line) => {
    const colour = lineColour(line);
    const size = thick * 8;
    const text = String(line.number);
    const x = (at(line.from.x) + at(line.to.x)) / 2 + thick * 2;
    const y = (at(line.from.y) + at(line.to.y)) / 2 - thick * 2;
    const width = textWidth(BOLD.font, text, size);
    return `<line x1="${at(line.from.x)}" y1="${at(line.from.y)}" x2="${at(line.to.x)}" y2="${at(line.to.y)}" stroke="${colour}" stroke-width="${thick}"/>
<rect x="${x - thick}" y="${y - size * 0.8}" width="${width + 2 * thick}" height="${size}" fill="#000" fill-opacity="0.6"/>
${textPath(BOLD.font, text, { x, y, size, fill: colour })}`;
  });
  const outlines = sheet.outlines.map((one) => {
    const points = one.points.map(({ x, y }) => `${at(x)},${at(y)}`).join(" ");
    return `<${isClosed(one) ? "polygon" : "polyline"} points="${points}" fill="none" stroke="${outlineColour(one)}" stroke-width="${thick * 1.5}" stroke-linejoin="round"/>`;
  });
  const marks = Object.values(sheet.set?.points ?? {}).map(
    ({ x, y }) =>
      `<circle cx="${at(x)}" cy="${at(y)}" r="${thick * 1.6}" fill="none" stroke="${MARK}" stroke-width="${thick * 0.6}"/>`,
  );
  return [...lines, ...outlines, ...marks].join("\n");
};

interface Panel {
  readonly svg: string;
  readonly height: number;
}

/** The table and the words beside the film, from the top down. */
const panel = (sheet: FilmSheet, left: number, width: number, size: number): Panel => {
  const parts: string[] = [];
  const margin = size;
  let y = margin;
  const paragraph = (text: string, bold: boolean, ofSize: number, fill: string): void => {
    const { font } = bold ? BOLD : REGULAR;
    for (const line of wrap(font, text, ofSize, width - 2 * margin)) {
      y += ofSize * 1.3;
      parts.push(textPath(font, line, { x: left + margin, y, size: ofSize, fill }));
    }
    y += ofSize * 0.35;
  };
  paragraph(sheet.title, true, size * 1.35, INK);
  for (const fact of sheet.facts) paragraph(fact, false, size * 0.9, INK);
  y += size * 0.4;
  const valueRight = left + width - margin - size * 5.5;
  for (const row of sheet.table) {
    y += size * 1.4;
    const fill = row.isOutside ? WARNING : INK;
    const { font } = row.isOutside ? BOLD : REGULAR;
    const write = (text: string, x: number): void => {
      parts.push(textPath(font, text, { x, y, size, fill }));
    };
    write(row.number, left + margin);
    const labelWidth = valueRight - size * 4.6 - (left + margin + size * 1.8);
    write(wrap(font, row.label, size, labelWidth)[0] ?? "", left + margin + size * 1.8);
    write(row.value, valueRight - textWidth(font, row.value, size));
    write(row.plusMinus, valueRight + size * 0.5);
  }
  y += size * 0.6;
  for (const caution of sheet.cautions) paragraph(caution, false, size * 0.9, WARNING);
  for (const line of sheet.provenance) paragraph(line, false, size * 0.75, INK);
  return { svg: parts.join("\n"), height: Math.ceil(y + margin) };
};

/** The film with marks, lines and outlines at the left, the measures at the right, as PNG. */
export const annotatedPicture = async (sheet: FilmSheet, film: Film): Promise<Uint8Array> => {
  const scale = pictureScale(film.heightPx);
  const [filmWidth, filmHeight] = [film.widthPx * scale, film.heightPx * scale];
  const size = Math.max(16, Math.round(filmHeight / 62));
  const panelWidth = size * 32;
  const beside = panel(sheet, filmWidth, panelWidth, size);
  const [width, height] = [filmWidth + panelWidth, Math.max(filmHeight, beside.height)];
  const grey = await renderFilm(film, { format: "png" });
  const enlarged =
    scale === 1
      ? grey
      : await sharp(grey)
          .resize({ width: filmWidth, height: filmHeight, kernel: "nearest" })
          .png({ compressionLevel: 1 })
          .toBuffer();
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}">
<svg x="0" y="0" width="${filmWidth}" height="${filmHeight}">${drawings(sheet, scale, Math.max(2, Math.round(filmHeight / 500)))}</svg>
${beside.svg}</svg>`;
  return new Uint8Array(
    await sharp({ create: { width, height, channels: 3, background: PAPER } })
      .composite([
        { input: Buffer.from(enlarged), left: 0, top: 0 },
        { input: Buffer.from(svg), left: 0, top: 0 },
      ])
      .png({ compressionLevel: 6 })
      .toBuffer(),
  );
};
