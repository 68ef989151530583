import type { Film } from "../film/film.ts";
import { blurred, boxBlurred, type Plane } from "./filters.ts";
import type { PhantomGeometry, PhantomShape } from "./geometry.ts";
import { normalFrom, randomStream, type RandomStream } from "./random.ts";
import { coverageOf, depthGrid } from "./raster-fill.ts";
import { defaultRenderOptions, type RenderOptions } from "./render-options.ts";
import { unit, type Point } from "./shapes.ts";

/** A rendered phantom: the film, and where the truth lies on it. */
export interface RenderedPhantom<Key extends string, Truth> {
  readonly film: Film;
  /** Pixel centres lie at whole numbers; (0, 0) is the centre of the top left pixel. */
  readonly landmarksPx: Readonly<Record<Key, Point>>;
  readonly landmarksMm: Readonly<Record<Key, Point>>;
  /** Millimetres in the plane of the foot that one pixel spans. */
  readonly mmPerPx: number;
  readonly truth: Truth;
}

/** Object millimetres to pixel-edge coordinates, where the top left pixel spans 0…1. */
type Projection = (point: Point, sideways: number) => Point;

const projectionOf = (centre: Point, options: RenderOptions): Projection => {
  const pxPerMm = options.magnification / options.detectorPitchMm;
  const flip = options.pointsTo === "right" ? 1 : -1;
  const turn = (options.obliquityDegrees * Math.PI) / 180;
  const tilt = unit(options.tiltDegrees);
  return (point, sideways) => {
    const x = flip * ((point.x - centre.x) * Math.cos(turn) + sideways * Math.sin(turn));
    const y = point.y - centre.y;
    return {
      x: options.widthPx / 2 + pxPerMm * (x * tilt.x - y * tilt.y),
      y: options.heightPx / 2 - pxPerMm * (x * tilt.y + y * tilt.x),
    };
  };
};

/** Trabecular bone: a coarse random field, read between its points. */
const boneTexture = (random: RandomStream, side: number): Float32Array =>
  Float32Array.from({ length: side * side }, () => random() - 0.5);

const textureSide = 128;
const textureMask = textureSide - 1;
const texturePitchPx = 4;

const textureAt = (texture: Float32Array, x: number, y: number): number => {
  const u = x / texturePitchPx;
  const v = y / texturePitchPx;
  const column = Math.floor(u);
  const row = Math.floor(v);
  const fx = u - column;
  const fy = v - row;
  const at = (c: number, r: number): number =>
    texture[(r & textureMask) * textureSide + (c & textureMask)]!;
  const top = at(column, row) * (1 - fx) + at(column + 1, row) * fx;
  const bottom = at(column, row + 1) * (1 - fx) + at(column + 1, row + 1) * fx;
  return top * (1 - fy) + bottom * fy;
};

interface Canvas {
  readonly plane: Plane;
  readonly pxPerMm: number;
  readonly texture: Float32Array;
}

/** Share of a bone's brightness by which its texture varies. */
const textureStrength = 0.05;

const paint = (
  canvas: Canvas,
  shape: PhantomShape,
  outlinePx: readonly Point[],
  weight: number,
): void => {
  const { widthPx, heightPx, values } = canvas.plane;
  const filled = coverageOf(outlinePx, widthPx, heightPx);
  if (filled === undefined) return;
  const { box, coverage } = filled;
  const hasDepth = shape.depth !== 0;
  const grid = hasDepth
    ? depthGrid(outlinePx, filled, shape.fullDepthMm * canvas.pxPerMm)
    : undefined;
  const hasTexture = shape.layer === "bone" && shape.step > 0;
  const width = box.right - box.left;
  for (let y = box.top; y < box.bottom; y += 1) {
    const row = y - box.top;
    const gridRow = grid === undefined ? 0 : Math.floor(row / grid.stepPx);
    const fy = grid === undefined ? 0 : row / grid.stepPx - gridRow;
    for (let x = box.left; x < box.right; x += 1) {
      const covered = coverage[row * width + x - box.left]!;
      if (covered === 0) continue;
      let brightness = shape.step;
      if (grid !== undefined) {
        const u = (x - box.left) / grid.stepPx;
        const column = Math.floor(u);
        const fx = u - column;
        const base = gridRow * grid.columns + column;
        const { at, columns } = grid;
        const depth =
          (at[base]! * (1 - fx) + at[base + 1]! * fx) * (1 - fy) +
          (at[base + columns]! * (1 - fx) + at[base + columns + 1]! * fx) * fy;
        if (depth > 0) brightness += shape.depth * depth;
      }
      if (hasTexture) brightness += textureStrength * textureAt(canvas.texture, x, y);
      const index = y * widthPx + x;
      values[index] = values[index]! + weight * covered * brightness;
    }
  }
};

