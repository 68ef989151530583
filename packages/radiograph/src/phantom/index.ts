export {
  dorsopalmarGeometry,
  type DorsopalmarGeometry,
  type DorsopalmarMeasures,
  type DorsopalmarTruth,
} from "./dorsopalmar-geometry.ts";
export type { PhantomGeometry, PhantomShape } from "./geometry.ts";
export { lateromedialGeometry, type LateromedialGeometry } from "./lateromedial-geometry.ts";
export type {
  LateromedialExtras,
  LateromedialMeasures,
  LateromedialTruth,
} from "./lateromedial-measures.ts";
export { frontPhantomFromMeasures, phantomFromMeasures } from "./phantom-from-measures.ts";
export { randomLateromedialMeasures } from "./random-measures.ts";
export { normalFrom, randomStream, type RandomStream } from "./random.ts";
export { defaultRenderOptions, type RenderOptions } from "./render-options.ts";
export { renderPhantom, type RenderedPhantom } from "./render-phantom.ts";
