import type { Source } from "../evidence/index.ts";
import { TRIM_SOURCES } from "./sources.ts";

const memoryWeights: Source = {
  id: "SHO-12",
  citation:
    "Trade sections 20 × 10 mm; light-horse steel shoe about 300 to 450 g, aluminium 120 to 200 g",
  status: "from memory",
};
const houseEstimate: Source = {
  id: "house/shoe-estimate",
  citation: "Estimate; no published figure was found. Weigh and measure the practice's own",
  status: "house rule",
};
const aoun2023: Source = {
  id: "SHO-01-aoun",
  citation:
    "Aoun R et al. 2023 PLoS ONE 18:e0285475: in loaded laminitic cadaver limbs P3 moved least in heart bars, most in open-heel shoes",
  status: "published",
  url: "https://doi.org/10.1371/journal.pone.0285475",
};
const rogersBack2007: Source = {
  id: "SHO-09",
  citation:
    "Rogers & Back 2007 NZ Vet J 55:120-124: lower total peak pressure at walk in egg bars than plain shoes (6 warmbloods)",
  status: "published",
};
const ogradySteward2009: Source = {
  id: "SHO-11-wood",
  citation:
    "O'Grady & Steward 2009 EVE: wooden shoe shares load over the back of the foot; bevelled edge, screwed or glued",
  status: "published",
  url: "https://doi.org/10.2746/095777309x397888",
};
const mostert2009: Source = {
  id: "SHO-07-mostert",
  citation:
    "Mostert HJ 2009, thesis, University of Pretoria: reversed shoe and polystyrene; 60 mm foam carried 75 to 80 % of load on the sole in vitro (3 horses)",
  status: "published",
};
const tradeTexts: Source = {
  id: "trade/shoes",
  citation: "Farriery teaching, no study read",
  status: "common practice",
};
const taylor2014: Source = {
  id: "SHO-18",
  citation:
    "Taylor 2014 J Equine Vet Sci 34:556-564, as reported: casts for 6 to 8 weeks on soles under 7 mm",
  status: "published",
};
const fitted: Source = {
  id: "SHO-03",
  citation:
    "Vet and farrier notes: pressure injury at the point of the bar is the known risk of a heart bar",
  status: "common practice",
};

/** What touches the ground, for area and drawing. */
export interface Footprint {
  readonly webMm: number;
  readonly heels: "open" | "bar" | "oval";
  /** The toe of the shoe is left away in front of breakover. */
  readonly openToe: boolean;
  readonly frogPlate: boolean;
  /** The whole base bears: a board up to breakover, a foam block behind the front third. */
  readonly solid: "no" | "to breakover" | "back two thirds";
}

export interface ShoeEntry {
  readonly id: string;
  readonly name: string;
  readonly materials: readonly string[];
  readonly footprint: Footprint;
  readonly thicknessMm: number;
  readonly weightGrams?: { readonly low: number; readonly high: number; readonly source: Source };
  /** How far behind the horn's toe this kind can carry breakover, mm. */
  readonly setBackMm: number;
  readonly does: string;
  readonly doNotUse: readonly string[];
  readonly source: Source;
  readonly dimensionsSource: Source;
}

const rim = (webMm: number, change: Partial<Footprint> = {}): Footprint => ({
  webMm,
  heels: "open",
  openToe: false,
  frogPlate: false,
  solid: "no",
  ...change,
});

