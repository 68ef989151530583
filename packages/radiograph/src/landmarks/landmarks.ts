/** One point that a person places on a film. */
export interface LandmarkDefinition<Key extends string> {
  readonly key: Key;
  /** Short name for buttons and lists. */
  readonly label: string;
  /** Where exactly it lies, in words that can be read out beside a drawing. */
  readonly definition: string;
  /** Where the definition comes from. */
  readonly source: string;
  /** Needed for the basic measures; the others add measures when placed. */
  readonly isEssential: boolean;
}

const geometry = "plain geometry of the view";
const crippsEustace =
  "Cripps & Eustace 1999, Equine Vet J 31:427–432 (founder distance, hoof and bone axes)";
const floyd = "Floyd 2011 (sole depth at the wing, horn–lamellar zone)";
const kummer = "Kummer et al. 2006, Vet J 172 (breakover and wall measures)";
const dysonBook = "Equine Clinical Medicine, Surgery and Reproduction, 2nd ed., p. 88";
const practice = "common practice, no source";

/** Keys of the lateromedial (side) view, in the order in which they are placed. */
export const lateromedialKeys = [
  "markerStart",
  "markerEnd",
  "groundToe",
  "groundHeel",
  "coronaryBand",
  "wallDistal",
  "extensorProcess",
  "p3DorsalProximal",
  "p3Tip",
  "p3Wing",
  "breakover",
  "heel",
  "p2Articular1",
  "p2Articular2",
  "p2Articular3",
  "p2Articular4",
  "p2Articular5",
  "p2AxisProximal",
  "p2AxisDistal",
  "navicularArticulation",
  "frogTip",
  "coronaryBandHeel",
] as const;

/** Name of a point of the side view. */
export type LateromedialKey = (typeof lateromedialKeys)[number];

/** Keys of the dorsopalmar (front) view, in the order in which they are placed. */
export const dorsopalmarKeys = [
  "markerStart",
  "markerEnd",
  "groundMedial",
  "groundLateral",
  "p3MarginMedial",
  "p3MarginLateral",
  "foramenMedial",
  "foramenLateral",
  "jointMedialUpper",
  "jointMedialLower",
  "jointLateralUpper",
  "jointLateralLower",
  "wallMedial",
  "wallLateral",
  "coronetMedial",
  "coronetLateral",
] as const;

/** Name of a point of the front view. */
export type DorsopalmarKey = (typeof dorsopalmarKeys)[number];

const essential = <Key extends string>(
  key: Key,
  label: string,
  definition: string,
  source: string,
): LandmarkDefinition<Key> => ({ key, label, definition, source, isEssential: true });

const optional = <Key extends string>(
  key: Key,
  label: string,
  definition: string,
  source: string,
): LandmarkDefinition<Key> => ({ key, label, definition, source, isEssential: false });

const articular = <N extends 1 | 2 | 3 | 4 | 5>(which: N): LandmarkDefinition<`p2Articular${N}`> =>
  optional(
    `p2Articular${which}`,
    `Short pastern joint face ${which}`,
    `Point ${which} of five on the rounded lower joint face of the short pastern bone (P2), spread evenly from the front of the arc to the back. A circle through them gives the centre of rotation of the joint.`,
    geometry,
  );

const markerStart = optional(
  "markerStart",
  "Scale marker, first end",
  "One end of the marker of known length, at the middle of its edge.",
  geometry,
);
const markerEnd = optional(
  "markerEnd",
  "Scale marker, other end",
  "The other end of the marker of known length, at the middle of its edge.",
  geometry,
);

