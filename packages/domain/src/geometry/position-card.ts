import type { Finding } from "../evidence/index.ts";
import { POSITIONING_BOOK } from "./sources.ts";

/** What must be right before a film is measured. */
export const POSITION_CARD_ITEMS = [
  { key: "cleanFeet", label: "Feet picked out and brushed clean" },
  { key: "shoesOff", label: "Shoes off, if that is painless and the shoe is not the question" },
  { key: "equalBlocks", label: "Both feet on flat blocks of equal height, weight shared" },
  { key: "cannonUpright", label: "Cannon bone upright from the front and from the side" },
  { key: "wallMarker", label: "Marker on the dorsal wall, upper end at the hairline" },
  { key: "frogPin", label: "Pin or marker at the frog tip" },
  { key: "beamAtSole", label: "Beam level, at the height of the sole, square to the foot" },
  { key: "scaleMarker", label: "Marker of known length in the plane of the foot" },
] as const;

export type PositionCardItem = (typeof POSITION_CARD_ITEMS)[number]["key"];

/** The items not ticked, in card order. */
export const missingPositionItems = (
  ticked: readonly PositionCardItem[],
): readonly (typeof POSITION_CARD_ITEMS)[number][] =>
  POSITION_CARD_ITEMS.filter((item) => !ticked.includes(item.key));

/** The same as one finding, to be shown on the film and in the plan; empty when all is ticked. */
export const positionFindings = (ticked: readonly PositionCardItem[]): readonly Finding[] => {
  const missing = missingPositionItems(ticked);
  return missing.length === 0
    ? []
    : [
        {
          rule: "radiograph/position-card@1",
          outcome: "warn",
          detail: `position card not complete: ${missing.map((item) => item.label).join("; ")}`,
          source: POSITIONING_BOOK,
        },
      ];
};
