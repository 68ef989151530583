import type { MonitoringRule, Drug } from "./types.ts";
import {
  dailyCeiling,
  drug,
  EVERYWHERE,
  figure,
  KG_PER_LB,
  NOT_US,
  OPEN,
  UK_EU,
  WEEK_DAYS,
} from "./define.ts";
import { LABEL, LAW, RULE } from "./sources.ts";

/** Shared by every anti-inflammatory. */
export const NSAID_MONITORING: readonly MonitoringRule[] = [
  {
    tests: [
      "total protein",
      "albumin",
      "creatinine",
      "urea",
      "haematology",
      "urine specific gravity",
    ],
    onDays: [0, 5, 14],
    thenEveryDays: 28,
    source: RULE.monitoringNsaid,
  },
];

export const NSAID_BLOCKED = [
  "dehydrated",
  "not drinking",
  "diarrhoea",
  "colic",
  "shock",
  "renal disease",
  "hepatic disease",
  "cardiac disease",
  "colitis",
  "bleeding disorder",
  "blood dyscrasia",
] as const;

export const NSAID_CAUTIONS = [
  "Clean water must always be free. Stop and ring the vet at once if the horse goes off feed, gets mouth sores, loose dung, colic, or swelling under the belly.",
  "Never add a second anti-inflammatory, and never double a dose to catch up.",
] as const;

const REVIEW = {
  firstDay: 5,
  thenEveryDays: 14,
  agedFromYears: 15,
  agedEveryDays: WEEK_DAYS,
  source: RULE.review,
} as const;

/**
 * Ceiling on the active substance, whatever the product. Horses: 8.8 mg/kg on day 1, 4.4 on days
 * 2-5, 2.2 from day 6. Ponies: 4.4 in any 48 h. From 20 years no loading. Never above 4 g in 24 h.
 * US labels allow 8.8 on every day (with 4 g), and by vein 4.4.
 */
const PHENYLBUTAZONE_CEILINGS: Drug["ceilings"] = [
  dailyCeiling("pbz/absolute", EVERYWHERE, 0, LAW.pbzUs, { mgPerKg: undefined, absoluteMg: 4000 }),
  dailyCeiling("pbz/horse-day-1", NOT_US, 8.8, LABEL.pbzUkPowder, {
    toDay: 1,
    types: ["horse", "donkey"],
  }),
  dailyCeiling("pbz/horse-days-2-5", NOT_US, 4.4, LABEL.pbzUkPowder, {
    fromDay: 2,
    toDay: 5,
    types: ["horse", "donkey"],
  }),
  dailyCeiling("pbz/200-mg-g-from-day-5", NOT_US, 2.2, LABEL.pbz200, {
    fromDay: 5,
    types: ["horse", "donkey"],
    presentationKeys: ["phenylbutazone-powder-200mg-g"],
  }),
  dailyCeiling("pbz/horse-from-day-6", NOT_US, 2.2, LABEL.pbzUkPowder, {
    fromDay: 6,
    types: ["horse", "donkey"],
  }),
  dailyCeiling("pbz/aged-no-loading", NOT_US, 4.4, RULE.pbzAged, {
    toDay: 1,
    minAgeYears: 20,
    types: ["horse", "donkey"],
  }),
  dailyCeiling("pbz/pony-48-h", EVERYWHERE, 4.4, RULE.pbzPony, {
    windowHours: 48,
    types: ["pony"],
  }),
  dailyCeiling("pbz/pony-24-h", EVERYWHERE, 4.4, RULE.pbzPony, { types: ["pony"] }),
  dailyCeiling("pbz/us-oral", ["US"], 8.8, LAW.pbzUs, { types: ["horse", "donkey"] }),
  dailyCeiling("pbz/us-vein", ["US"], 4.4, LAW.pbzUsIv, { routes: ["intravenous"] }),
];

const SHARED = {
  pregnancy: "warn",
  lactation: "warn",
  reproductionSource: LABEL.pbzUkCautions,
  blockedConditions: NSAID_BLOCKED,
  cautionConditions: ["gastric ulcers", "off feed"],
  conditionSource: LABEL.pbzUkCautions,
  notWithSteroid: true,
  notWithNephrotoxic: true,
  ceilings: PHENYLBUTAZONE_CEILINGS,
  foodChain: { rule: "never", source: LAW.passport },
  review: REVIEW,
  switchNotice: {
    hours: 72,
    why: "its effect can last three days after the last dose",
    source: RULE.pbzSwitch,
  },
  monitoring: NSAID_MONITORING,
} as const satisfies Partial<Drug>;