/** Generic shoes. A practice adds its own beside them. */
export const SHOE_CATALOGUE = [
  {
    id: "bare",
    name: "Bare, trimmed",
    materials: [],
    footprint: rim(10),
    thicknessMm: 0,
    setBackMm: 0,
    does: "Nothing on the foot: the bevel alone carries breakover; boots and pads for movement.",
    doNotUse: ["on hard ground with sole under 12 mm", "where the wall is worn to the sole"],
    source: taylor2014,
    dimensionsSource: houseEstimate,
  },
  {
    id: "boot-pad",
    name: "Boot with soft pad",
    materials: ["polymer", "foam"],
    footprint: rim(10, { solid: "to breakover" }),
    thicknessMm: 12,
    weightGrams: { low: 400, high: 900, source: houseEstimate },
    setBackMm: 4,
    does: "Shares load over the sole for movement; comes off for the night check.",
    doNotUse: ["left on wet for days", "over an open draining track unless the vet says so"],
    source: tradeTexts,
    dimensionsSource: houseEstimate,
  },
  {
    id: "foam",
    name: "Foam block, taped",
    materials: ["polystyrene"],
    footprint: rim(10, { solid: "back two thirds" }),
    thicknessMm: 50,
    weightGrams: { low: 30, high: 80, source: houseEstimate },
    setBackMm: 8,
    does: "First aid: crushes to the shape of the sole and loads it behind the frog tip.",
    doNotUse: [
      "firm foam under light ponies, which cannot crush it",
      "if lifting the feet hurts more than it helps",
      "after it has crushed flat: replace",
    ],
    source: mostert2009,
    dimensionsSource: houseEstimate,
  },
  {
    id: "plain",
    name: "Plain open-heel shoe",
    materials: ["steel", "aluminium"],
    footprint: rim(20),
    thicknessMm: 10,
    weightGrams: { low: 300, high: 450, source: memoryWeights },
    setBackMm: 2,
    does: "Protects the wall; loads the rim only. The shoe others are compared with.",
    doNotUse: ["active laminitis: P3 moved most in open-heel shoes", "while hammering hurts"],
    source: aoun2023,
    dimensionsSource: memoryWeights,
  },
  {
    id: "rolled-toe",
    name: "Rolled or rocker toe shoe",
    materials: ["steel", "aluminium"],
    footprint: rim(20),
    thicknessMm: 10,
    weightGrams: { low: 300, high: 450, source: memoryWeights },
    setBackMm: 8,
    does: "Carries breakover back without taking horn; does not change the standing palmar angle.",
    doNotUse: ["while hammering hurts", "as the only support for a thin sole"],
    source: tradeTexts,
    dimensionsSource: memoryWeights,
  },
  {
    id: "set-back",
    name: "Set-back shoe",
    materials: ["steel", "aluminium"],
    footprint: rim(20),
    thicknessMm: 10,
    weightGrams: { low: 300, high: 450, source: memoryWeights },
    setBackMm: 10,
    does: "The shoe sits behind the toe of the horn, the toe is bevelled to it.",
    doNotUse: ["where the web would press on sole under 15 mm", "while hammering hurts"],
    source: tradeTexts,
    dimensionsSource: houseEstimate,
  },
  {
    id: "heart-bar",
    name: "Heart bar shoe",
    materials: ["steel", "aluminium"],
    footprint: rim(20, { heels: "bar", frogPlate: true }),
    thicknessMm: 10,
    weightGrams: { low: 400, high: 600, source: houseEstimate },
    setBackMm: 6,
    does: "Shares load with the frog; least movement of P3 in loaded laminitic limbs.",
    doNotUse: [
      "plate in front of a point 10 mm behind the frog tip",
      "in exercise: a plate that digs in can injure",
      "where a pressure test on the frog hurts",
      "beyond 10 to 14 days unchecked in the acute foot: growth lifts the plate away",
    ],
    source: aoun2023,
    dimensionsSource: houseEstimate,
  },
  {
    id: "egg-bar",
    name: "Egg bar shoe",
    materials: ["steel", "aluminium"],
    footprint: rim(20, { heels: "oval" }),
    thicknessMm: 10,
    weightGrams: { low: 400, high: 600, source: houseEstimate },
    setBackMm: 4,
    does: "Carries support behind the heels; centre of pressure moves back.",
    doNotUse: ["deep mud or where hinds tread on the bar", "as the only support for a thin sole"],
    source: rogersBack2007,
    dimensionsSource: houseEstimate,
  },
  {
    id: "rolled-bar",
    name: "Rolled bar shoe",
    materials: ["steel", "aluminium"],
    footprint: rim(22, { heels: "bar" }),
    thicknessMm: 10,
    weightGrams: { low: 400, high: 600, source: houseEstimate },
    setBackMm: 8,
    does: "Closed heels with breakover carried back; base for sole support.",
    doNotUse: ["while hammering hurts"],
    source: tradeTexts,
    dimensionsSource: houseEstimate,
  },
  {
    id: "reversed",
    name: "Reversed (open-toe) shoe",
    materials: ["steel", "aluminium"],
    footprint: rim(20, { heels: "bar", openToe: true }),
    thicknessMm: 10,
    weightGrams: { low: 300, high: 450, source: memoryWeights },
    setBackMm: 15,
    does: "Takes the toe wall out of loading and leaves the toe open for drainage.",
    doNotUse: ["without fill behind the frog tip in a thin-soled foot", "in exercise"],
    source: mostert2009,
    dimensionsSource: houseEstimate,
  },
  {
    id: "wide-web",
    name: "Wide-web shoe",
    materials: ["aluminium"],
    footprint: rim(30),
    thicknessMm: 12,
    weightGrams: { low: 180, high: 300, source: houseEstimate },
    setBackMm: 10,
    does: "More area and room for a rocker at little weight.",
    doNotUse: ["where the web would press on sole under 15 mm and is not seated out"],
    source: tradeTexts,
    dimensionsSource: houseEstimate,
  },
  {
    id: "glue-on",
    name: "Glue-on shoe, bevelled",
    materials: ["polymer", "aluminium with cuff"],
    footprint: rim(24),
    thicknessMm: 12,
    weightGrams: { low: 150, high: 300, source: houseEstimate },
    setBackMm: 12,
    does: "No nails and no hammering in a sore, short or stretched wall.",
    doNotUse: ["over trapped infection", "on wet horn: the bond fails"],
    source: tradeTexts,
    dimensionsSource: houseEstimate,
  },
  {
    id: "wooden-clog",
    name: "Wooden shoe",
    materials: ["plywood"],
    footprint: rim(20, { solid: "to breakover" }),
    thicknessMm: 28,
    weightGrams: { low: 200, high: 400, source: houseEstimate },
    setBackMm: 20,
    does: "Flat solid base with bevelled edge: shares load over the back of the foot, breakover set freely.",
    doNotUse: ["nailed: screws, glue or cast only", "before films and trim have placed the bone"],
    source: ogradySteward2009,
    dimensionsSource: houseEstimate,
  },
  {
    id: "cast",
    name: "Foot cast",
    materials: ["resin cast tape"],
    footprint: rim(10, { solid: "to breakover" }),
    thicknessMm: 6,
    weightGrams: { low: 250, high: 500, source: houseEstimate },
    setBackMm: 6,
    does: "Holds the capsule all round and protects a thin sole.",
    doNotUse: [
      "over infection or a draining track",
      "on a sinking foot without daily checks by the vet",
    ],
    source: taylor2014,
    dimensionsSource: houseEstimate,
  },
] as const satisfies readonly ShoeEntry[];

