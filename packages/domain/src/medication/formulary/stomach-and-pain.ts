import { dailyCeiling, drug, EVERYWHERE, figure, NOT_US } from "./define.ts";
import { LABEL, LAW, PAPER, RULE } from "./sources.ts";
import type { DoseBand, Drug, LabelPhase, Presentation } from "./types.ts";

const phase = (
  id: string,
  presentationKey: string,
  mgPerKg: number,
  timesPerDay: number,
  days: number,
  source: LabelPhase["source"],
  jurisdictions: LabelPhase["jurisdictions"] = EVERYWHERE,
): LabelPhase => ({
  id,
  jurisdictions,
  presentationKeys: [presentationKey],
  types: ["horse", "pony"],
  name: "all",
  fromDay: 1,
  toDay: days,
  mgPerKg,
  timesPerDay,
  everyDays: [1],
  source,
});

const form = (
  key: string,
  name: string,
  unit: Presentation["unit"],
  mgPerUnit: number,
  smallestStep: number,
  source: Presentation["source"],
  more: Partial<Presentation> = {},
): Presentation => ({
  key,
  name,
  routes: ["oral"],
  jurisdictions: EVERYWHERE,
  unit,
  mgPerUnit,
  smallestStep,
  rounding: "down",
  source,
  ...more,
});

const OFF_LABEL_FOOD = { rule: "excluded or cascade", source: RULE.offLabel } as const;

export const PARACETAMOL = drug({
  key: "paracetamol",
  name: "paracetamol",
  classes: ["analgesic"],
  licensedIn: [],
  presentations: [
    form("paracetamol-powder", "oral powder, weighed", "g of powder", 1000, 0.1, RULE.minimumUnits),
    form("paracetamol-tablet-500mg", "tablet 500 mg", "tablet", 500, 1, RULE.minimumUnits),
  ],
  ceilings: [dailyCeiling("paracetamol/24-h", EVERYWHERE, 60, PAPER.paracetamol2023)],
  softCeilings: [
    {
      id: "paracetamol/house-24-h",
      mgPerKg: 40,
      why: "the house limit is 20 mg/kg twice in 24 h",
      source: RULE.paracetamolHouse,
    },
  ],
  phases: [phase("paracetamol/studied", "paracetamol-powder", 30, 2, 21, PAPER.paracetamol2023)],
  cautionConditions: ["hepatic disease"],
  foodChain: OFF_LABEL_FOOD,
  cautions: ["Off-licence: adds a short relief, not reliable alone. Owner's consent on file."],
  figures: [figure("paracetamol/food-chain", 0, "excluded", RULE.memory)],
});

const BANDS: readonly DoseBand[] = (
  [
    [125, 200, 1],
    [200, 400, 2],
    [400, 600, 3],
    [600, 800, 4],
  ] as const
).map(([fromKg, toKg, units]) => ({
  jurisdictions: NOT_US,
  presentationKey: "omeprazole-granules-400mg",
  fromKg,
  toKg,
  units,
  source: LABEL.omeprazoleGranules,
}));

export const OMEPRAZOLE = drug({
  key: "omeprazole",
  name: "omeprazole",
  classes: ["gastroprotectant"],
  licensedIn: ["UK", "EU", "US"],
  presentations: [
    form(
      "omeprazole-paste-370mg-g",
      "oral paste 370 mg/g",
      "g of paste",
      370,
      0.01,
      LAW.omeprazoleUs,
    ),
    form(
      "omeprazole-granules-400mg",
      "granules, whole 400 mg sachets by weight band",
      "sachet",
      400,
      1,
      LABEL.omeprazoleGranules,
      { jurisdictions: NOT_US, rounding: "up", weightRangeKg: [125, 800] },
    ),
  ],
  ceilings: [dailyCeiling("omeprazole/24-h", EVERYWHERE, 4, LAW.omeprazoleUs)],
  phases: [
    phase("omeprazole/treat", "omeprazole-paste-370mg-g", 4, 1, 28, LAW.omeprazoleUs),
    phase("omeprazole/prevent", "omeprazole-paste-370mg-g", 2, 1, 28, LAW.omeprazoleUs),
    phase("omeprazole/granules", "omeprazole-granules-400mg", 2, 1, 28, LABEL.omeprazoleGranules),
  ],
  bands: BANDS,
  courseCaps: [
    {
      id: "omeprazole/56-days",
      jurisdictions: EVERYWHERE,
      treatmentDays: 56,
      source: LAW.omeprazoleUs,
    },
  ],
  ageGates: [
    { underDays: 28, outcome: "block", source: LABEL.omeprazoleUk },
    {
      underDays: 243,
      outcome: "block",
      presentationKeys: ["omeprazole-granules-400mg"],
      source: LABEL.omeprazoleGranules,
    },
  ],
  minWeightKg: { kg: 70, source: LABEL.omeprazoleUk },
  conditionSource: LABEL.omeprazoleUk,
  donkey: "as horses",
  foodChain: { rule: "withdrawal", source: LABEL.omeprazoleGranules },
  review: { thenEveryDays: 28, source: RULE.resign },
  cautions: [
    "Give on an empty stomach and feed at least 30 minutes later; granules in dry feed, never split.",
  ],
});