const paintShape = (canvas: Canvas, shape: PhantomShape, project: Projection): void => {
  const spread = shape.spreadMm;
  if (spread === undefined) {
    paint(
      canvas,
      shape,
      shape.outline.map((point) => project(point, 0)),
      1,
    );
    return;
  }
  for (const side of [-1, 1]) {
    const outline = shape.outline.map((point, index) =>
      project(point, side * (spread[index] ?? 0)),
    );
    paint(canvas, shape, outline, 0.5);
  }
};

const sharpened = (plane: Plane, strength: number, reachPx: number): Plane => {
  if (strength <= 0) return plane;
  const smooth = boxBlurred(plane, reachPx).values;
  const values = plane.values;
  const out = new Float32Array(values.length);
  for (let index = 0; index < values.length; index += 1) {
    out[index] = values[index]! + strength * (values[index]! - smooth[index]!);
  }
  return { ...plane, values: out };
};

const background = 0.07;

const noiseTableBits = 15;

/** Adds scatter, saturates softly, adds noise and counts in whole grey levels. */
const exposed = (plane: Plane, options: RenderOptions, random: RandomStream): Uint16Array => {
  const { widthPx, heightPx, values } = plane;
  const table = Float32Array.from({ length: 2 ** noiseTableBits }, () => normalFrom(random));
  const top = 2 ** options.bitsStored - 1;
  const pixels = new Uint16Array(values.length);
  let state = (options.seed * 2_654_435_761) | 1;
  for (let y = 0; y < heightPx; y += 1) {
    for (let x = 0; x < widthPx; x += 1) {
      const index = y * widthPx + x;
      const scatter = options.scatter * ((x / widthPx) * 0.6 + (y / heightPx) * 0.4 - 0.5);
      const light = background + values[index]! + scatter;
      // Detectors fade out rather than clip: straight up to 0.8, then bending towards 1.
      const shown = light < 0.8 ? light : 1 - 0.2 * Math.exp(-(light - 0.8) / 0.2);
      state ^= state << 13;
      state ^= state >>> 17;
      state ^= state << 5;
      const noise = table[state >>> (32 - noiseTableBits)]! * options.noise;
      const level = (shown + noise) * top + 0.5;
      pixels[index] = level <= 0 ? 0 : level >= top ? top : level;
    }
  }
  return pixels;
};

const enhancementReachMm = 1.3;

/**
 * Renders a phantom as a film: anti-aliased outlines, thickness, bone texture, blur, edge
 * enhancement, scatter and seeded noise. The same geometry and options give the same film.
 */
export const renderPhantom = <Key extends string, Truth>(
  geometry: PhantomGeometry<Key, Truth>,
  choices: Partial<RenderOptions> = {},
): RenderedPhantom<Key, Truth> => {
  const options: RenderOptions = { ...defaultRenderOptions, ...choices };
  const { widthPx, heightPx, detectorPitchMm, magnification } = options;
  const random = randomStream(options.seed);
  const pxPerMm = magnification / detectorPitchMm;
  const project = projectionOf(geometry.centreMm, options);
  const texture = boneTexture(random, textureSide);
  const plane: Plane = { widthPx, heightPx, values: new Float32Array(widthPx * heightPx) };
  for (const shape of geometry.shapes) paintShape({ plane, pxPerMm, texture }, shape, project);
  const enhanced = sharpened(plane, options.enhancement, Math.round(enhancementReachMm * pxPerMm));
  const pixels = exposed(blurred(enhanced, options.blurPx), options, random);
  const landmarks = Object.entries(geometry.landmarksMm) as [Key, Point][];
  return {
    film: {
      source: "phantom",
      widthPx,
      heightPx,
      bitsStored: options.bitsStored,
      pixels,
      spacing: {
        atDetector: { rowMm: detectorPitchMm, columnMm: detectorPitchMm },
        magnification,
      },
      tags: {},
    },
    landmarksPx: Object.fromEntries(
      landmarks.map(([key, point]) => {
        const edge = project(point, 0);
        return [key, { x: edge.x - 0.5, y: edge.y - 0.5 }];
      }),
    ) as Record<Key, Point>,
    landmarksMm: geometry.landmarksMm,
    mmPerPx: 1 / pxPerMm,
    truth: geometry.truth,
  };
};
