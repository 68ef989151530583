import {
  dailyCeiling,
  drug,
  EVERYWHERE,
  figure,
  KG_PER_LB,
  NOT_US,
  OPEN,
  UK_EU,
} from "./define.ts";
import { LABEL, LAW, PAPER, RULE } from "./sources.ts";
import type { DoseBand, Drug, LabelPhase, MonitoringRule } from "./types.ts";

const SGLT2_MONITORING: readonly MonitoringRule[] = [
  {
    tests: ["triglycerides", "GGT", "GLDH", "bile acids", "creatinine", "insulin"],
    onDays: [0, 10, 30],
    thenEveryDays: 90,
    source: RULE.monitoringSglt2,
  },
];

const LONG_REVIEW = { firstDay: 42, thenEveryDays: 182, source: RULE.longReview } as const;

const bands = (
  presentationKey: string,
  rows: readonly (readonly [number, number, number])[],
): readonly DoseBand[] =>
  rows.map(([fromKg, toKg, units]) => ({
    jurisdictions: UK_EU,
    presentationKey,
    fromKg,
    toKg,
    units,
    source: LABEL.pergolideEu,
  }));

const daily = (
  id: string,
  presentationKey: string,
  mgPerKg: number,
  source: LabelPhase["source"],
): LabelPhase => ({
  id,
  jurisdictions: EVERYWHERE,
  presentationKeys: [presentationKey],
  types: ["horse", "pony", "donkey"],
  name: "start",
  fromDay: 1,
  toDay: OPEN,
  mgPerKg,
  timesPerDay: 1,
  everyDays: [1],
  source,
});

export const PERGOLIDE = drug({
  key: "pergolide",
  name: "pergolide",
  classes: ["dopamine agonist"],
  licensedIn: ["UK", "EU", "US"],
  presentations: [
    {
      key: "pergolide-tablet-1mg",
      name: "tablet 1 mg, halved",
      routes: ["oral"],
      jurisdictions: EVERYWHERE,
      unit: "tablet",
      mgPerUnit: 1,
      smallestStep: 0.5,
      rounding: "nearest",
      source: LAW.pergolideUs,
    },
  ],
  ceilings: [
    dailyCeiling("pergolide/24-h", NOT_US, 0.01, LABEL.pergolideEu),
    dailyCeiling("pergolide/us-24-h", ["US"], 0.004, LAW.pergolideUs),
  ],
  softCeilings: [
    {
      id: "pergolide/lead-4-ug",
      mgPerKg: 0.004,
      why: "above 4 micrograms/kg the clinical lead must agree",
      source: RULE.pergolideLead,
    },
  ],
  phases: [daily("pergolide/start", "pergolide-tablet-1mg", 0.002, LABEL.pergolideEu)],
  bands: bands("pergolide-tablet-1mg", [
    [200, 400, 0.5],
    [400, 600, 1],
    [600, 850, 1.5],
    [850, 1000, 2],
  ]),
  ageGates: [{ underDays: 730, outcome: "block", source: LABEL.pergolideEu }],
  reproductionSource: LABEL.pergolideEu,
  donkey: "as horses",
  foodChain: { rule: "never", source: LABEL.pergolideEu },
  review: LONG_REVIEW,
  monitoring: [
    { tests: ["ACTH"], onDays: [0, 35], thenEveryDays: 182, source: RULE.monitoringPergolide },
  ],
  cautions: [
    "Off feed, dull or odd: ring the vet; the label halves the dose for 3-5 days and climbs again in steps of 2 micrograms/kg every two weeks.",
  ],
  handling: [
    "Do not crush. Gloves if pregnant or nursing. Severe illness in people who swallow it.",
  ],
  figures: [figure("pergolide/six-monthly", 182, "days", RULE.memory)],
});

