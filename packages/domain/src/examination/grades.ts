import type { Judged, Source } from "../evidence/index.ts";
import { LAMENESS_SCALE, OBEL, OBEL_SPLIT } from "./sources.ts";

/** Obel 0-4 in our words. Source: {@link OBEL}. */
export const OBEL_WORDS: readonly string[] = [
  "looks sound",
  "shifts weight from foot to foot at rest; walks sound, short and stilted at the trot",
  "stilted at the walk and turns with much difficulty; a forefoot can still be lifted",
  "unwilling to walk; a forefoot can be lifted only with much difficulty",
  "moves only when forced",
];

/** Lameness 0-5 in our words. Source: {@link LAMENESS_SCALE}. */
export const LAMENESS_WORDS: readonly string[] = [
  "not lame in any circumstances",
  "hard to see, not consistent",
  "hard to see at walk or straight trot, consistent in some circumstances",
  "consistent at trot in all circumstances",
  "obvious at walk",
  "bears little or no weight, or cannot move",
];

/** How strongly the pulse is felt over the fetlock. */
export const DIGITAL_PULSES = ["not felt", "usual", "raised", "bounding"] as const;
export type DigitalPulse = (typeof DIGITAL_PULSES)[number];

/** Warmth of the hoof wall to the hand. */
export const HOOF_HEATS = ["cool", "warm", "hot"] as const;
export type HoofHeat = (typeof HOOF_HEATS)[number];

export interface Grade {
  readonly grade: number;
  readonly words: string;
}

const judgeWholeGrade = (
  grade: number,
  words: readonly string[],
  scale: string,
  rule: string,
  source: Source,
): Judged<Grade> => {
  const text = words[grade];
  if (text === undefined)
    return {
      ok: false,
      findings: [
        {
          rule,
          outcome: "block",
          detail: `${scale} is a whole number from 0 to ${String(words.length - 1)}.`,
          source,
        },
      ],
    };
  return { ok: true, value: { grade, words: text }, findings: [] };
};

export const judgeObel = (grade: number): Judged<Grade> =>
  judgeWholeGrade(grade, OBEL_WORDS, "Obel grade", "examination/obel@1", OBEL);

export const judgeLameness = (grade: number): Judged<Grade> =>
  judgeWholeGrade(
    grade,
    LAMENESS_WORDS,
    "The lameness grade",
    "examination/lameness@1",
    LAMENESS_SCALE,
  );

/** Obel 1-2 mild, 3-4 severe. Source: {@link OBEL_SPLIT}. */
export const obelSeverity = (grade: number): "none" | "mild" | "severe" =>
  grade <= 0 ? "none" : grade <= 2 ? "mild" : "severe";

export const OBEL_SEVERITY_SOURCE = OBEL_SPLIT;
