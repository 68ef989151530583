/** Plain words, the trade's words for the same, and what they mean. */
export const glossary = {
  laminitis: {
    say: "laminitis",
    trade: "laminitis; founder once the bone has moved",
    meaning: "the bond between the hoof wall and the bone inside is failing",
  },
  pedalBone: {
    say: "pedal bone",
    trade: "distal phalanx, P3",
    meaning: "the bone inside the hoof",
  },
  rotation: {
    say: "rotation",
    trade: "capsular rotation",
    meaning: "hoof wall and bone no longer run side by side",
  },
  phalangealRotation: {
    say: "pastern line broken forward",
    trade: "phalangeal rotation",
    meaning: "the bone has tilted under the pastern",
  },
  sinking: {
    say: "sinking",
    trade: "distal displacement",
    meaning: "the bone is dropping straight down",
  },
  founderDistance: {
    say: "founder distance",
    trade: "coronary–extensor distance",
    meaning: "how far the bone has dropped below the hairline",
  },
  palmarAngle: {
    say: "palmar angle",
    trade: "palmar or plantar angle",
    meaning: "the tilt of the underside of the bone",
  },
  wallToBone: {
    say: "wall-to-bone distance",
    trade: "horn–lamellar zone",
    meaning: "the thickness in front of the bone",
  },
  soleDepth: {
    say: "sole depth",
    trade: "sole depth under the tip of P3",
    meaning: "horn and skin under the tip of the bone",
  },
  breakover: {
    say: "breakover",
    trade: "point of breakover",
    meaning: "where the foot tips over as it leaves the ground",
  },
  hairline: { say: "hairline", trade: "coronary band", meaning: "where hoof meets hair" },
  newGrowth: {
    say: "new-growth line",
    trade: "growth plane",
    meaning: "how far down the good new wall has reached",
  },
  heelRaise: { say: "heel raise", trade: "wedge", meaning: "a lift under the heels" },
  reset: {
    say: "reset",
    trade: "reset, re-shoe",
    meaning: "the shoe comes off, the foot is trimmed, the shoe goes back",
  },
  footPulse: {
    say: "pulse in the foot",
    trade: "digital pulse",
    meaning: "the throb felt at the fetlock",
  },
  fiveSign: {
    say: "five-sign score",
    trade: "modified laminitis score, 0–12",
    meaning: "weight shifting, lifting a foot, walk, turn and pulse, added up",
  },
  obel: { say: "Obel grade", trade: "Obel 0–4", meaning: "an older five-step scale of lameness" },
  painRelief: {
    say: "pain relief",
    trade: "NSAID",
    meaning: "a medicine that dulls pain and swelling",
  },
  insulinTrouble: {
    say: "insulin trouble",
    trade: "insulin dysregulation",
    meaning: "the body answers sugar with too much insulin",
  },
  ppid: {
    say: "PPID",
    trade: "pituitary pars intermedia dysfunction",
    meaning: "a disease of a gland in older horses",
  },
  supportLimb: {
    say: "support limb",
    trade: "contralateral limb",
    meaning: "the good leg that does all the work",
  },
  boxRest: { say: "box rest", trade: "box rest", meaning: "the horse stays in on a deep bed" },
  nerveBlock: {
    say: "nerve block",
    trade: "regional anaesthesia",
    meaning: "numbs the foot; done by a vet",
  },
  latestSafeDay: {
    say: "latest safe day",
    trade: "forecast limit day",
    meaning: "the day on which the fast edge of the forecast meets the limit",
  },
  realChange: {
    say: "real change",
    trade: "beyond measurement error",
    meaning: "larger than two readings of the same foot may differ by chance",
  },
  bodyCondition: {
    say: "body condition",
    trade: "body condition score, 1–9",
    meaning: "how much fat covers the ribs and back",
  },
  crestyNeck: {
    say: "cresty neck",
    trade: "cresty neck score, 0–5",
    meaning: "how much fat sits along the top of the neck",
  },
  setBack: {
    say: "set back",
    trade: "set back",
    meaning: "the tipping point is moved nearer the tip of the bone",
  },
  asDone: { say: "as done", trade: "as-done record", meaning: "what was really done to the foot" },
  barePads: { say: "bare with pads", trade: "bare with pads", meaning: "no shoe, soft pads" },
  clog: { say: "clog", trade: "wooden shoe", meaning: "a block of wood that rocks, screwed on" },
  heartBar: {
    say: "heart-bar",
    trade: "heart-bar shoe",
    meaning: "a shoe with a bar that presses on the frog",
  },
  noClearChange: {
    say: "not clearly different",
    trade: "within measurement error",
    meaning: "two readings of the same foot may differ this much by chance",
  },
  putToSleep: { say: "put to sleep", trade: "euthanasia", meaning: "a kind end, given by a vet" },
};
