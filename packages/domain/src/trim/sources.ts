import type { Source } from "../evidence/index.ts";

/** What the trim rules rest on. */
export const TRIM_SOURCES = {
  soleNeeded: {
    id: "VAL-12",
    citation: "Redden RF. How to measure sole depth: light-boned horses need 15 mm",
    status: "published",
    url: "https://www.reddendvm.com/post/how-to-measure-sole-depth",
  },
  soleFloor: {
    id: "TRM-12",
    citation:
      "Derived from a 15 mm need, 12 to 15 mm reported as protecting the rim, and at least 10 mm for the solar papillae in venograms: aim 15, warn under 12, block under 10",
    status: "derived",
  },
  soleUntouched: {
    id: "TRM-07",
    citation:
      "Never thin the sole in front of the tip of P3; take the palmar angle from the heels (owner-education case pages)",
    status: "common practice",
  },
  heelTenMm: {
    id: "TRM-05",
    citation:
      "Lower the heels by no more than 10 mm in one trim; bevel 30 to 45 degrees and at least 5 mm outside live sole (owner-education case page)",
    status: "common practice",
  },
  heelHouse: {
    id: "house/heel-per-visit",
    citation: "Stages of 6 mm a visit, starting value",
    status: "house rule",
  },
  heelGeometry: {
    id: "TRM-06",
    citation: "Geometry: heel to remove = base length × (tan angle now − tan angle wanted)",
    status: "derived",
  },
  rotationGeometry: {
    id: "TRM-11",
    citation:
      "Geometry: heel lowered by h at distance S behind the pivot turns the foot by atan(h / S)",
    status: "derived",
  },
  palmarBand: {
    id: "VAL-10",
    citation:
      "Equine Clinical Medicine, Surgery and Reproduction, 2nd ed., p. 88: solar margin to ground 2 to 10 degrees, 3 to 5 most usual",
    status: "published",
  },
  donkeyBand: {
    id: "VAL-21",
    citation:
      "Collins SN et al. 2011 EVJ, as reported: European donkeys, palmar angle about 8 degrees",
    status: "published",
    url: "https://doi.org/10.1111/j.2042-3306.2010.00312.x",
  },
  breakoverTarget: {
    id: "BIO-01",
    citation:
      "Breakover under or up to about 6 mm in front of the tip of P3 in chronic cases; for lame feet 0 to 10 mm",
    status: "from memory",
  },
  wallFloor: {
    id: "TRM-03",
    citation:
      "A line 15 to 18 mm in front of the dorsal surface of P3 marks the wall to keep (O'Grady 2006 EVE); our floor is the upper wall-to-bone distance and never under the setting",
    status: "from memory",
    url: "https://www.equipodiatry.com/news/45",
  },
  bevelGeometry: {
    id: "geometry/tip-to-bevel",
    citation:
      "Geometry: distance of the tip of P3 from a bevel that leaves the ground at breakover = sole × cos(bevel) + breakover × sin(bevel)",
    status: "derived",
  },
  bevelHeight: {
    id: "house/bevel-height",
    citation: "How high a bevel may run up the toe wall in one visit, starting value",
    status: "house rule",
  },
  toeHouse: {
    id: "house/toe-per-visit",
    citation:
      "How far breakover may come back in one visit, starting value: a long toe is taken back in stages",
    status: "house rule",
  },
  emergencyHeel: {
    id: "house/emergency",
    citation:
      "First aid eases the toe and supports the back of the foot; no heel is cut and none is raised before the foot is measured",
    status: "house rule",
  },
  wedgeConflict: {
    id: "CON-04",
    citation:
      "Sources disagree: raise 10 to 15 degrees at first signs (Floyd 2011) against lower the heels and do not raise (Wilson 1998 as reported; owner-education pages). Raising also stored 1.3 to 3.8 times the energy in the dorsal lamellae in models (Ramsey 2011 EVJ)",
    status: "published",
    url: "https://doi.org/10.1111/j.2042-3306.2010.00319.x",
  },
  wedgeSmall: {
    id: "WDG-01",
    citation:
      "Wedges of 5 to 6 degrees are the size that was studied (Willemen 1999; Hagen 2021); anything larger is beyond those papers",
    status: "derived",
  },
  wedgeShort: {
    id: "house/wedge-days",
    citation: "A heel raise is a short trial of two to three weeks with an end date",
    status: "house rule",
  },
  founderMoving: {
    id: "REP-01/R16",
    citation:
      "A change counts when it passes 1.96 × √2 × the error of one reading; a heel raise is not for a bone that is sinking (practice teaching)",
    status: "common practice",
  },
  interval: {
    id: "GRO-14",
    citation:
      "Laminitic feet are reset in 4 to 6 weeks, sooner when acute or in a heart bar; the forecast may only pull the date earlier",
    status: "from memory",
  },
  load: {
    id: "LOD-02",
    citation:
      "Level-ground split fore to hind 57:43 (Dutto 2004 as used in J Exp Biol 211:935): 28.5 % of body weight on each fore, 21.5 % on each hind",
    status: "derived",
  },
  outline: {
    id: "house/outline",
    citation:
      "No contact areas in cm² by shoe type were found. Areas come from drawn outlines and stated web widths: estimates for comparing one foot with itself",
    status: "house rule",
  },
  frogPlate: {
    id: "SHO-01",
    citation:
      "Castelijns, farriery.eu 2015: frog plate no further forward than about 10 mm behind the tip of the trimmed frog",
    status: "published",
    url: "http://farriery.eu/articles/02-2015.htm",
  },
  frogPlateContact: {
    id: "SHO-04",
    citation:
      "Castelijns, farriery.eu 2015: plate contact positive for laminitis if a pressure test is tolerated, else neutral",
    status: "published",
    url: "http://farriery.eu/articles/02-2015.htm",
  },
  donkeyFrog: {
    id: "SHO-04-donkey",
    citation:
      "Donkey review: the frog apex lies further back, so the offset for horses does not hold",
    status: "published",
  },
  fillTip: {
    id: "SHO-19",
    citation: "Leave the fill free under the tip of P3 when the sole is sore",
    status: "from memory",
  },
  branchLength: {
    id: "SHO-11",
    citation:
      "USDA, Diseases of the Horse (historic): branches reach past the heel buttress by about the thickness of the shoe",
    status: "published",
  },
  filmAge: {
    id: "R-film-age",
    citation: "Weeks-old films no longer show the foot being trimmed; 14 days while in treatment",
    status: "house rule",
  },
  scale: {
    id: "POS-13",
    citation:
      "Geometry: without a marker of known length or the two distances a film gives angles, not lengths",
    status: "derived",
  },
  sides: {
    id: "house/second-person",
    citation: "Left and right are confirmed by someone other than the person who marked the film",
    status: "house rule",
  },
  leverArm: {
    id: "R-lever",
    citation:
      "Statics: the moment to lift the heels grows with the distance from centre of rotation to breakover",
    status: "derived",
  },
  tolerances: {
    id: "house/tolerances",
    citation: "How far the work may lie from the plan before a reason is asked, starting values",
    status: "house rule",
  },
  worseAfterWedge: {
    id: "house/worse-after-wedge",
    citation:
      "A horse that is worse after a heel raise has it removed at once and the vet is told; small raises are easily undone",
    status: "common practice",
  },
  centreOfPressure: {
    id: "SHO-08",
    citation:
      "Static pressure study, 6 warmbloods: toe to centre of pressure 77 ± 12 mm in an egg bar, 70 ± 8 mm plain and with a 6 degree wedge",
    status: "published",
  },
} as const satisfies Record<string, Source>;
