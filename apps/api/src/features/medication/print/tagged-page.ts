import { drawCode } from "../../../print/draw-code.ts";
import { openDocument, type Element, type Page } from "../../../print/open-document.ts";

const MARGIN = 40;
const BOTTOM = 800;
const WIDTH = 595.28 - 2 * MARGIN;
const INK = "#1c2321";
const WARNING = "#9a3412";
const BODY = 9.5;

/** A table: headings, the share of the width of each column, and its rows. */
export interface Table {
  readonly headings: readonly string[];
  readonly shares: readonly number[];
  readonly rows: readonly (readonly string[])[];
}

/** One thing on the page, in reading order. */
export type Block =
  | { readonly kind: "title" | "heading" | "text" | "caution"; readonly text: string }
  | { readonly kind: "pair"; readonly label: string; readonly text: string }
  | { readonly kind: "table"; readonly table: Table }
  | { readonly kind: "code"; readonly url: string; readonly words: string };

const STYLES = {
  title: { tag: "H1", size: 16, isBold: true, fill: INK },
  heading: { tag: "H2", size: 11, isBold: true, fill: INK },
  text: { tag: "P", size: BODY, isBold: false, fill: INK },
  caution: { tag: "P", size: BODY, isBold: false, fill: WARNING },
} as const;

const room = (page: Page, height: number): void => {
  if (page.y + height > BOTTOM) page.addPage();
};

const LABEL_WIDTH = 165;
const CODE_SIDE = 84;

const draw = (page: Page, root: Element, block: Exclude<Block, { kind: "table" }>): void => {
  if (block.kind === "pair") {
    page.font("regular").fontSize(BODY);
    const height = Math.max(
      page.heightOfString(block.text, { width: WIDTH - LABEL_WIDTH }),
      page.heightOfString(block.label, { width: LABEL_WIDTH - 8 }),
    );
    room(page, height);
    const top = page.y;
    root.add(
      page.struct("P", {}, () => {
        page.font("bold").fillColor(INK);
        page.text(block.label, MARGIN, top, { width: LABEL_WIDTH - 8 });
        page.font("regular");
        page.text(block.text, MARGIN + LABEL_WIDTH, top, { width: WIDTH - LABEL_WIDTH });
      }),
    );
    page.y = top + height + 4;
    return;
  }
  if (block.kind === "code") {
    room(page, CODE_SIDE + 6);
    const top = page.y + 4;
    // The box is part of the standard's layout attributes; the type of the library lacks it.
    const about = {
      alt: `QR code of ${block.url}`,
      bbox: [MARGIN, top, MARGIN + CODE_SIDE, top + CODE_SIDE],
    };
    root.add(
      page.struct("Figure", about, () => {
        drawCode(page, block.url, { left: MARGIN, top, side: CODE_SIDE });
      }),
    );
    page.font("regular").fontSize(BODY).fillColor(INK);
    root.add(
      page.struct("P", {}, () => {
        page.text(`${block.words} ${block.url}`, MARGIN + CODE_SIDE + 14, top + 8, {
          width: WIDTH - CODE_SIDE - 14,
        });
      }),
    );
    page.y = top + CODE_SIDE + 8;
    return;
  }
  const style = STYLES[block.kind];
  page
    .font(style.isBold ? "bold" : "regular")
    .fontSize(style.size)
    .fillColor(style.fill);
  room(page, page.heightOfString(block.text, { width: WIDTH }) + 6);
  if (block.kind === "heading") page.y += 6;
  const top = page.y;
  root.add(
    page.struct(style.tag, {}, () => {
      page.text(block.text, MARGIN, top, { width: WIDTH });
    }),
  );
  page.y += 4;
};

// The scope is part of the standard's table attributes; the type of the library lacks it.
const COLUMN_HEADING = { title: "Column", scope: "Column" };

const drawTable = (page: Page, root: Element, { headings, shares, rows }: Table): void => {
  const total = shares.reduce((sum, share) => sum + share, 0);
  const widths = shares.map((share) => (share / total) * WIDTH);
  const lefts = widths.map((_, index) =>
    widths.slice(0, index).reduce((sum, width) => sum + width, MARGIN),
  );
  const table = page.struct("Table");
  root.add(table);
  const line = (tag: "TH" | "TD", cells: readonly string[]): void => {
    page
      .font(tag === "TH" ? "bold" : "regular")
      .fontSize(8)
      .fillColor(INK);
    const height = Math.max(
      ...cells.map((cell, index) =>
        page.heightOfString(cell || " ", { width: (widths[index] ?? 0) - 6 }),
      ),
    );
    if (page.y + height > BOTTOM) {
      page.addPage();
      if (tag === "TD") line("TH", headings);
      page.font("regular").fontSize(8).fillColor(INK);
    }
    const top = page.y;
    const row = page.struct("TR");
    table.add(row);
    for (const [index, cell] of cells.entries())
      row.add(
        page.struct(tag, tag === "TH" ? COLUMN_HEADING : {}, () => {
          page.text(cell, lefts[index] ?? MARGIN, top, { width: (widths[index] ?? 0) - 6 });
        }),
      );
    row.end();
    page.y = top + height + 3;
  };
  line("TH", headings);
  for (const row of rows) line("TD", row);
  table.end();
  page.x = MARGIN;
  page.y += 4;
};

/** A tagged document with embedded fonts, for people and for screen readers. Reading order is the order given. */
export const taggedPage = (
  about: { readonly title: string; readonly author: string; readonly madeAtMs: number },
  blocks: readonly Block[],
): Promise<Uint8Array> => {
  const { page, root, finish } = openDocument({ ...about, marginPt: MARGIN });
  for (const block of blocks)
    if (block.kind === "table") drawTable(page, root, block.table);
    else draw(page, root, block);
  return finish();
};
