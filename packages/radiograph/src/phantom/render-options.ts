/** How a phantom film is taken. Every absent entry has a believable value. */
export interface RenderOptions {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Distance between pixels on the detector. */
  readonly detectorPitchMm: number;
  /** Source–detector distance over source–foot distance. */
  readonly magnification: number;
  /** Beam turned out of the true side or front view. */
  readonly obliquityDegrees: number;
  /** Film turned in its own plane, positive anticlockwise on the screen. */
  readonly tiltDegrees: number;
  /** Standard deviation of the blur of detector and focus, in pixels. */
  readonly blurPx: number;
  /** Standard deviation of the noise as a share of full scale. */
  readonly noise: number;
  /** Brightness that scatter adds from one corner of the film to the other, as a share of full scale. */
  readonly scatter: number;
  /** Edge enhancement as plates apply it; symmetric, so it moves no edge. */
  readonly enhancement: number;
  readonly bitsStored: number;
  readonly seed: number;
  /** Side of the film that the toe (side view) or the lateral wall (front view) points to. */
  readonly pointsTo: "left" | "right";
}

export const defaultRenderOptions: RenderOptions = {
  widthPx: 1200,
  heightPx: 1000,
  detectorPitchMm: 0.17,
  magnification: 1.05,
  obliquityDegrees: 0,
  tiltDegrees: 0,
  blurPx: 1.1,
  noise: 0.006,
  scatter: 0.05,
  enhancement: 0.35,
  bitsStored: 14,
  seed: 1,
  pointsTo: "right",
};
