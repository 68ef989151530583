import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { create, type Font } from "fontkit";

const require = createRequire(import.meta.url);
const FAMILY = "@expo-google-fonts/source-sans-3";

const load = (name: string): { readonly bytes: Buffer; readonly font: Font } => {
  const bytes = readFileSync(require.resolve(`${FAMILY}/${name}.ttf`));
  const font = create(bytes);
  if (!("layout" in font)) throw new Error(`${name} is a collection of fonts, not a font`);
  return { bytes, font };
};

/** Open Font License 1.1; embedded in pages and drawn as outlines in pictures, so no machine's own fonts matter. */
export const REGULAR = load("400Regular/SourceSans3_400Regular");
export const BOLD = load("700Bold/SourceSans3_700Bold");

/** Width of a text in the unit of `size`. */
export const textWidth = (font: Font, text: string, size: number): number =>
  (font.layout(text).advanceWidth * size) / font.unitsPerEm;

/** Breaks a text into lines no wider than `width`. */
export const wrap = (font: Font, text: string, size: number, width: number): readonly string[] => {
  const lines: string[] = [];
  let line = "";
  for (const word of text.split(/\s+/u)) {
    const longer = line === "" ? word : `${line} ${word}`;
    if (line !== "" && textWidth(font, longer, size) > width) {
      lines.push(line);
      line = word;
    } else line = longer;
  }
  return line === "" ? lines : [...lines, line];
};

/** A text as one SVG path with its baseline starting at x, y. */
export const textPath = (
  font: Font,
  text: string,
  place: { readonly x: number; readonly y: number; readonly size: number; readonly fill: string },
): string => {
  const scale = place.size / font.unitsPerEm;
  const run = font.layout(text);
  let advance = 0;
  const glyphs = run.glyphs.map((glyph, index) => {
    const position = run.positions[index];
    const at = advance + (position?.xOffset ?? 0);
    advance += position?.xAdvance ?? glyph.advanceWidth;
    const path = glyph.path.toSVG();
    return path === "" ? "" : `<path transform="translate(${at} 0)" d="${path}"/>`;
  });
  return `<g fill="${place.fill}" transform="translate(${place.x} ${place.y}) scale(${scale} ${-scale})">${glyphs.join("")}</g>`;
};
