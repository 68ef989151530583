export {
  defaultEdgeSearch,
  type EdgePolarity,
  type EdgeSearch,
  type FilmPoint,
} from "./profile.ts";
export {
  type EdgeSample,
  type NotMovedReason,
  type RefinedLine,
  type RefinedPoint,
  refineLine,
  refinePoint,
} from "./refine.ts";
export { type FilmCircle, fitCircle, type RefinedCircle, refineCircle } from "./refine-circle.ts";