export interface FillEntry {
  readonly id: string;
  readonly name: string;
  readonly materials: readonly string[];
  /** Where it bears: nowhere, on the frog, behind the middle of the foot, or all behind the tip of P3. */
  readonly covers: "none" | "frog" | "back two thirds" | "behind the tip";
  readonly does: string;
  readonly doNotUse: readonly string[];
  readonly source: Source;
}

/** Pads, fills and supports under the sole. */
export const FILL_CATALOGUE = [
  {
    id: "none",
    name: "No fill",
    materials: [],
    covers: "none",
    does: "Only the shoe or the wall bears.",
    doNotUse: ["as the only measure in an active laminitic foot"],
    source: tradeTexts,
  },
  {
    id: "frog-pad",
    name: "Frog pad",
    materials: ["foam", "leather", "polymer"],
    covers: "frog",
    does: "Loads the frog behind its tip.",
    doNotUse: ["in front of the frog tip", "if a pressure test on the frog hurts"],
    source: tradeTexts,
  },
  {
    id: "back-two-thirds",
    name: "Support under the back two thirds",
    materials: ["silicone putty", "foam"],
    covers: "back two thirds",
    does: "Loads frog, bars and the back of the sole; the toe hangs free.",
    doNotUse: ["set hard under a sore tip"],
    source: TRIM_SOURCES.fillTip,
  },
  {
    id: "full",
    name: "Full fill behind the tip of P3",
    materials: ["silicone putty", "pour-in polyurethane"],
    covers: "behind the tip",
    does: "Recruits the whole sole behind the tip of the bone.",
    doNotUse: [
      "over trapped gas or fluid before the vet has decided on it",
      "under the tip of the bone",
      "after it has compressed: replace",
    ],
    source: TRIM_SOURCES.fillTip,
  },
] as const satisfies readonly FillEntry[];

