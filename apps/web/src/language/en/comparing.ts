/** Similar horses in the practice's own records. */
export const comparing = {
  title: "Similar horses",
  of: "Similar horses to {{horse}}",
  lead: "Horses of your own practice with the same kind of cause, and rotation and founder distance near this one at the first film.",
  caution:
    "These are your own records, not evidence and never a verdict on this horse. Horses were treated differently, few were chosen by chance, and hard cases may be missing. Decide from this horse and from published work.",
  here: "This horse at the first film",
  cause: "Cause",
  causes: {
    "insulin trouble or PPID": "insulin trouble or PPID",
    "illness elsewhere": "illness elsewhere",
    "load of the other leg": "load of the other leg",
    "hard ground or trauma": "hard ground or trauma",
    steroid: "steroid",
    other: "another cause",
  },
  rotation: "Capsular rotation",
  founder: "Founder distance",
  near: "What counts as near",
  nearText:
    "Within one step in all: {{degrees}}° of rotation, {{mm}} mm of founder distance or another kind of cause is one step each. House rule, worst foot, one case a horse.",
  ended: "How they ended",
  among_one: "{{count}} similar horse",
  among_other: "{{count}} similar horses",
  outcomes: {
    recovered: "Comfortable and in ordinary care again",
    "welfare decision": "Put to sleep, a welfare decision",
    died: "Died",
    "moved away": "Moved away, end not known",
    "still in treatment": "Still in treatment",
  },
  ofAll: "{{count}} of {{all}}",
  few: "Fewer than {{least}} similar horses",
  fewText: "So few are stories, not numbers. Nothing is counted below {{least}}.",
  notYet: "Not enough is known of this horse yet",
  notYetText: "Enter the cause and measure a side view first.",
};
