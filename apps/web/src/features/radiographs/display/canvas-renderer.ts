import { windowTable } from "@heelward/radiograph/display";
import type { FilmWindow } from "@heelward/radiograph/film";
import { levelFor, type Level } from "./pyramid.ts";
import { isSameFilm, type Loupe, type Renderer, type Scene } from "./scene.ts";

const BACK = "#0e0d0c";

const shadesOf = (bitsStored: number, window: FilmWindow, isInverted: boolean): Uint32Array => {
  const table = windowTable(bitsStored, window);
  return Uint32Array.from(table, (shade) => {
    const grey = isInverted ? 255 - shade : shade;
    return ((255 << 24) | (grey << 16) | (grey << 8) | grey) >>> 0;
  });
};

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
  let drawn: Scene | undefined;
  const sheetFor = (index: number, scene: Scene): OffscreenCanvas | undefined => {
    const look = `${JSON.stringify(scene.window)}${String(scene.isInverted)}`;
    if (look !== shown) sheets.clear();
    shown = look;
    const known = sheets.get(index);
    const level = levels[index];
    if (known !== undefined || level === undefined) return known;
    const made = paint(level, shadesOf(bitsStored, scene.window, scene.isInverted));
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
      const isSameSize = canvas.width === width && canvas.height === height;
      if (!isSameSize) {
        canvas.width = width;
        canvas.height = height;
      }
      context.fillStyle = BACK;
      const { loupe } = scene;
      const film = () => {
        context.fillRect(0, 0, width, height);
        pass(scene, density);
      };
      const inBox = ({ x, y, size: side }: Loupe, act: () => void) => {
        context.save();
        context.beginPath();
        context.rect(x * density, y * density, side * density, side * density);
        context.clip();
        act();
        context.restore();
      };
      // While a mark is dragged only the loupe is drawn again; the film stays.
      if (!isSameSize || !isSameFilm(drawn, scene)) film();
      else if (
        drawn?.loupe !== undefined &&
        (drawn.loupe.x !== loupe?.x || drawn.loupe.y !== loupe.y)
      )
        inBox(drawn.loupe, film);
      if (loupe !== undefined)
        inBox(loupe, () => {
          context.fillRect(0, 0, width, height);
          context.translate(loupe.x * density, loupe.y * density);
          pass({ ...scene, view: loupe.view }, density);
        });
      drawn = scene;
    },
    dispose: () => sheets.clear(),
  };
};