export const SUCRALFATE = drug({
  key: "sucralfate",
  name: "sucralfate",
  classes: ["gastroprotectant"],
  licensedIn: [],
  presentations: [
    form("sucralfate-tablet-1g", "tablet 1 g", "tablet", 1000, 0.5, RULE.minimumUnits),
  ],
  ceilings: [dailyCeiling("sucralfate/24-h", EVERYWHERE, 80, PAPER.sucralfate)],
  phases: [phase("sucralfate/studied", "sucralfate-tablet-1g", 12, 2, 35, PAPER.sucralfate)],
  foodChain: OFF_LABEL_FOOD,
  donkey: "as horses",
  cautions: ["Two hours apart from other medicines by mouth (interval recalled, not checked)."],
  figures: [figure("sucralfate/separate-2h", 2, "h", RULE.memory)],
});

export const MISOPROSTOL = drug({
  key: "misoprostol",
  name: "misoprostol",
  classes: ["gastroprotectant"],
  licensedIn: [],
  presentations: [
    form(
      "misoprostol-tablet-200ug",
      "tablet 200 micrograms",
      "tablet",
      0.2,
      0.5,
      RULE.minimumUnits,
    ),
  ],
  ceilings: [dailyCeiling("misoprostol/24-h", EVERYWHERE, 0.01, PAPER.varley2019)],
  phases: [
    phase("misoprostol/studied", "misoprostol-tablet-200ug", 0.005, 2, 35, PAPER.varley2019),
  ],
  pregnancy: "block",
  reproductionSource: PAPER.varley2019,
  foodChain: OFF_LABEL_FOOD,
  cautions: ["One hour before feed."],
  handling: ["Can end a pregnancy in people: anyone who is or may be pregnant must not touch it."],
});

export const GABAPENTIN = drug({
  key: "gabapentin",
  name: "gabapentin",
  classes: ["analgesic"],
  licensedIn: [],
  presentations: [
    form("gabapentin-capsule-300mg", "capsule 300 mg", "tablet", 300, 1, RULE.minimumUnits),
  ],
  ceilings: [dailyCeiling("gabapentin/24-h", EVERYWHERE, 240, PAPER.gabapentin2022)],
  softCeilings: [
    {
      id: "gabapentin/usual-24-h",
      mgPerKg: 60,
      why: "the usual range is 5-20 mg/kg two or three times a day",
      source: PAPER.gabapentin2022,
    },
  ],
  phases: [phase("gabapentin/usual", "gabapentin-capsule-300mg", 20, 2, 14, PAPER.gabapentin2022)],
  foodChain: OFF_LABEL_FOOD,
  cautions: [
    "No benefit over placebo was seen at 5 and 10 mg/kg in 14 days. Watch for wobbliness; come off it slowly (recalled).",
  ],
  handling: ["A controlled drug in the UK: keep locked, record every use."],
  figures: [figure("gabapentin/uk-schedule-3", 3, "schedule", RULE.memory)],
});

const hospital = (
  key: string,
  name: string,
  unit: MeasureOf,
  mgPerUnit: number,
  route: Presentation["routes"][number],
  cautions: readonly string[],
  figures: Drug["figures"],
  source: Presentation["source"],
): Drug =>
  drug({
    key,
    name,
    classes: ["hospital analgesic"],
    licensedIn: [],
    hospitalOnly: true,
    presentations: [
      form(`${key}-hospital`, `${name}, hospital only`, unit, mgPerUnit, 0.1, source, {
        routes: [route],
      }),
    ],
    foodChain: OFF_LABEL_FOOD,
    cautions,
    figures,
  });

