import type { DorsopalmarKey, LateromedialKey } from "../landmarks/landmarks.ts";
import {
  dorsopalmarGeometry,
  type DorsopalmarMeasures,
  type DorsopalmarTruth,
} from "./dorsopalmar-geometry.ts";
import { lateromedialGeometry } from "./lateromedial-geometry.ts";
import type {
  LateromedialExtras,
  LateromedialMeasures,
  LateromedialTruth,
} from "./lateromedial-measures.ts";
import type { RenderOptions } from "./render-options.ts";
import { renderPhantom, type RenderedPhantom } from "./render-phantom.ts";

/** Renders a side view that has the given measures, in one step. */
export const phantomFromMeasures = (
  measures: LateromedialMeasures,
  choices: { readonly extras?: LateromedialExtras; readonly render?: Partial<RenderOptions> } = {},
): RenderedPhantom<LateromedialKey, LateromedialTruth> =>
  renderPhantom(lateromedialGeometry(measures, choices.extras), choices.render);

/** Renders a front view that has the given measures, in one step. */
export const frontPhantomFromMeasures = (
  measures: DorsopalmarMeasures,
  choices: { readonly render?: Partial<RenderOptions> } = {},
): RenderedPhantom<DorsopalmarKey, DorsopalmarTruth> =>
  renderPhantom(dorsopalmarGeometry(measures), choices.render);
