import type { Bytes } from "../../../http/route.ts";
import type { Work } from "../../../http/work.ts";
import { drawCode } from "../../../print/draw-code.ts";
import { openDocument, type Element, type Page } from "../../../print/open-document.ts";
import { drawFromBelow, drawOnFilm, filmKey, type Box } from "./plan-drawings.ts";
import { readPlanSheet, type FootOnPaper, type PlanSheet } from "./plan-sheet.ts";

const MARGIN = 28;
const GAP = 6;
const CODE_SIDE = 70;
/** From the largest type that could fit to the smallest that an arm's length allows. */
const SIZES = [1.12, 1.06, 1, 0.94, 0.88, 0.82, 0.76, 0.7] as const;
const BLACK = "#000000";

/** The scope is part of the standard's table attributes; the type of the library lacks it. */
const COLUMN_HEADING = { title: "Column", scope: "Column" };
const ROW_HEADING = { title: "Row", scope: "Row" };

interface Pen {
  readonly page: Page;
  readonly root: Element;
  readonly width: number;
  /** What every size of type is multiplied by. */
  readonly size: number;
}

/** A part of the page that knows how much room it takes before it is drawn. */
interface Part {
  readonly height: number;
  readonly draw: (top: number) => Promise<void> | void;
}

interface TextLook {
  readonly size: number;
  readonly bold?: boolean;
  readonly tag?: string;
  readonly left?: number;
  readonly width?: number;
  readonly align?: "left" | "right" | "center";
}

const dress = ({ page, size }: Pen, look: TextLook): void => {
  page
    .font(look.bold === true ? "bold" : "regular")
    .fontSize(look.size * size)
    .fillColor(BLACK);
};

const heightOf = (pen: Pen, text: string, look: TextLook): number => {
  dress(pen, look);
  return pen.page.heightOfString(text, { width: look.width ?? pen.width });
};

const write = (pen: Pen, parent: Element, text: string, top: number, look: TextLook): void => {
  parent.add(
    pen.page.struct(look.tag ?? "P", {}, () => {
      dress(pen, look);
      pen.page.text(text, look.left ?? MARGIN, top, {
        width: look.width ?? pen.width,
        ...(look.align === undefined ? {} : { align: look.align }),
      });
    }),
  );
};

const paragraph = (pen: Pen, text: string, look: TextLook): Part => ({
  height: heightOf(pen, text, look),
  draw: (top) => write(pen, pen.root, text, top, look),
});

/** Something drawn that says nothing a reader must hear: lines, boxes, the mark across the page. */
const decorate = (page: Page, draw: () => void): void => {
  page.markContent("Artifact", { type: "Layout" });
  draw();
  page.endMarkedContent();
};

const headPart = (pen: Pen, sheet: PlanSheet): Part => {
  const left = { size: 17, bold: true, tag: "H1", width: pen.width * 0.66 };
  const contact = `${sheet.practiceName}\n${sheet.phone}`;
  const right: TextLook = {
    size: 12,
    bold: true,
    left: MARGIN + pen.width * 0.68,
    width: pen.width * 0.32,
    align: "right",
  };
  return {
    height: Math.max(heightOf(pen, sheet.title, left), heightOf(pen, contact, right)),
    draw: (top) => {
      write(pen, pen.root, sheet.title, top, left);
      write(pen, pen.root, contact, top, right);
    },
  };
};

const standingPart = (pen: Pen, sheet: PlanSheet): Part => {
  const isBarred = sheet.watermark !== null;
  const look = {
    size: isBarred ? 14 : 10.5,
    bold: true,
    left: MARGIN + 8,
    width: pen.width - 16,
  };
  const height = heightOf(pen, sheet.standing, look) + 8;
  return {
    height,
    draw: (top) => {
      decorate(pen.page, () =>
        pen.page
          .lineWidth(isBarred ? 3 : 0.8)
          .strokeColor(BLACK)
          .rect(MARGIN + 1.5, top, pen.width - 3, height)
          .stroke(),
      );
      write(pen, pen.root, sheet.standing, top + 4, look);
    },
  };
};