type MeasureOf = Presentation["unit"];

export const HOSPITAL_DRUGS: readonly Drug[] = [
  hospital(
    "lidocaine-infusion",
    "lidocaine infusion",
    "ml",
    20,
    "intravenous",
    ["Slows the gut in combination; stop with belly pain."],
    [
      figure("lidocaine/bolus", 1.3, "mg/kg", PAPER.infusion2014),
      figure("lidocaine/rate", 3, "mg/kg/h", PAPER.infusion2014),
    ],
    PAPER.infusion2014,
  ),
  hospital(
    "ketamine-infusion",
    "ketamine infusion",
    "ml",
    100,
    "intravenous",
    ["Controlled drug: locked, register kept."],
    [
      figure("ketamine/bolus", 0.55, "mg/kg", PAPER.infusion2014),
      figure("ketamine/rate", 0.5, "mg/kg/h", PAPER.infusion2014),
    ],
    PAPER.infusion2014,
  ),
  hospital(
    "butorphanol-infusion",
    "butorphanol infusion",
    "ml",
    10,
    "intravenous",
    ["Slows the gut."],
    [
      figure("butorphanol/bolus", 0.018, "mg/kg", PAPER.infusion2014),
      figure("butorphanol/rate", 0.013, "mg/kg/h", PAPER.infusion2014),
    ],
    PAPER.infusion2014,
  ),
  hospital(
    "fentanyl-patch",
    "fentanyl patch",
    "tablet",
    10,
    "patch",
    ["Count patches on and count them off; deadly to children and pets."],
    [figure("fentanyl/content-high", 0.11, "mg/kg total patch content", PAPER.fentanyl)],
    PAPER.fentanyl,
  ),
];

export const ACEPROMAZINE = drug({
  key: "acepromazine",
  name: "acepromazine oral gel",
  classes: ["sedative", "vasoactive", "dopamine antagonist"],
  licensedIn: ["UK", "EU"],
  presentations: [
    form("acepromazine-gel-35mg-ml", "oral gel 35 mg/mL", "ml", 35, 0.01, LABEL.acepromazine),
  ],
  ceilings: [dailyCeiling("acepromazine/24-h", EVERYWHERE, 0.225, LABEL.acepromazine)],
  phases: [
    phase("acepromazine/moderate", "acepromazine-gel-35mg-ml", 0.15, 1, 1, LABEL.acepromazine),
  ],
  courseCaps: [
    {
      id: "acepromazine/single-dose",
      jurisdictions: EVERYWHERE,
      treatmentDays: 1,
      source: LABEL.acepromazine,
    },
  ],
  pregnancy: "block",
  lactation: "block",
  reproductionSource: LABEL.acepromazine,
  minWeightKg: { kg: 200, source: LABEL.acepromazine },
  blockedConditions: ["shock", "cardiac disease", "epilepsy", "bleeding disorder", "dehydrated"],
  conditionSource: LABEL.acepromazine,
  foodChain: OFF_LABEL_FOOD,
  cautions: [
    "No pain relief. Stallions: lowest dose; ring the vet if the penis is not drawn back in 2-3 hours.",
  ],
  figures: [
    figure("acepromazine/mild", 0.075, "mg/kg", LABEL.acepromazine),
    figure("acepromazine/deep", 0.225, "mg/kg", LABEL.acepromazine),
  ],
});

export const PENTOXIFYLLINE = drug({
  key: "pentoxifylline",
  name: "pentoxifylline",
  classes: ["vasoactive"],
  licensedIn: [],
  presentations: [
    form(
      "pentoxifylline-paste-300mg-ml",
      "oral paste 300 mg/mL",
      "ml",
      300,
      0.5,
      RULE.minimumUnits,
    ),
  ],
  ceilings: [dailyCeiling("pentoxifylline/24-h", EVERYWHERE, 30, RULE.memory)],
  phases: [
    phase(
      "pentoxifylline/studied",
      "pentoxifylline-paste-300mg-ml",
      4.4,
      3,
      10,
      PAPER.pentoxifylline,
    ),
  ],
  foodChain: OFF_LABEL_FOOD,
  cautions: ["Did not raise blood flow to the foot in the study read."],
  figures: [figure("pentoxifylline/clinical-high", 10, "mg/kg per dose", RULE.memory)],
});
