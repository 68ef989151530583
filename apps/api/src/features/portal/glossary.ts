/** A word of this house with the trade's word for it and what it means, for people without the trade. */
export interface Word {
  readonly word: string;
  readonly trade: string;
  readonly meaning: string;
}

/** In the order in which an owner meets them. */
export const GLOSSARY: readonly Word[] = [
  {
    word: "laminitis",
    trade: "laminitis; founder once the bone has moved",
    meaning: "the bond between the hoof wall and the bone inside is failing",
  },
  { word: "pedal bone", trade: "P3, distal phalanx", meaning: "the bone inside the hoof" },
  {
    word: "rotation",
    trade: "capsular rotation",
    meaning: "hoof wall and bone no longer run side by side",
  },
  {
    word: "sinking",
    trade: "distal displacement",
    meaning: "the bone is dropping straight down in the hoof",
  },
  {
    word: "founder distance",
    trade: "coronary-extensor distance",
    meaning: "how far the bone has dropped below the hairline",
  },
  {
    word: "palmar angle",
    trade: "palmar or plantar angle",
    meaning: "the tilt of the underside of the pedal bone",
  },
  {
    word: "sole depth",
    trade: "sole depth under the tip of P3",
    meaning: "how much horn and skin lies under the tip of the bone",
  },
  {
    word: "breakover",
    trade: "point of breakover",
    meaning: "where the foot tips over at the end of a step",
  },
  { word: "set back", trade: "set-back toe", meaning: "breakover moved nearer to the bone" },
  { word: "hairline", trade: "coronary band", meaning: "where hoof meets hair" },
  {
    word: "new-growth line",
    trade: "growth plane",
    meaning: "how far down the good new wall has grown",
  },
  { word: "heel raise", trade: "wedge", meaning: "a lift under the heels, for a limited time" },
  {
    word: "reset",
    trade: "reset, re-shoe",
    meaning: "what is on the foot comes off, the foot is trimmed, and it goes back on",
  },
  {
    word: "heart-bar",
    trade: "heart-bar shoe",
    meaning: "a shoe with a bar that rests on the frog",
  },
  {
    word: "clog",
    trade: "wooden shoe",
    meaning: "a block with a rocker, screwed on, no hammering",
  },
  {
    word: "nerve block",
    trade: "regional anaesthesia",
    meaning: "the vet numbs the foot for a while",
  },
  {
    word: "pulse in the foot",
    trade: "digital pulse",
    meaning: "the throb you can feel at the fetlock",
  },
  {
    word: "five-sign score",
    trade: "modified laminitis score, 0 to 12",
    meaning:
      "weight shifting, lifting a foot, walk, turning and pulse, added up; lower is more comfortable",
  },
  {
    word: "Obel grade",
    trade: "Obel 0 to 4",
    meaning: "an older scale of lameness; lower is more comfortable",
  },
  {
    word: "pain relief; bute",
    trade: "anti-inflammatory, NSAID; phenylbutazone",
    meaning: "medicine that dulls pain and swelling, within narrow limits",
  },
  {
    word: "insulin trouble",
    trade: "insulin dysregulation",
    meaning: "the body answers sugar with too much insulin",
  },
  {
    word: "PPID",
    trade: "pituitary pars intermedia dysfunction",
    meaning: "a disease of a gland in older animals",
  },
  {
    word: "support limb",
    trade: "contralateral limb",
    meaning: "the good leg that does all the work while another is lame",
  },
  { word: "box rest", trade: "box rest", meaning: "stays in on a deep bed" },
  {
    word: "not clearly different",
    trade: "within measurement error",
    meaning: "the change is smaller than what two readings of one picture may differ by",
  },
];