const doNotsPart = (pen: Pen, doNots: readonly string[]): Part => {
  const isPaired = doNots.length > 1 && doNots.every((one) => one.length < 60);
  const columns = isPaired ? 2 : 1;
  const width = pen.width / columns - GAP;
  const look: TextLook = { size: 11, bold: true, width, tag: "LI" };
  const lines = doNots.map((one) => `× ${one}`);
  const rows = Array.from({ length: Math.ceil(lines.length / columns) }, (_, row) =>
    lines.slice(row * columns, (row + 1) * columns),
  );
  const heights = rows.map((row) => Math.max(...row.map((one) => heightOf(pen, one, look))));
  return {
    height: heights.reduce((sum, one) => sum + one, 0),
    draw: (top) => {
      const list = pen.page.struct("L");
      pen.root.add(list);
      let at = top;
      for (const [index, row] of rows.entries()) {
        for (const [column, line] of row.entries())
          write(pen, list, line, at, { ...look, left: MARGIN + column * (width + GAP) });
        at += heights[index] ?? 0;
      }
      list.end();
    },
  };
};

/** Heading, large figures and drawings of one foot in its column. */
const drawFoot = async (
  pen: Pen,
  foot: FootOnPaper,
  column: Box,
  drawingHeight: number,
  isAlone: boolean,
): Promise<void> => {
  const { page, root, size } = pen;
  const inner = { left: column.left + 5, width: column.width - 10 };
  let top = column.top + 3;
  decorate(page, () =>
    page
      .lineWidth(0.9)
      .strokeColor(BLACK)
      .rect(column.left, column.top, column.width, column.height)
      .stroke(),
  );
  write(pen, root, foot.name, top, { size: 13, bold: true, tag: "H2", ...inner });
  top += 17 * size;
  const isNarrow = inner.width < 190;
  const share = isNarrow ? inner.width : inner.width / foot.large.length;
  for (const [index, one] of foot.large.entries()) {
    const left = isNarrow ? inner.left : inner.left + index * share;
    const line = top + (isNarrow ? index * 30 * size : 0);
    write(pen, root, one.label, line, { size: 8.5, left, width: share - 2 });
    write(pen, root, one.value, line + 10 * size, { size: 20, bold: true, left, width: share - 2 });
  }
  top += (isNarrow ? 3 * 30 + 6 : 37) * size;
  const { drawing } = foot;
  if (drawing === null) {
    write(pen, root, foot.noDrawing, top, { size: 10, ...inner });
    return;
  }
  const key = filmKey(drawing);
  const keyHeight = 11 * size;
  const filmBox: Box = isAlone
    ? { left: inner.left, top, width: inner.width * 0.6, height: drawingHeight - keyHeight }
    : { ...inner, top, height: drawingHeight * 0.52 - keyHeight };
  const belowBox: Box = isAlone
    ? {
        left: inner.left + inner.width * 0.6 + GAP,
        top,
        width: inner.width * 0.4 - GAP,
        height: drawingHeight - keyHeight,
      }
    : { ...inner, top: top + drawingHeight * 0.52, height: drawingHeight * 0.48 - keyHeight };
  const figure = async (alt: string, box: Box, draw: () => Promise<void> | void) => {
    // The box is part of the standard's layout attributes; the type of the library lacks it.
    const about = {
      alt,
      bbox: [box.left, box.top, box.left + box.width, box.top + box.height],
    };
    const content = page.markStructureContent("Figure");
    await draw();
    page.endMarkedContent();
    const element = page.struct("Figure", about, [content]);
    root.add(element);
    element.end();
  };
  await figure(`${foot.name}: the film with the plan drawn over it. ${key}`, filmBox, () =>
    drawOnFilm(page, drawing, filmBox),
  );
  write(pen, root, key, filmBox.top + filmBox.height + 1, {
    size: 8,
    left: filmBox.left,
    width: filmBox.width,
  });
  const belowKey = "hatched: bears; broken line: breakover; dot: tip of P3";
  await figure(
    `${foot.name} from below, to scale: what bears is hatched, breakover is the broken line, the dot is the tip of P3.`,
    belowBox,
    () => drawFromBelow(page, drawing, foot, belowBox),
  );
  write(pen, root, belowKey, belowBox.top + belowBox.height + 1, {
    size: 8,
    left: belowBox.left,
    width: belowBox.width,
  });
};

