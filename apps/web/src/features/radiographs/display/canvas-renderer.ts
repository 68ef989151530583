import { levelFor, type Level } from "./pyramid.ts";
import type { Renderer, Scene } from "./scene.ts";
import { BACK, shadesOf } from "./shades.ts";

const paint = (level: Level, shades: Uint32Array): OffscreenCanvas | undefined => {
  const sheet = new OffscreenCanvas(level.width, level.height);
  const context = sheet.getContext("2d");
  if (context === null) return undefined;
  const image = context.createImageData(level.width, level.height);
  const out = new Uint32Array(image.data.buffer);
  for (let index = 0; index < out.length; index += 1)
    out[index] = shades[level.pixels[index] ?? 0] ?? 0;
  context.putImageData(image, 0, 0);
  return sheet;
};

/** The same picture without a graphics card: grey values through a table, drawn as an image. */
export const canvasRenderer = (
  canvas: HTMLCanvasElement,
  levels: readonly Level[],
  bitsStored: number,
): Renderer => {
  const context = canvas.getContext("2d", { alpha: false });
  const sheets = new Map<number, OffscreenCanvas>();
  let shown = "";
  const sheetFor = (index: number, scene: Scene): OffscreenCanvas | undefined => {
    const look = `${JSON.stringify(scene.window)}${String(scene.isInverted)}`;
    if (look !== shown) sheets.clear();
    shown = look;
    const known = sheets.get(index);
    const level = levels[index];
    if (known !== undefined || level === undefined) return known;
    const made = paint(level, shadesOf(bitsStored, scene));
    if (made !== undefined) sheets.set(index, made);
    return made;
  };
  const pass = (scene: Scene, density: number) => {
    const zoom = scene.view.zoom * density;
    const level = levelFor(zoom, levels.length);
    const sheet = sheetFor(level, scene);
    if (context === null || sheet === undefined) return;
    context.imageSmoothingEnabled = zoom < 7;
    context.drawImage(
      sheet,
      scene.view.offset.x * density,
      scene.view.offset.y * density,
      sheet.width * zoom * 2 ** level,
      sheet.height * zoom * 2 ** level,
    );
  };
  return {
    kind: "canvas",
    draw: (scene, size, density) => {
      if (context === null) return;
      const [width, height] = [Math.round(size.width * density), Math.round(size.height * density)];
      if (canvas.width !== width || canvas.height !== height) {
        canvas.width = width;
        canvas.height = height;
      }
      context.fillStyle = BACK;
      context.fillRect(0, 0, width, height);
      pass(scene, density);
    },
    dispose: () => sheets.clear(),
  };
};
