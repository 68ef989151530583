export { rasterTypeOf, readRaster, withoutMetadata } from "./read-raster.ts";
export { filmAsPng16, renderFilm, type RenderOptions } from "./render-film.ts";
