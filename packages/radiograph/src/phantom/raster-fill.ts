import type { Point } from "./shapes.ts";

/** A rectangle of pixels, `left` and `top` inclusive, `right` and `bottom` exclusive. */
interface PixelBox {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** A filled polygon: the box around it and the covered share of each pixel in the box. */
export interface FilledArea {
  readonly box: PixelBox;
  readonly coverage: Float32Array;
}

const clipAgainst = (
  points: readonly Point[],
  isInside: (point: Point) => boolean,
  cut: (a: Point, b: Point) => Point,
): readonly Point[] => {
  const kept: Point[] = [];
  points.forEach((point, index) => {
    const before = points.at(index - 1)!;
    if (isInside(point) !== isInside(before)) kept.push(cut(before, point));
    if (isInside(point)) kept.push(point);
  });
  return kept;
};

/** The part of a polygon inside the picture (Sutherland & Hodgman). */
const clipped = (
  outline: readonly Point[],
  widthPx: number,
  heightPx: number,
): readonly Point[] => {
  const cutX = (x: number) => (a: Point, b: Point) => ({
    x,
    y: a.y + ((b.y - a.y) * (x - a.x)) / (b.x - a.x),
  });
  const cutY = (y: number) => (a: Point, b: Point) => ({
    x: a.x + ((b.x - a.x) * (y - a.y)) / (b.y - a.y),
    y,
  });
  const left = clipAgainst(outline, ({ x }) => x >= 0, cutX(0));
  const right = clipAgainst(left, ({ x }) => x <= widthPx, cutX(widthPx));
  const top = clipAgainst(right, ({ y }) => y >= 0, cutY(0));
  return clipAgainst(top, ({ y }) => y <= heightPx, cutY(heightPx));
};

const spreadOverRow = (
  row: Float32Array,
  offset: number,
  x0: number,
  x1: number,
  cover: number,
): void => {
  const low = Math.min(x0, x1);
  const high = Math.max(x0, x1);
  const first = Math.floor(low);
  const last = Math.floor(high);
  if (first === last) {
    const part = cover * (1 - ((low + high) / 2 - first));
    row[offset + first] = row[offset + first]! + part;
    row[offset + first + 1] = row[offset + first + 1]! + cover - part;
    return;
  }
  const perPixel = cover / (high - low);
  let done = 0;
  for (let x = first; x <= last; x += 1) {
    const from = Math.max(low, x);
    const to = Math.min(high, x + 1);
    const share = perPixel * (to - from);
    const part = share * (1 - ((from + to) / 2 - x));
    row[offset + x] = row[offset + x]! + part + done;
    done = share - part;
  }
  row[offset + last + 1] = row[offset + last + 1]! + done;
};

/**
 * Exact share of each pixel that a polygon covers, by signed-area accumulation, so that an edge
 * lies where the outline says to a small fraction of a pixel. Pixel (0, 0) spans 0…1; winding
 * does not matter. Returns nothing where the polygon misses the picture.
 */
export const coverageOf = (
  outline: readonly Point[],
  widthPx: number,
  heightPx: number,
): FilledArea | undefined => {
  const points = clipped(outline, widthPx, heightPx);
  if (points.length < 3) return undefined;
  const xs = points.map(({ x }) => x);
  const ys = points.map(({ y }) => y);
  const box = {
    left: Math.floor(Math.min(...xs)),
    top: Math.floor(Math.min(...ys)),
    right: Math.min(widthPx, Math.ceil(Math.max(...xs)) + 1),
    bottom: Math.min(heightPx, Math.ceil(Math.max(...ys)) + 1),
  };
  const stride = box.right - box.left + 2;
  const rows = box.bottom - box.top;
  const sums = new Float32Array(stride * (rows + 1));
  points.forEach((end, index) => {
    const start = points.at(index - 1)!;
    if (start.y === end.y) return;
    const direction = start.y < end.y ? 1 : -1;
    const upper = direction === 1 ? start : end;
    const lower = direction === 1 ? end : start;
    const slope = (lower.x - upper.x) / (lower.y - upper.y);
    const firstRow = Math.floor(upper.y);
    const lastRow = Math.min(Math.ceil(lower.y), box.top + rows);
    for (let row = firstRow; row < lastRow; row += 1) {
      const from = Math.max(upper.y, row);
      const to = Math.min(lower.y, row + 1);
      const x0 = upper.x + (from - upper.y) * slope - box.left;
      const x1 = upper.x + (to - upper.y) * slope - box.left;
      spreadOverRow(sums, (row - box.top) * stride, x0, x1, direction * (to - from));
    }
  });
  const width = box.right - box.left;
  const coverage = new Float32Array(width * rows);
  for (let row = 0; row < rows; row += 1) {
    let sum = 0;
    for (let x = 0; x < width; x += 1) {
      sum += sums[row * stride + x]!;
      coverage[row * width + x] = Math.min(1, Math.abs(sum));
    }
  }
  return { box, coverage };
};

const distanceToOutline = (x: number, y: number, outline: readonly Point[]): number => {
  let best = Number.POSITIVE_INFINITY;
  let previous = outline.at(-1)!;
  for (const point of outline) {
    const dx = point.x - previous.x;
    const dy = point.y - previous.y;
    const lengthSquared = dx * dx + dy * dy;
    const t =
      lengthSquared === 0 ? 0 : ((x - previous.x) * dx + (y - previous.y) * dy) / lengthSquared;
    const along = Math.min(1, Math.max(0, t));
    const ex = previous.x + along * dx - x;
    const ey = previous.y + along * dy - y;
    const distanceSquared = ex * ex + ey * ey;
    if (distanceSquared < best) best = distanceSquared;
    previous = point;
  }
  return Math.sqrt(best);
};

const gridStepPx = 12;

/**
 * How deep each point of a coarse grid lies: 0 at the outline, 1 at `fullDepthPx` and beyond,
 * negative outside. Thickness changes slowly, so a coarse grid read between its points is enough.
 */
export const depthGrid = (
  outline: readonly Point[],
  { box, coverage }: FilledArea,
  fullDepthPx: number,
): { readonly at: Float32Array; readonly columns: number; readonly stepPx: number } => {
  const columns = Math.ceil((box.right - box.left) / gridStepPx) + 2;
  const rows = Math.ceil((box.bottom - box.top) / gridStepPx) + 2;
  const at = new Float32Array(columns * rows);
  for (let row = 0; row < rows; row += 1) {
    for (let column = 0; column < columns; column += 1) {
      const x = box.left + column * gridStepPx;
      const y = box.top + row * gridStepPx;
      const share = Math.min(1, distanceToOutline(x, y, outline) / fullDepthPx);
      const depth = 1 - (1 - share) * (1 - share);
      const width = box.right - box.left;
      const covered =
        x < box.right && y < box.bottom ? coverage[(y - box.top) * width + x - box.left]! : 0;
      at[row * columns + column] = covered >= 0.5 ? depth : -depth;
    }
  }
  return { at, columns, stepPx: gridStepPx };
};