const feetPart = (pen: Pen, sheet: PlanSheet, drawingHeight: number): Part => {
  const count = sheet.feet.length;
  const width = (pen.width - GAP * (count - 1)) / count;
  const isNarrow = width - 10 < 190;
  const head = (17 + (isNarrow ? 96 : 37)) * pen.size;
  const height = head + drawingHeight + 8;
  return {
    height,
    draw: async (top) => {
      for (const [index, foot] of sheet.feet.entries())
        // Each foot is drawn onto the same page.
        // oxlint-disable-next-line no-await-in-loop
        await drawFoot(
          pen,
          foot,
          { left: MARGIN + index * (width + GAP), top, width, height },
          drawingHeight,
          count === 1,
        );
    },
  };
};

const tablePart = (pen: Pen, sheet: PlanSheet): Part => {
  const { page } = pen;
  const labelWidth = Math.min(170, pen.width * 0.3);
  const cellWidth = (pen.width - labelWidth) / sheet.feet.length;
  const lookOf = (index: number, isHead: boolean): TextLook => ({
    size: 9.5,
    bold: isHead || index === 0,
    left: MARGIN + (index === 0 ? 0 : labelWidth + (index - 1) * cellWidth) + 2,
    width: (index === 0 ? labelWidth : cellWidth) - 4,
  });
  const rows = [["mm and degrees", ...sheet.feet.map((foot) => foot.name)], ...sheet.table];
  const heights = rows.map(
    (row, at) =>
      Math.max(...row.map((cell, index) => heightOf(pen, cell || " ", lookOf(index, at === 0)))) +
      1.5,
  );
  return {
    height: heights.reduce((sum, one) => sum + one, 0),
    draw: (top) => {
      const table = page.struct("Table");
      pen.root.add(table);
      let at = top;
      for (const [number, row] of rows.entries()) {
        const height = heights[number] ?? 0;
        const line = page.struct("TR");
        table.add(line);
        for (const [index, cell] of row.entries()) {
          const isHead = number === 0 || index === 0;
          const scope = number === 0 ? COLUMN_HEADING : ROW_HEADING;
          const y = at;
          line.add(
            page.struct(isHead ? "TH" : "TD", isHead ? scope : {}, () => {
              const look = lookOf(index, number === 0);
              dress(pen, look);
              page.text(cell, look.left, y, { width: look.width ?? cellWidth });
            }),
          );
        }
        line.end();
        at += height;
        const under = at - 1;
        decorate(page, () =>
          page
            .lineWidth(number === 0 ? 0.9 : 0.25)
            .strokeColor(BLACK)
            .moveTo(MARGIN, under)
            .lineTo(MARGIN + pen.width, under)
            .stroke(),
        );
      }
      table.end();
    },
  };
};

const footPart = (pen: Pen, sheet: PlanSheet): Part => {
  const textWidth = pen.width - CODE_SIDE - 12;
  const small: TextLook = { size: 9, width: textWidth };
  const lines = [
    ...sheet.lines.map(([label, text]) => `${label}: ${text}`),
    ...sheet.cautions,
    sheet.provenance,
  ];
  const looks = lines.map((_, index): TextLook => ({
    ...small,
    bold: index < 1,
    size: index < sheet.lines.length ? 9.5 : index === lines.length - 1 ? 7.5 : 8.5,
  }));
  const heights = lines.map((line, index) => heightOf(pen, line, looks[index] ?? small) + 1);
  const text = heights.reduce((sum, one) => sum + one, 0);
  return {
    height: Math.max(text, CODE_SIDE + 12),
    draw: (top) => {
      let at = top;
      for (const [index, line] of lines.entries()) {
        write(pen, pen.root, line, at, looks[index] ?? small);
        at += heights[index] ?? 0;
      }
      const left = MARGIN + pen.width - CODE_SIDE;
      const about = {
        alt: `QR code of ${sheet.caseUrl}`,
        bbox: [left, top, left + CODE_SIDE, top + CODE_SIDE],
      };
      pen.root.add(
        pen.page.struct("Figure", about, () => {
          drawCode(pen.page, sheet.caseUrl, { left, top, side: CODE_SIDE });
        }),
      );
      write(pen, pen.root, "Back to the case", top + CODE_SIDE + 1, {
        size: 8,
        left,
        width: CODE_SIDE,
        align: "center",
      });
    },
  };
};

