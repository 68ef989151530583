import type { OutlineShape } from "@heelward/domain/trim";
import { renderFilm } from "@heelward/radiograph/raster";
import type { Page } from "../../../print/open-document.ts";
import type { FootDrawing, FootOnPaper } from "./plan-sheet.ts";

export interface Box {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

interface XY {
  readonly x: number;
  readonly y: number;
}

const PICTURE_PX = 1600;
const MARGIN_MM = 8;
/** Room that a number takes each way. */
const BADGE = 7;

/** How a line looks without colour: its width, its dashes, and the white edge that lifts it off the film. */
interface Stroke {
  readonly width: number;
  readonly dash?: readonly [number, number];
  readonly edge: number;
}

const STROKES: Readonly<Partial<Record<OutlineShape["id"], Stroke>>> = {
  "trim-line": { width: 1.8, edge: 4 },
  bevel: { width: 1.8, edge: 4 },
  breakover: { width: 2, dash: [5, 3], edge: 4.4 },
  "wall-after": { width: 1, dash: [3, 2], edge: 2.6 },
  bone: { width: 0.7, dash: [1, 1.6], edge: 2.2 },
  shoe: { width: 1.2, edge: 2.8 },
  "frog-plate": { width: 2.2, dash: [1.5, 1.5], edge: 4.2 },
  fill: { width: 2.2, dash: [1.5, 1.5], edge: 4.2 },
};

/** What is numbered on the film, in the order of the key below it. */
const NUMBERED: readonly (readonly [OutlineShape["id"], string])[] = [
  ["trim-line", "new ground"],
  ["bevel", "bevel"],
  ["breakover", "breakover"],
  ["shoe", "shoe"],
  ["frog-plate", "frog plate"],
  ["fill", "support"],
];

/** The key of a film: which number is which line. */
export const filmKey = (drawing: FootDrawing): string =>
  NUMBERED.filter(([id]) => drawing.outline.lateral.some((shape) => shape.id === id))
    .map(([, words], index) => `${index + 1} ${words}`)
    .join("  ");

const trace = (page: Page, points: readonly XY[], isClosed: boolean): void => {
  const [first, ...rest] = points;
  if (first === undefined) return;
  page.moveTo(first.x, first.y);
  for (const point of rest) page.lineTo(point.x, point.y);
  if (isClosed) page.closePath();
};

const strokeShape = (page: Page, points: readonly XY[], isClosed: boolean, look: Stroke): void => {
  page.undash().lineWidth(look.edge).strokeColor("#ffffff");
  trace(page, points, isClosed);
  page.stroke();
  page.lineWidth(look.width).strokeColor("#000000");
  if (look.dash !== undefined) page.dash(look.dash[0], { space: look.dash[1] });
  trace(page, points, isClosed);
  page.stroke().undash();
};

const bounds = (points: readonly XY[]): Box => {
  const xs = points.map(({ x }) => x);
  const ys = points.map(({ y }) => y);
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  return { left, top, width: Math.max(...xs) - left, height: Math.max(...ys) - top };
};

const badge = (page: Page, text: string, at: XY): void => {
  page.circle(at.x, at.y, 6).lineWidth(0.8).fillAndStroke("#ffffff", "#000000");
  page.font("bold").fontSize(8.5).fillColor("#000000");
  page.text(text, at.x - 6, at.y - 5.4, { width: 12, align: "center", lineBreak: false });
};

/** The middle of a line, or the corner of an area that lies furthest from the others. */
const labelPlace = (shape: OutlineShape, points: readonly XY[]): XY => {
  const [first, second] = points;
  if (first === undefined) return { x: 0, y: 0 };
  if (shape.kind === "area" || shape.id === "breakover" || second === undefined) return first;
  return { x: (first.x + second.x) / 2, y: (first.y + second.y) / 2 };
};

/** Numbers that would cover each other stand side by side, inside the picture. */
const freeSpot = (taken: readonly XY[], wished: XY, box: Box): XY => {
  const inside = (x: number): XY => ({
    x: Math.min(box.left + box.width - BADGE, Math.max(box.left + BADGE, x)),
    y: Math.min(box.top + box.height - BADGE, Math.max(box.top + BADGE, wished.y)),
  });
  const steps = [0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5];
  const free = steps
    .map((step) => inside(wished.x + step * 2 * BADGE))
    .find((spot) =>
      taken.every((one) => Math.hypot(one.x - spot.x, one.y - spot.y) >= 2 * BADGE - 1),
    );
  return free ?? inside(wished.x);
};

/** The film, cut to the foot, with the plan over it: black lines with a white edge, so that it holds without colour. */
export const drawOnFilm = async (page: Page, drawing: FootDrawing, box: Box): Promise<void> => {
  const { film, place, outline } = drawing;
  const shapes = outline.lateral.map((shape) => ({ shape, points: shape.points.map(place) }));
  const seen = bounds([...shapes.flatMap((one) => one.points), ...drawing.landmarks]);
  const edge = 0.06 * Math.max(seen.width, seen.height);
  const k = Math.min(box.width / (seen.width + 2 * edge), box.height / (seen.height + 2 * edge));
  const middle = { x: seen.left + seen.width / 2, y: seen.top + seen.height / 2 };
  const at = ({ x, y }: XY): XY => ({
    x: box.left + box.width / 2 + (x - middle.x) * k,
    y: box.top + box.height / 2 + (y - middle.y) * k,
  });
  const jpeg = await renderFilm(film, { format: "jpeg", maxSidePx: PICTURE_PX });
  const corner = at({ x: -0.5, y: -0.5 });
  page.save();
  page.rect(box.left, box.top, box.width, box.height).clip();
  page.rect(box.left, box.top, box.width, box.height).fill("#000000");
  page.image(Buffer.from(jpeg), corner.x, corner.y, {
    width: film.widthPx * k,
    height: film.heightPx * k,
  });
  for (const { shape, points } of shapes) {
    const look = STROKES[shape.id];
    if (look === undefined) continue;
    const placed = points.map(at);
    if (shape.kind === "area") {
      page.fillOpacity(0.55).fillColor("#ffffff");
      trace(page, placed, true);
      page.fill().fillOpacity(1);
    }
    strokeShape(page, placed, shape.kind === "area", look);
  }
  const numbered = NUMBERED.flatMap(([id]) => {
    const found = shapes.find((one) => one.shape.id === id);
    return found === undefined ? [] : [found];
  });
  const kept: XY[] = [];
  for (const [index, { shape, points }] of numbered.entries()) {
    const spot = freeSpot(kept, labelPlace(shape, points.map(at)), box);
    kept.push(spot);
    badge(page, String(index + 1), spot);
  }
  page.restore();
  page
    .lineWidth(0.5)
    .strokeColor("#000000")
    .rect(box.left, box.top, box.width, box.height)
    .stroke();
};

/** Area that bears, as slanted lines: grey would vanish on a worn printer. */
const hatch = (page: Page, shape: OutlineShape, at: (point: XY) => XY, spacing: number): void => {
  const outer = shape.points.map(at);
  const hole = (shape.hole ?? []).map(at);
  const around = bounds(outer);
  page.save();
  trace(page, outer, true);
  trace(page, hole, true);
  page.clip("even-odd");
  page.lineWidth(0.6).strokeColor("#000000");
  for (let x = around.left - around.height; x < around.left + around.width; x += spacing)
    page
      .moveTo(x, around.top + around.height)
      .lineTo(x + around.height, around.top)
      .stroke();
  page.restore();
  page.lineWidth(0.9).strokeColor("#000000");
  trace(page, outer, true);
  page.stroke();
  if (hole.length > 0) {
    trace(page, hole, true);
    page.stroke();
  }
};

const HATCH_PT: Readonly<Partial<Record<OutlineShape["id"], number>>> = {
  bearing: 4,
  "frog-plate": 2.4,
  fill: 7,
};

/** The foot from below, toe upwards and to scale: what bears, breakover, and its distance from the frog tip. */
export const drawFromBelow = (
  page: Page,
  { outline }: Pick<FootDrawing, "outline">,
  { plan }: Pick<FootOnPaper, "plan">,
  box: Box,
): void => {
  const upright = ({ x, y }: XY): XY => ({ x: y, y: -x });
  const seen = bounds(outline.solar.flatMap((shape) => shape.points.map(upright)));
  const k = Math.min(
    box.width / (seen.width + 2 * MARGIN_MM),
    box.height / (seen.height + 2 * MARGIN_MM),
  );
  const middle = { x: seen.left + seen.width / 2, y: seen.top + seen.height / 2 };
  const at = (point: XY): XY => {
    const turned = upright(point);
    return {
      x: box.left + box.width / 2 + (turned.x - middle.x) * k,
      y: box.top + box.height / 2 + (turned.y - middle.y) * k,
    };
  };
  for (const shape of outline.solar)
    if (shape.kind === "area") hatch(page, shape, at, HATCH_PT[shape.id] ?? 5);
  for (const shape of outline.solar) {
    if (shape.kind !== "line" || shape.id === "breakover") continue;
    page.lineWidth(shape.id === "foot-after" ? 1.4 : 0.8).strokeColor("#000000");
    if (shape.id === "foot-now") page.dash(2, { space: 2 });
    trace(page, shape.points.map(at), false);
    page.stroke().undash();
  }
  const half = seen.width / 2;
  const breakover = plan.breakoverFromP3TipMm;
  strokeShape(page, [at({ x: breakover, y: -half }), at({ x: breakover, y: half })], false, {
    width: 2.2,
    dash: [5, 3],
    edge: 4.4,
  });
  const tip = at({ x: 0, y: 0 });
  page.circle(tip.x, tip.y, 2.4).fillAndStroke("#000000", "#ffffff");
  const frog = outline.solar.find((shape) => shape.id === "frog");
  const frogTipX = frog === undefined ? undefined : Math.max(...frog.points.map(({ x }) => x));
  if (frogTipX === undefined || plan.breakoverFromFrogTipMm === null) return;
  const side = -0.45 * half;
  const [from, to] = [at({ x: frogTipX, y: side }), at({ x: breakover, y: side })];
  strokeShape(page, [from, to], false, { width: 1.2, edge: 3 });
  for (const end of [from, to])
    strokeShape(
      page,
      [
        { x: end.x - 4, y: end.y },
        { x: end.x + 4, y: end.y },
      ],
      false,
      {
        width: 1.2,
        edge: 2.4,
      },
    );
  const text = `${String(Math.round(plan.breakoverFromFrogTipMm * 10) / 10)} mm`;
  page.font("bold").fontSize(11);
  const width = page.widthOfString(text);
  const y = (from.y + to.y) / 2;
  page.rect(from.x - width - 9, y - 7, width + 4, 14).fill("#ffffff");
  page.fillColor("#000000").text(text, from.x - width - 7, y - 6.5, { lineBreak: false });
};
