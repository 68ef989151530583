import type { Source } from "../evidence/index.ts";

/** What the literature says a heel raise or a shoe does to tendons and joints. Statements, not predictions. */
export interface TendonEffect {
  readonly id: string;
  readonly statement: string;
  readonly source: Source;
  /** Ids of statements that say otherwise. */
  readonly conflictsWith: readonly string[];
}

const paper = (id: string, citation: string, status: Source["status"], url?: string): Source => ({
  id,
  citation,
  status,
  ...(url === undefined ? {} : { url }),
});

const crevier = paper(
  "BIO-07",
  "Crevier-Denoix N et al. 2001 EVJ Suppl 33:74-78 (5 horses, 15 degrees either way in steps of 5)",
  "published",
  "https://pubmed.ncbi.nlm.nih.gov/11721575/",
);
const weller = paper(
  "BIO-13",
  "About 4 % of navicular force per degree of palmar angle, attributed to R. Weller, second hand",
  "published",
);

export const TENDON_EFFECTS: readonly TendonEffect[] = [
  {
    id: "BIO-07",
    statement:
      "Over 30° of heel and toe raise the coffin joint changes by 29.5 ± 1.8°, the pastern joint 7.3 ± 1.0°, the fetlock 6.9 ± 2.0°, evenly.",
    source: crevier,
    conflictsWith: [],
  },
  {
    id: "BIO-10",
    statement:
      "A 6° heel wedge lowers the greatest force on the navicular bone by 24 % in sound horses at trot.",
    source: paper("BIO-10", "Willemen MA et al. 1999 EVJ 31:25-30, second hand", "published"),
    conflictsWith: ["BIO-20"],
  },
  {
    id: "BIO-12",
    statement:
      "Navicular force falls as the angle of P3 to the ground rises and as the heel:toe height ratio rises.",
    source: paper(
      "BIO-12",
      "Eliashar E et al. 2004 EVJ 36:431-435",
      "published",
      "https://www.ncbi.nlm.nih.gov/pubmed/15253085",
    ),
    conflictsWith: [],
  },
  {
    id: "BIO-16",
    statement:
      "A heel wedge lowers deep flexor strain and raises suspensory and superficial flexor strain.",
    source: paper(
      "BIO-16",
      "Lawson SEM et al. 2007 J Anat",
      "published",
      "https://doi.org/10.1111/j.1469-7580.2007.00714.x",
    ),
    conflictsWith: ["BIO-17"],
  },
  {
    id: "BIO-17",
    statement:
      "Deep flexor strain falls with heel raise; superficial flexor and suspensory do not change.",
    source: paper(
      "BIO-17",
      "Thompson KN et al. 1993 J Equine Vet Sci 13:651-654, second hand",
      "published",
    ),
    conflictsWith: ["BIO-16"],
  },
  {
    id: "BIO-18",
    statement:
      "A 5° heel wedge shortens breakover time at walk and trot; a rolled toe or set-back shoe undoes the delay of plain steel.",
    source: paper(
      "BIO-18",
      "Hagen J et al. 2021 Vet Rec 189 (10 horses)",
      "published",
      "https://doi.org/10.1002/vetr.450",
    ),
    conflictsWith: ["BIO-15"],
  },
  {
    id: "BIO-15",
    statement:
      "6° wedges delayed the onset of breakover, lowered the palmar moment at the coffin joint and unloaded the deep flexor (6 horses).",
    source: paper(
      "BIO-15",
      "Effects of a heel wedge in horses with superficial digital flexor tendinitis",
      "published",
    ),
    conflictsWith: ["BIO-18"],
  },
  {
    id: "BIO-20",
    statement:
      "Relief of the tendon while standing may not hold in motion, and the heels crush under the load.",
    source: paper("BIO-20", "Wilson AM 1998 as reported; owner-education pages", "common practice"),
    conflictsWith: ["BIO-10"],
  },
  {
    id: "WDG-04",
    statement:
      "Raising the palmar angle from 0 to 15° multiplied the energy stored in the upper dorsal lamellae 1.3 to 3.8 times in models.",
    source: paper(
      "WDG-04",
      "Ramsey GD et al. 2011 EVJ",
      "published",
      "https://doi.org/10.1111/j.2042-3306.2010.00319.x",
    ),
    conflictsWith: ["BIO-10"],
  },
  {
    id: "BIO-04",
    statement:
      "Laminitic horses at walk load the toe most at breakover (86 to 89 % of stance), sound horses at 76 %: ease breakover, support the middle and back.",
    source: paper(
      "BIO-04",
      "Al Naem M et al. 2021 EVJ 53:503-509",
      "published",
      "https://doi.org/10.1111/evj.13311",
    ),
    conflictsWith: [],
  },
];

/** Bending of the three joints for a heel raise, degrees: 29.5, 7.3 and 6.9 over 30. source: BIO-07. */
export const jointChangeDegrees = (
  heelRaiseDegrees: number,
): {
  readonly coffinJoint: number;
  readonly pasternJoint: number;
  readonly fetlock: number;
  readonly source: Source;
} => ({
  coffinJoint: (29.5 / 30) * heelRaiseDegrees,
  pasternJoint: (7.3 / 30) * heelRaiseDegrees,
  fetlock: (6.9 / 30) * heelRaiseDegrees,
  source: crevier,
});

/** Change of navicular force by the second-hand rule of 4 % per degree; negative when the angle rises. */
export const navicularForceChangePercent = (
  angleChangeDegrees: number,
): { readonly percent: number; readonly source: Source } => ({
  percent: -4 * angleChangeDegrees,
  source: weller,
});