export const PHENYLBUTAZONE = drug({
  ...SHARED,
  key: "phenylbutazone",
  name: "phenylbutazone (bute)",
  classes: ["NSAID"],
  licensedIn: ["UK", "EU", "US"],
  presentations: [
    {
      key: "phenylbutazone-powder-1g",
      name: "oral powder, 1 g sachet",
      routes: ["oral"],
      jurisdictions: NOT_US,
      unit: "sachet",
      mgPerUnit: 1000,
      smallestStep: 1,
      splitStep: 0.5,
      rounding: "down",
      source: LABEL.pbzUkPowder,
    },
    {
      key: "phenylbutazone-paste-1g-division",
      name: "oral paste, 1 g in each division",
      routes: ["oral"],
      jurisdictions: NOT_US,
      unit: "paste division",
      mgPerUnit: 1000,
      smallestStep: 1,
      rounding: "down",
      source: LABEL.pbzUkPowder,
    },
    {
      key: "phenylbutazone-powder-200mg-g",
      name: "oral powder 200 mg/g, 5 g sachet (1 g of bute)",
      routes: ["oral"],
      jurisdictions: NOT_US,
      unit: "sachet",
      mgPerUnit: 1000,
      smallestStep: 1,
      splitStep: 0.5,
      rounding: "down",
      source: LABEL.pbz200,
    },
    {
      key: "phenylbutazone-paste-200mg-ml",
      name: "oral paste 200 mg/mL",
      routes: ["oral"],
      jurisdictions: EVERYWHERE,
      unit: "ml",
      mgPerUnit: 200,
      smallestStep: 0.5,
      rounding: "down",
      source: LABEL.pbzPaste200,
    },
    {
      key: "phenylbutazone-tablet-1g",
      name: "tablet 1 g",
      routes: ["oral"],
      jurisdictions: ["US"],
      unit: "tablet",
      mgPerUnit: 1000,
      smallestStep: 1,
      splitStep: 0.5,
      rounding: "down",
      source: LAW.pbzUs,
    },
    {
      key: "phenylbutazone-injection-200mg-ml",
      name: "injection 200 mg/mL, into the vein by the vet only",
      routes: ["intravenous"],
      jurisdictions: EVERYWHERE,
      unit: "ml",
      mgPerUnit: 200,
      smallestStep: 0.05,
      rounding: "down",
      source: LAW.pbzUsIv,
    },
  ],
  phases: [
    ...(
      [
        ["load", 1, 1, 4.4, 2, [1], 2],
        ["step", 2, 5, 2.2, 2, [1], 1],
        ["maintain", 6, OPEN, 2.2, 1, [1, 2], 1],
      ] as const
    ).map(([name, fromDay, toDay, mgPerKg, timesPerDay, everyDays, units]) => ({
      id: `pbz-1g/${name}`,
      jurisdictions: NOT_US,
      presentationKeys: ["phenylbutazone-powder-1g", "phenylbutazone-paste-1g-division"],
      types: ["horse"] as const,
      name,
      fromDay,
      toDay,
      mgPerKg,
      timesPerDay,
      everyDays,
      anchor: { weightKg: 450, units },
      source: LABEL.pbzUkPowder,
    })),
    ...(
      [
        ["load", 1, 1, 4.4, 2, [1], 2],
        ["step", 2, 4, 2.2, 2, [1], 1],
        ["maintain", 5, OPEN, 2.2, 1, [1, 2], 1],
      ] as const
    ).map(([name, fromDay, toDay, mgPerKg, timesPerDay, everyDays, units]) => ({
      id: `pbz-200/${name}`,
      jurisdictions: NOT_US,
      presentationKeys: ["phenylbutazone-powder-200mg-g"],
      types: ["horse"] as const,
      name,
      fromDay,
      toDay,
      mgPerKg,
      timesPerDay,
      everyDays,
      anchor: { weightKg: 450, units },
      source: LABEL.pbz200,
    })),
    {
      id: "pbz-1g/pony",
      jurisdictions: NOT_US,
      presentationKeys: ["phenylbutazone-powder-1g", "phenylbutazone-paste-1g-division"],
      types: ["pony"],
      name: "all",
      fromDay: 1,
      toDay: OPEN,
      mgPerKg: 4.4,
      timesPerDay: 1,
      everyDays: [2],
      anchor: { weightKg: 225, units: 1 },
      source: LABEL.pbzUkPowder,
    },
  ],
  softCeilings: [],
  courseCaps: [
    {
      id: "pbz/us-vein-5-days",
      jurisdictions: ["US"],
      treatmentDays: 5,
      routes: ["intravenous"],
      source: LAW.pbzUsIv,
    },
  ],
  ageGates: [{ underDays: 42, outcome: "warn", source: LABEL.pbzUkCautions }],
  cautions: [
    ...NSAID_CAUTIONS,
    "Give it at the same point of the meal each day; hay just before or with it delays the effect.",
    "No better by day 4 or 5: stop and have the horse seen again.",
  ],
  handling: ["Wash hands after use. Never for an animal that may be eaten."],
  figures: [
    figure("pbz/us-oral-low", 1000 / (500 * KG_PER_LB), "mg/kg/day", LAW.pbzUs),
    figure("pbz/us-oral-high", 2000 / (500 * KG_PER_LB), "mg/kg/day", LAW.pbzUs),
    figure("pbz/us-vein-low", 1 / KG_PER_LB, "mg/kg/day", LAW.pbzUsIv),
    figure("pbz/us-vein-high", 2 / KG_PER_LB, "mg/kg/day", LAW.pbzUsIv),
    figure("pbz/competition-168h", 168, "h", RULE.memory),
  ],
});

