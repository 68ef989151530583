/** The points a person places on a film, and how to find each of them. */

export interface LandmarkGuide<K extends string> {
  readonly key: K;
  readonly label: string;
  /** How to find the point on the film. */
  readonly definition: string;
}

export const LATEROMEDIAL_GUIDE = [
  {
    key: "coronaryBand",
    label: "Top of the dorsal wall",
    definition:
      "Upper limit of the dorsal hoof wall, where hard wall begins under the coronary band; the upper end of a wall marker that starts there.",
  },
  {
    key: "wallDistal",
    label: "Dorsal wall, lower point",
    definition:
      "A lower point on the outer surface of the straight, undistorted part of the dorsal wall. In a dished wall stay in the upper part.",
  },
  {
    key: "extensorProcess",
    label: "Extensor process",
    definition: "Highest point of the extensor process of P3 (the pedal bone).",
  },
  {
    key: "p3DorsalProximal",
    label: "Front of P3, upper point",
    definition:
      "A point on the front (dorsal) surface of P3 just below the extensor process, where the outline becomes straight.",
  },
  {
    key: "p3Tip",
    label: "Tip of P3",
    definition:
      "The lowest point at the front of P3. If the tip is remodelled, mark the true bone edge and say so.",
  },
  {
    key: "p3Wing",
    label: "Wing of P3",
    definition:
      "Lowest point of the palmar (plantar) process of P3; half way between the two wings where they do not lie on each other.",
  },
  {
    key: "breakover",
    label: "Breakover",
    definition: "Most forward point of foot or shoe that still touches flat ground.",
  },
  {
    key: "heel",
    label: "Heel contact",
    definition: "Rearmost point of heel or shoe that touches the ground.",
  },
  {
    key: "p2Articular1",
    label: "P2 joint surface 1",
    definition: "Point on the lower joint outline of P2, front end.",
  },
  {
    key: "p2Articular2",
    label: "P2 joint surface 2",
    definition:
      "Point on the lower joint outline of P2, between the front end and the lowest point.",
  },
  {
    key: "p2Articular3",
    label: "P2 joint surface 3",
    definition: "Lowest point on the lower joint outline of P2.",
  },
  {
    key: "p2Articular4",
    label: "P2 joint surface 4",
    definition:
      "Point on the lower joint outline of P2, between the lowest point and the rear end.",
  },
  {
    key: "p2Articular5",
    label: "P2 joint surface 5",
    definition: "Point on the lower joint outline of P2, rear end.",
  },
  {
    key: "p2AxisProximal",
    label: "P2 axis, upper point",
    definition: "Middle of P2 from front to back at its upper end.",
  },
  {
    key: "p2AxisDistal",
    label: "P2 axis, lower point",
    definition: "Middle of P2 from front to back at its lower end.",
  },
  {
    key: "navicularArticulation",
    label: "Navicular articulation",
    definition: "Palmar end of the palmar cortex of P3, at the joint with the navicular bone.",
  },
  {
    key: "groundToe",
    label: "Ground line, toe end",
    definition: "A point on the ground line (block top, or top of the shoe) on the toe side.",
  },
  {
    key: "groundHeel",
    label: "Ground line, heel end",
    definition: "A point on the same line on the heel side.",
  },
  {
    key: "markerStart",
    label: "Marker, upper end",
    definition:
      "One end of the marker of known length; for a wall marker the end at the coronary band.",
  },
  { key: "markerEnd", label: "Marker, lower end", definition: "The other end of the marker." },
  {
    key: "frogTip",
    label: "Frog tip pin",
    definition: "The pin or marker at the tip of the frog.",
  },
  {
    key: "coronaryBandHeel",
    label: "Coronary band at the heel",
    definition: "The hairline at the heel.",
  },
] as const satisfies readonly LandmarkGuide<string>[];

export const DORSOPALMAR_GUIDE = [
  {
    key: "p3MarginMedial",
    label: "P3 margin, inside",
    definition: "Lowest point of the solar margin of P3 on the medial (inside) side.",
  },
  {
    key: "p3MarginLateral",
    label: "P3 margin, outside",
    definition: "Lowest point of the solar margin of P3 on the lateral (outside) side.",
  },
  {
    key: "foramenMedial",
    label: "Solar foramen, inside",
    definition: "Centre of the medial solar foramen of P3.",
  },
  {
    key: "foramenLateral",
    label: "Solar foramen, outside",
    definition: "Centre of the lateral solar foramen of P3.",
  },
  {
    key: "jointMedialUpper",
    label: "Joint gap inside, upper edge",
    definition:
      "Edge of P2 in the coffin joint on the inside, at a set distance from the end of the joint.",
  },
  {
    key: "jointMedialLower",
    label: "Joint gap inside, lower edge",
    definition: "Edge of P3 straight below it.",
  },
  {
    key: "jointLateralUpper",
    label: "Joint gap outside, upper edge",
    definition: "Edge of P2 on the outside, at the same distance from the end of the joint.",
  },
  {
    key: "jointLateralLower",
    label: "Joint gap outside, lower edge",
    definition: "Edge of P3 straight below it.",
  },
  {
    key: "groundMedial",
    label: "Ground line, inside",
    definition: "A point on the ground line on the medial side.",
  },
  {
    key: "groundLateral",
    label: "Ground line, outside",
    definition: "A point on the ground line on the lateral side.",
  },
  {
    key: "wallMedial",
    label: "Wall inside, lower point",
    definition: "A lower point on the outer surface of the medial wall.",
  },
  {
    key: "wallLateral",
    label: "Wall outside, lower point",
    definition: "A lower point on the outer surface of the lateral wall.",
  },
  {
    key: "coronetMedial",
    label: "Coronary band, inside",
    definition: "Top of the medial wall at the coronary band.",
  },
  {
    key: "coronetLateral",
    label: "Coronary band, outside",
    definition: "Top of the lateral wall at the coronary band.",
  },
  {
    key: "markerStart",
    label: "Marker, one end",
    definition: "One end of the marker of known length.",
  },
  { key: "markerEnd", label: "Marker, other end", definition: "The other end of the marker." },
] as const satisfies readonly LandmarkGuide<string>[];

export type LateromedialLandmark = (typeof LATEROMEDIAL_GUIDE)[number]["key"];
export type DorsopalmarLandmark = (typeof DORSOPALMAR_GUIDE)[number]["key"];

/** Joint-surface points in order from front to back. */
export const ARTICULAR_POINTS = [
  "p2Articular1",
  "p2Articular2",
  "p2Articular3",
  "p2Articular4",
  "p2Articular5",
] as const satisfies readonly LateromedialLandmark[];