export const METFORMIN = drug({
  key: "metformin",
  name: "metformin",
  classes: ["insulin sensitiser"],
  licensedIn: [],
  presentations: [
    {
      key: "metformin-tablet-1g",
      name: "tablet 1 g",
      routes: ["oral"],
      jurisdictions: EVERYWHERE,
      unit: "tablet",
      mgPerUnit: 1000,
      smallestStep: 0.5,
      rounding: "down",
      source: RULE.minimumUnits,
    },
  ],
  ceilings: [dailyCeiling("metformin/24-h", EVERYWHERE, 120, PAPER.metformin2021)],
  phases: [
    { ...daily("metformin/usual", "metformin-tablet-1g", 30, PAPER.metformin2021), timesPerDay: 2 },
  ],
  blockedConditions: ["off feed", "renal disease"],
  conditionSource: PAPER.metformin2021,
  foodChain: { rule: "excluded or cascade", source: RULE.offLabel },
  review: { firstDay: 28, thenEveryDays: 90, source: RULE.longReview },
  cautions: ["Little is absorbed (4-7 %) and a 2023 trial saw no fall in insulin: expect little."],
});

const sglt2 = (
  key: string,
  mgPerKg: number,
  maxMgPerKg: number,
  mgPerUnit: number,
  source: LabelPhase["source"],
): Drug =>
  drug({
    key,
    name: key,
    classes: ["SGLT2 inhibitor"],
    licensedIn: [],
    presentations: [
      {
        key: `${key}-liquid`,
        name: `oral liquid ${String(mgPerUnit)} mg/mL`,
        routes: ["oral"],
        jurisdictions: EVERYWHERE,
        unit: "ml",
        mgPerUnit,
        smallestStep: 0.1,
        rounding: "down",
        source: RULE.minimumUnits,
      },
    ],
    ceilings: [dailyCeiling(`${key}/24-h`, EVERYWHERE, maxMgPerKg, source)],
    phases: [daily(`${key}/studied`, `${key}-liquid`, mgPerKg, source)],
    blockedConditions: [
      "off feed",
      "hyperlipaemia",
      "hepatic disease",
      "dehydrated",
      "not drinking",
    ],
    conditionSource: PAPER.sglt2Harm,
    foodChain: { rule: "excluded or cascade", source: RULE.offLabel },
    review: { firstDay: 30, thenEveryDays: 90, source: RULE.monitoringSglt2 },
    monitoring: SGLT2_MONITORING,
    cautions: [
      "Only after diet has failed or when laminitis is severe. Deaths with very high blood fats are reported.",
      "Stop and ring the vet if the horse is dull, leaves feed for 12 hours, must fast, or needs surgery.",
    ],
    figures: [figure(`${key}/no-equine-licence`, 0, "licences", source)],
  });

export const SGLT2_INHIBITORS: readonly Drug[] = [
  sglt2("ertugliflozin", 0.05, 0.05, 5, PAPER.sundra2023),
  sglt2("dapagliflozin", 0.02, 0.02, 5, PAPER.sglt2Cohort),
  sglt2("canagliflozin", 0.6, 1.2, 50, PAPER.canagliflozin),
  sglt2("velagliflozin", 0.3, 0.3, 15, PAPER.velagliflozin),
];

export const LEVOTHYROXINE = drug({
  key: "levothyroxine",
  name: "levothyroxine",
  classes: ["thyroid hormone"],
  licensedIn: ["US"],
  presentations: [
    {
      key: "levothyroxine-powder",
      name: "oral powder, level spoon of 12 mg",
      routes: ["oral"],
      jurisdictions: EVERYWHERE,
      unit: "spoon",
      mgPerUnit: 12,
      smallestStep: 0.25,
      rounding: "down",
      source: LABEL.levothyroxine,
    },
  ],
  ceilings: [
    dailyCeiling("levothyroxine/24-h", EVERYWHERE, 3 / (100 * KG_PER_LB), LABEL.levothyroxine),
  ],
  phases: [
    daily(
      "levothyroxine/start",
      "levothyroxine-powder",
      0.5 / (100 * KG_PER_LB),
      LABEL.levothyroxine,
    ),
  ],
  cautionConditions: ["cardiac disease", "off feed"],
  donkey: "as horses",
  foodChain: { rule: "excluded or cascade", source: RULE.offLabel },
  review: { firstDay: 42, thenEveryDays: 90, source: RULE.longReview },
  cautions: ["Only with diet control, after 4-6 weeks of diet; come off it slowly."],
  figures: [
    figure("levothyroxine/low", 0.5 / (100 * KG_PER_LB), "mg/kg/day", LABEL.levothyroxine),
    figure("levothyroxine/high", 3 / (100 * KG_PER_LB), "mg/kg/day", LABEL.levothyroxine),
    figure("levothyroxine/weight-loss", 0.1, "mg/kg/day", RULE.memory),
  ],
});