/** What each point of the side view is, in the order of {@link lateromedialKeys}. */
export const lateromedialLandmarks: readonly LandmarkDefinition<LateromedialKey>[] = [
  markerStart,
  markerEnd,
  essential(
    "groundToe",
    "Ground, toe side",
    "A point on the line the foot stands on, in front of the toe. With a shoe that is left out of the measure, on the top of the shoe.",
    geometry,
  ),
  essential(
    "groundHeel",
    "Ground, heel side",
    "A point on the same line behind the heel, as far from the first as the film allows.",
    geometry,
  ),
  essential(
    "coronaryBand",
    "Coronary band",
    "The upper limit of the hard wall at the front of the foot, where horn begins under the coronary band. The upper end of a wire or paste line on the wall shows it.",
    crippsEustace,
  ),
  essential(
    "wallDistal",
    "Wall, lower point",
    "A low point on the outer face of the front wall, still on its straight part; above any flare, dish or rolled toe.",
    crippsEustace,
  ),
  essential(
    "extensorProcess",
    "Extensor process",
    "The highest point of the extensor process, the peak at the front top of the pedal bone (P3).",
    crippsEustace,
  ),
  essential(
    "p3DorsalProximal",
    "Pedal bone front, upper point",
    "A point on the front face of the pedal bone (P3) just below the extensor process, where the face runs straight.",
    crippsEustace,
  ),
  essential(
    "p3Tip",
    "Pedal bone tip",
    "The front lower tip of the pedal bone (P3). Where the tip is worn or curled, take the true edge of bone and write that down.",
    crippsEustace,
  ),
  essential(
    "p3Wing",
    "Pedal bone wing",
    "The lowest point of the wing (palmar process) at the back of the pedal bone (P3). On a slightly turned film take the middle between the two wings.",
    floyd,
  ),
  essential(
    "breakover",
    "Breakover",
    "The foremost point of foot or shoe that touches flat ground.",
    kummer,
  ),
  essential(
    "heel",
    "Heel",
    "The rearmost point of foot or shoe that touches the ground.",
    geometry,
  ),
  articular(1),
  articular(2),
  articular(3),
  articular(4),
  articular(5),
  optional(
    "p2AxisProximal",
    "Short pastern axis, upper point",
    "The middle of the short pastern bone (P2) between its front and back outline, near its upper end.",
    "hoof and phalangeal axis scheme of Cripps & Eustace 1999, as used in later studies",
  ),
  optional(
    "p2AxisDistal",
    "Short pastern axis, lower point",
    "The middle of the short pastern bone (P2) between its front and back outline, near its lower end.",
    "hoof and phalangeal axis scheme of Cripps & Eustace 1999, as used in later studies",
  ),
  optional(
    "navicularArticulation",
    "Navicular corner",
    "Where the pedal bone (P3) meets the navicular bone: the rear end of its joint face. Its distance to the tip is the palmar length of the bone.",
    "hoof–distal phalanx distance ratio, study of 415 front feet",
  ),
  optional(
    "frogTip",
    "Frog tip",
    "The tip of the frog, shown by a pin or paste mark set there before the film was taken.",
    practice,
  ),
  optional(
    "coronaryBandHeel",
    "Coronary band at the heel",
    "The upper limit of the horn at the back of the heel.",
    "heel and toe height as in White et al. 2008, Equine Vet J 40:623–628",
  ),
];

/** What each point of the front view is, in the order of {@link dorsopalmarKeys}. */
export const dorsopalmarLandmarks: readonly LandmarkDefinition<DorsopalmarKey>[] = [
  markerStart,
  markerEnd,
  essential(
    "groundMedial",
    "Ground, inside",
    "A point on the line the foot stands on, beyond the inner wall.",
    geometry,
  ),
  essential(
    "groundLateral",
    "Ground, outside",
    "A point on the same line, beyond the outer wall.",
    geometry,
  ),
  essential(
    "p3MarginMedial",
    "Pedal bone edge, inside",
    "The lowest point of the inner lower edge of the pedal bone (P3).",
    dysonBook,
  ),
  essential(
    "p3MarginLateral",
    "Pedal bone edge, outside",
    "The lowest point of the outer lower edge of the pedal bone (P3).",
    dysonBook,
  ),
  optional(
    "foramenMedial",
    "Solar foramen, inside",
    "The centre of the inner of the two round dark holes in the pedal bone (P3).",
    geometry,
  ),
  optional(
    "foramenLateral",
    "Solar foramen, outside",
    "The centre of the outer of the two round dark holes in the pedal bone (P3).",
    geometry,
  ),
  essential(
    "jointMedialUpper",
    "Joint space inside, upper edge",
    "The lower joint face of the short pastern bone (P2) on the inside. Take both sides at the same distance from the middle.",
    dysonBook,
  ),
  essential(
    "jointMedialLower",
    "Joint space inside, lower edge",
    "The joint face of the pedal bone (P3) straight below the point above.",
    dysonBook,
  ),
  essential(
    "jointLateralUpper",
    "Joint space outside, upper edge",
    "The lower joint face of the short pastern bone (P2) on the outside, as far from the middle as on the inside.",
    dysonBook,
  ),
  essential(
    "jointLateralLower",
    "Joint space outside, lower edge",
    "The joint face of the pedal bone (P3) straight below the point above.",
    dysonBook,
  ),
  optional(
    "wallMedial",
    "Wall, inside",
    "The outer face of the inner wall at the height of the edge of the pedal bone.",
    "Equine Clinical Medicine, Surgery and Reproduction, 2nd ed., p. 71",
  ),
  optional(
    "wallLateral",
    "Wall, outside",
    "The outer face of the outer wall at the height of the edge of the pedal bone.",
    "Equine Clinical Medicine, Surgery and Reproduction, 2nd ed., p. 71",
  ),
  optional(
    "coronetMedial",
    "Coronary band, inside",
    "The upper limit of the horn on the inside.",
    "O'Grady 2018, balance of the foot seen from the front",
  ),
  optional(
    "coronetLateral",
    "Coronary band, outside",
    "The upper limit of the horn on the outside.",
    "O'Grady 2018, balance of the foot seen from the front",
  ),
];