/** Across the page, so that no copy or photo of it can be taken for a plan in force. */
const stampWatermark = ({ page }: Pen, text: string): void => {
  const { width, height } = page.page;
  decorate(page, () => {
    page.save();
    page.rotate(-52, { origin: [width / 2, height / 2] });
    page.font("bold").fontSize(text.length > 12 ? 66 : 92);
    const wide = page.widthOfString(text);
    page.fillColor(BLACK).fillOpacity(0.2);
    page.text(text, (width - wide) / 2, height / 2 - 40, { lineBreak: false });
    page.restore();
  });
};

const LEAST_DRAWING = { alone: 150, paired: 250, many: 170 } as const;
const MOST_DRAWING = { alone: 300, paired: 420, many: 300 } as const;

const partsAt = (pen: Pen, sheet: PlanSheet, drawingHeight: number): readonly Part[] => [
  headPart(pen, sheet),
  standingPart(pen, sheet),
  paragraph(pen, sheet.aim, { size: 12.5 }),
  ...(sheet.doNots.length === 0 ? [] : [doNotsPart(pen, sheet.doNots)]),
  feetPart(pen, sheet, drawingHeight),
  tablePart(pen, sheet),
  footPart(pen, sheet),
];

const heightOfAll = (parts: readonly Part[]): number =>
  parts.reduce((sum, part) => sum + part.height + GAP, -GAP);

/** The largest type at which everything fits one page, with the drawings as large as room is left. */
const fit = (
  pen: Omit<Pen, "size">,
  sheet: PlanSheet,
  room: number,
): { readonly pen: Pen; readonly parts: readonly Part[] } => {
  const kind = sheet.feet.length === 1 ? "alone" : sheet.feet.length === 2 ? "paired" : "many";
  const least = sheet.feet.every((foot) => foot.drawing === null) ? 20 : LEAST_DRAWING[kind];
  const most = sheet.feet.every((foot) => foot.drawing === null) ? 20 : MOST_DRAWING[kind];
  for (const size of SIZES) {
    const sized = { ...pen, size };
    const left = room - heightOfAll(partsAt(sized, sheet, least));
    if (left >= 0 || size === SIZES.at(-1))
      return {
        pen: sized,
        parts: partsAt(sized, sheet, Math.min(most, least + Math.max(0, left))),
      };
  }
  throw new RangeError("there is no size of type");
};

/** A plan on one page: what to cut, both drawings, cautions, whom to ring, and a code back to the case. */
const writePlanPage = async (
  sheet: PlanSheet,
  paper: "A4" | "Letter",
  madeAtMs: number,
): Promise<Uint8Array> => {
  const { page, root, finish } = openDocument({
    title: sheet.title,
    author: sheet.practiceName,
    madeAtMs,
    marginPt: MARGIN,
    paper,
  });
  const bottom = page.page.height - MARGIN;
  // Texts are placed by their own heights; the library must not break the page before its last line.
  page.page.margins.bottom = 0;
  const { pen, parts } = fit(
    { page, root, width: page.page.width - 2 * MARGIN },
    sheet,
    bottom - MARGIN,
  );
  let top = MARGIN;
  for (const part of parts) {
    // Only a plan with pages of notes runs over, and then nothing of it is left out.
    if (top + part.height > bottom + 1 && top > MARGIN) {
      page.addPage();
      page.page.margins.bottom = 0;
      top = MARGIN;
    }
    // Parts follow each other down the page.
    // oxlint-disable-next-line no-await-in-loop
    await part.draw(top);
    top += part.height + GAP;
  }
  if (sheet.watermark !== null) stampWatermark(pen, sheet.watermark);
  return finish();
};

/** The page of a plan, drawn from the record as it stands now. */
export const planPage = async (
  work: Work,
  id: string,
  { paper, publicUrl }: { readonly paper: "A4" | "Letter"; readonly publicUrl: string },
): Promise<Bytes> => {
  const sheet = await readPlanSheet(work, id, publicUrl);
  return {
    bytes: await writePlanPage(sheet, paper, work.nowMs),
    mediaType: "application/pdf",
    fileName: `${sheet.title.replaceAll(/[^\p{L}\p{N}]+/gu, "-").toLowerCase()}.pdf`,
  };
};
