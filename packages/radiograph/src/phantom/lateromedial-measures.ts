/** What a side view is to measure, in millimetres and degrees to the ground. */
export interface LateromedialMeasures {
  readonly palmarAngleDegrees: number;
  /** Angle of the front face of the pedal bone (P3). */
  readonly boneFrontAngleDegrees: number;
  readonly wallAngleDegrees: number;
  /** Perpendicular to the wall, from just below the extensor process. */
  readonly wallToBoneTopMm: number;
  /** Perpendicular to the wall, from the tip. */
  readonly wallToBoneBottomMm: number;
  /** Square to the surface the foot stands on, so a wedge below does not count. */
  readonly soleTipMm: number;
  readonly soleWingMm: number;
  /** Height of the coronary band above the extensor process. */
  readonly founderDistanceMm: number;
  /** Horizontal, from the tip of P3 to the foremost ground contact. */
  readonly breakoverDistanceMm: number;
  /** From the tip of P3 to its wing. */
  readonly solarLengthMm: number;
  /** Along the wall, between the two wall-to-bone readings. */
  readonly wallSpanMm: number;
  /** Wedge under the heels; the ground angles above include it. */
  readonly wedgeDegrees?: number;
  /** P3 angle less P2 angle; absent means 2 degrees. */
  readonly phalangealRotationDegrees?: number;
}

/** Equipment and changes that may be drawn in as well. */
export interface LateromedialExtras {
  /** Length of the scale bar; absent means 100. */
  readonly markerLengthMm?: number;
  /** Length of the paste line on the wall; absent means 40, zero leaves it out. */
  readonly wallMarkerLengthMm?: number;
  /** Height of a flat shoe; absent or zero means barefoot. */
  readonly shoeHeightMm?: number;
  /** A dark line inside the front wall, as long as this. */
  readonly lucentLineLengthMm?: number;
}

/** The measures that the phantom truly has, after its rounded inputs were reconciled. */
export interface LateromedialTruth extends Required<LateromedialMeasures> {
  readonly capsularRotationDegrees: number;
  readonly markerLengthMm: number;
  readonly toeHeightMm: number;
  readonly heelHeightMm: number;
  readonly bearingLengthMm: number;
  readonly centreOfRotationMm: { readonly x: number; readonly y: number };
  readonly jointRadiusMm: number;
  readonly palmarLengthMm: number;
}

/**
 * Readings rounded to half a millimetre and half a degree contradict each other slightly (bottom =
 * top + span × tan rotation; wing = tip + length × sin palmar angle). The difference is shared
 * between the two readings of each pair, so that one rigid foot fits all of them.
 */
export const reconciled = (measures: LateromedialMeasures): Required<LateromedialMeasures> => {
  const wedgeDegrees = measures.wedgeDegrees ?? 0;
  const radians = Math.PI / 180;
  const rotation = (measures.boneFrontAngleDegrees - measures.wallAngleDegrees) * radians;
  const wallRise = measures.wallSpanMm * Math.tan(rotation);
  const wallError = measures.wallToBoneBottomMm - measures.wallToBoneTopMm - wallRise;
  const soleRise =
    measures.solarLengthMm * Math.sin((measures.palmarAngleDegrees - wedgeDegrees) * radians);
  const soleError = measures.soleWingMm - measures.soleTipMm - soleRise;
  return {
    ...measures,
    wedgeDegrees,
    phalangealRotationDegrees: measures.phalangealRotationDegrees ?? 2,
    wallToBoneTopMm: measures.wallToBoneTopMm + wallError / 2,
    wallToBoneBottomMm: measures.wallToBoneBottomMm - wallError / 2,
    soleTipMm: measures.soleTipMm + soleError / 2,
    soleWingMm: measures.soleWingMm - soleError / 2,
  };
};