/** Turns into phenylbutazone in the body, so it shares every ceiling. */
export const SUXIBUZONE = drug({
  ...SHARED,
  key: "suxibuzone",
  name: "suxibuzone (becomes bute in the body)",
  classes: ["NSAID"],
  moiety: "phenylbutazone",
  moietyFactor: 308.4 / 438.5,
  moietySource: RULE.molar,
  licensedIn: ["UK", "EU"],
  presentations: [
    {
      key: "suxibuzone-granules-1.5g",
      name: "granules, 1.5 g in a 10 g sachet",
      routes: ["oral"],
      jurisdictions: UK_EU,
      unit: "sachet",
      mgPerUnit: 1500,
      smallestStep: 0.5,
      rounding: "down",
      source: LABEL.suxibuzone,
    },
  ],
  phases: [
    ...(
      [
        ["load", 1, 2, 6.25, 2, [1], 2],
        ["step", 3, 5, 3.125, 2, [1], 1],
        ["maintain", 6, OPEN, 3.125, 1, [1, 2], 1],
      ] as const
    ).map(([name, fromDay, toDay, mgPerKg, timesPerDay, everyDays, units]) => ({
      id: `suxibuzone/${name}`,
      jurisdictions: UK_EU,
      presentationKeys: ["suxibuzone-granules-1.5g"],
      types: ["horse"] as const,
      name,
      fromDay,
      toDay,
      mgPerKg,
      timesPerDay,
      everyDays,
      anchor: { weightKg: 480, units },
      source: LABEL.suxibuzone,
    })),
    ...(
      [
        ["load", 1, 2, 6.25, [1], 1],
        ["step", 3, 5, 3.125, [1], 0.5],
        ["maintain", 6, OPEN, 6.25, [2], 1],
      ] as const
    ).map(([name, fromDay, toDay, mgPerKg, everyDays, units]) => ({
      id: `suxibuzone/pony-${name}`,
      jurisdictions: UK_EU,
      presentationKeys: ["suxibuzone-granules-1.5g"],
      types: ["pony"] as const,
      name,
      fromDay,
      toDay,
      mgPerKg,
      timesPerDay: 1,
      everyDays,
      anchor: { weightKg: 240, units },
      source: LABEL.suxibuzone,
    })),
  ],
  ageGates: [
    { underDays: 30, outcome: "block", source: LABEL.suxibuzone3g },
    { underDays: 84, outcome: "warn", source: LABEL.suxibuzone3g },
  ],
  cautions: [
    ...NSAID_CAUTIONS,
    "Counts as bute in every limit; the limits of bute hold even where the suxibuzone label prints a longer loading.",
  ],
  handling: ["Never for an animal that may be eaten."],
  figures: [figure("suxibuzone/molar", 308.4 / 438.5, "mg/mg", RULE.molarMemory)],
});