export interface FixingEntry {
  readonly id: string;
  readonly name: string;
  readonly does: string;
  readonly doNotUse: readonly string[];
  readonly source: Source;
}

/** How it stays on. */
export const FIXING_CATALOGUE = [
  {
    id: "none",
    name: "Nothing fixed",
    does: "Bare foot.",
    doNotUse: [],
    source: tradeTexts,
  },
  {
    id: "nails",
    name: "Nails",
    does: "Holds in a thick, sound wall behind the stretched toe.",
    doNotUse: ["while hammering hurts", "in the stretched wall at the toe"],
    source: tradeTexts,
  },
  {
    id: "screws",
    name: "Screws into the wall, no hammering",
    does: "Holds a wooden shoe to the wall.",
    doNotUse: ["where the wall is too thin for the screw length"],
    source: ogradySteward2009,
  },
  {
    id: "glue",
    name: "Glue",
    does: "No hammering; needs dry, clean horn.",
    doNotUse: ["over infection", "on wet horn"],
    source: tradeTexts,
  },
  {
    id: "tape",
    name: "Tape",
    does: "Holds foam for hours to a few days.",
    doNotUse: ["round the hairline: it must not cut the coronary band"],
    source: tradeTexts,
  },
  {
    id: "cast-tape",
    name: "Cast tape",
    does: "Holds a board or a support for weeks.",
    doNotUse: ["over the hairline", "over a draining track"],
    source: ogradySteward2009,
  },
] as const satisfies readonly FixingEntry[];

/** Cautions common to the frog plate. */
export const FROG_PLATE_CAUTION = fitted;

const shoes: readonly ShoeEntry[] = SHOE_CATALOGUE;
const fills: readonly FillEntry[] = FILL_CATALOGUE;
const fixings: readonly FixingEntry[] = FIXING_CATALOGUE;

/** What a practice added beside the generic catalogue; its entries are looked up first. */
export interface OwnCatalogue {
  readonly shoes?: readonly ShoeEntry[];
  readonly fills?: readonly FillEntry[];
  readonly fixings?: readonly FixingEntry[];
}

/** Catalogue entry by id, the practice's own first; undefined when neither has it. */
export const findShoe = (id: string, own?: OwnCatalogue): ShoeEntry | undefined =>
  own?.shoes?.find((entry) => entry.id === id) ?? shoes.find((entry) => entry.id === id);
export const findFill = (id: string, own?: OwnCatalogue): FillEntry | undefined =>
  own?.fills?.find((entry) => entry.id === id) ?? fills.find((entry) => entry.id === id);
export const findFixing = (id: string, own?: OwnCatalogue): FixingEntry | undefined =>
  own?.fixings?.find((entry) => entry.id === id) ?? fixings.find((entry) => entry.id === id);
