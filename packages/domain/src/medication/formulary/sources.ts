import type { Source } from "../../evidence/index.ts";

const source = (id: string, citation: string, status: Source["status"]): Source => ({
  id,
  citation,
  status,
});

/** Labels and data sheets. */
export const LABEL = {
  pbzUkPowder: source(
    "label/phenylbutazone-1g-uk",
    "UK summary of product characteristics, phenylbutazone 1 g sachet powder and 1 g-per-division paste (dose part seen on a reproduction)",
    "label",
  ),
  pbz200: source(
    "label/phenylbutazone-200mg-g",
    "Data sheet, phenylbutazone 200 mg/g oral powder, 5 g sachet",
    "label",
  ),
  pbzUkCautions: source(
    "label/phenylbutazone-cautions-uk",
    "UK data sheets, phenylbutazone for horses: contraindications, cautions and 24 h between NSAIDs",
    "label",
  ),
  pbzPaste200: source(
    "label/phenylbutazone-paste-200mg-ml",
    "Australian and New Zealand label, phenylbutazone oral paste 200 mg/mL",
    "label",
  ),
  suxibuzone: source(
    "label/suxibuzone-eu",
    "EU product text, suxibuzone granules 1.5 g per 10 g sachet",
    "label",
  ),
  suxibuzone3g: source(
    "label/suxibuzone-3g-eu",
    "EU summaries of product characteristics, suxibuzone for horses: age, class and food-chain warnings",
    "label",
  ),
  flunixinInj: source(
    "label/flunixin-injection",
    "UK data sheet, flunixin 50 mg/mL injection",
    "label",
  ),
  flunixinGranules: source(
    "label/flunixin-granules",
    "Summary of product characteristics 2016, flunixin granules 25 mg/g, 10 g sachet",
    "label",
  ),
  flunixinCautions: source(
    "label/flunixin-cautions",
    "UK data sheets, flunixin for horses: contraindications",
    "label",
  ),
  meloxicam: source(
    "label/meloxicam-oral",
    "UK data sheet 2024, meloxicam 15 mg/mL oral suspension for horses",
    "label",
  ),
  meloxicamInj: source(
    "label/meloxicam-injection",
    "Australian and New Zealand label, meloxicam injection: not with glucocorticoids, other NSAIDs or anticoagulants",
    "label",
  ),
  firocoxibEu: source(
    "label/firocoxib-eu",
    "EU and UK summaries of product characteristics, firocoxib tablet 57 mg and paste 8.2 mg/g for horses",
    "label",
  ),
  firocoxibUsPaste: source(
    "label/firocoxib-us-paste",
    "US label, firocoxib oral paste 0.82 %: syringe marks, rounding up to the next 50 lb, 14 days for all forms",
    "label",
  ),
  ketoprofenUk: source("label/ketoprofen-uk", "UK data sheets, ketoprofen injection", "label"),
  omeprazoleUk: source(
    "label/omeprazole-paste-uk",
    "UK data sheets, omeprazole oral paste 370 mg/g",
    "label",
  ),
  omeprazoleGranules: source(
    "label/omeprazole-granules-eu",
    "EU leaflet, omeprazole gastro-resistant granules 400 mg sachet for horses",
    "label",
  ),
  acepromazine: source(
    "label/acepromazine-gel",
    "UK and EU summary of product characteristics, acepromazine oral gel 35 mg/mL",
    "label",
  ),
  pergolideEu: source(
    "label/pergolide-eu",
    "UK and EU data sheets, pergolide tablets for horses",
    "label",
  ),
  pergolideUs: source("label/pergolide-us", "US label text, pergolide 1 mg tablets", "label"),
  levothyroxine: source(
    "label/levothyroxine-us",
    "US label, levothyroxine powder for horses",
    "label",
  ),
  nsaidWater: source(
    "label/nsaid-water",
    "UK NSAID data sheets for horses: avoid in dehydrated, hypovolaemic or hypotensive animals; water must be free",
    "label",
  ),
} as const;

/** Law. */
export const LAW = {
  pbzUs: source(
    "law/21-cfr-520-1720",
    "21 CFR 520.1720a-d, phenylbutazone oral forms: 1-2 g per 500 lb a day, not above 4 g a day",
    "law",
  ),
  pbzUsIv: source(
    "law/21-cfr-522-1720",
    "21 CFR 522.1720, phenylbutazone injection: 1-2 g per 1,000 lb a day in 3 doses, at most 4 g, 5 successive days",
    "law",
  ),
  flunixinUs: source("law/21-cfr-522-970", "21 CFR 522.970, flunixin injection", "law"),
  flunixinUsPaste: source("law/21-cfr-520-970b", "21 CFR 520.970b, flunixin paste", "law"),
  firocoxibUsTablet: source("law/21-cfr-520-928", "21 CFR 520.928, firocoxib tablets", "law"),
  firocoxibUsPaste: source("law/21-cfr-520-930", "21 CFR 520.930, firocoxib paste", "law"),
  firocoxibUsInj: source("law/21-cfr-522-930", "21 CFR 522.930, firocoxib injection", "law"),
  ketoprofenUs: source("law/21-cfr-522-1225", "21 CFR 522.1225, ketoprofen injection", "law"),
  omeprazoleUs: source("law/21-cfr-520-1615", "21 CFR 520.1615, omeprazole paste", "law"),
  pergolideUs: source("law/21-cfr-520-1705", "21 CFR 520.1705, pergolide tablets", "law"),
  passport: source(
    "law/equine-passport",
    "Commission Implementing Regulation (EU) 2021/963, Delegated Regulation (EU) 2021/577 and UK passport law: phenylbutazone and suxibuzone only for animals excluded from the food chain",
    "law",
  ),
  usFood: source(
    "law/21-cfr-food-horses",
    "21 CFR parts 520 and 522: not in horses intended for human consumption",
    "law",
  ),
} as const;

/** Papers. */
export const PAPER = {
  lees1985: source(
    "paper/lees-1985",
    "Lees et al. 1985, Veterinary Record 116:229, phenylbutazone clearance in young and older ponies",
    "published",
  ),
  reed2006: source(
    "paper/reed-2006",
    "Reed et al. 2006, Am J Vet Res 67:398, phenylbutazone with flunixin for 5 days",
    "published",
  ),
  ricord2021: source(
    "paper/ricord-2021",
    "Ricord et al. 2021, Equine Vet J 53:356, omeprazole with phenylbutazone",
    "published",
  ),
  mealey1997: source(
    "paper/mealey-1997",
    "Mealey et al. 1997, Am J Vet Res 58:53, and Matthews et al. 2001, Am J Vet Res 62:673, phenylbutazone in donkeys",
    "published",
  ),
  paracetamol2023: source(
    "paper/paracetamol-2023",
    "Equine Vet J 2023, doi 10.1111/evj.13959, paracetamol 30 mg/kg twice a day for 21 days",
    "published",
  ),
  firocoxib2023: source(
    "paper/firocoxib-2023",
    "Review 2023 (PubMed 36684818) and firocoxib pharmacokinetic study: half-life 1.64-1.73 days",
    "published",
  ),
  varley2019: source(
    "paper/varley-2019",
    "Varley et al. 2019, misoprostol against omeprazole with sucralfate in glandular disease",
    "published",
  ),
  gabapentin2022: source(
    "paper/gabapentin-2022",
    "Gabapentin in horses 2022 (PMC8965223) and earlier 14-day trial of 5 and 10 mg/kg",
    "published",
  ),
  infusion2014: source(
    "paper/infusion-2014",
    "BMC Veterinary Research 2014, 10(S1):S6, lidocaine, ketamine and butorphanol infusions over 96 h",
    "published",
  ),
  fentanyl: source(
    "paper/fentanyl-patch",
    "Thomasy et al. and Skrzypczak 2022, fentanyl patches in horses",
    "published",
  ),
  metformin2021: source(
    "paper/metformin-2021",
    "Clinical review 2021 and 2023 trial of 30 mg/kg metformin before oral sugar (Equine Vet J)",
    "published",
  ),
  sundra2023: source(
    "paper/sundra-2023",
    "Sundra et al. 2023, ertugliflozin in 51 animals, 30 days",
    "published",
  ),
  sglt2Cohort: source(
    "paper/sglt2-cohort",
    "Cohort of 48 horses on dapagliflozin 0.02 or ertugliflozin 0.05 mg/kg: triglycerides above 2.0 mmol/L in 21 %",
    "published",
  ),
  canagliflozin: source(
    "paper/canagliflozin",
    "Randomised trials of canagliflozin in 16 and 42 horses",
    "published",
  ),
  velagliflozin: source(
    "paper/velagliflozin",
    "BMC Veterinary Research 2019 (s12917-019-1811-2), PLoS One 2018 e0203655 and a 37-horse trial, velagliflozin 0.3 mg/kg",
    "published",
  ),
  sglt2Harm: source(
    "paper/sglt2-harm",
    "Veterinary Record 2024;195:253, harm reported with SGLT2 inhibitors in horses",
    "published",
  ),
  pentoxifylline: source(
    "paper/pentoxifylline-1999",
    "Veterinary Surgery 1999 28(3): pentoxifylline 4.4 mg/kg every 8 h did not raise digital flow",
    "published",
  ),
  sucralfate: source(
    "paper/sucralfate",
    "Clinical review of gastric ulcer treatment and the sucralfate arm of Varley et al. 2019",
    "published",
  ),
} as const;

/** Arithmetic, house rules and recalled figures. */
export const RULE = {
  molar: source(
    "derived/suxibuzone-molar",
    "Molar masses 308.4 (phenylbutazone) and 438.5 (suxibuzone): ratio 0.7033; masses recalled",
    "derived",
  ),
  pbzGeneral: source(
    "house/phenylbutazone-ceiling",
    "Ceiling on the active substance from the UK 1 g label schedule with the US 4 g a day limit, whichever is lower",
    "house rule",
  ),
  pbzPony: source(
    "house/phenylbutazone-pony",
    "UK pony schedule (4.4 mg/kg every second day, no loading) read as a ceiling of 4.4 mg/kg in any 48 h",
    "house rule",
  ),
  pbzAged: source(
    "house/phenylbutazone-aged",
    "No loading from 20 years; review every 7 days from 15 years, after Lees et al. 1985 (slower clearance in older ponies)",
    "house rule",
  ),
  pbzUsMaintain: source(
    "house/phenylbutazone-us-maintain",
    "21 CFR 520.1720: high for the first 48 h, then the lowest effective level; read as a reason asked above 4.4 mg/kg from day 3",
    "house rule",
  ),
  paracetamolHouse: source(
    "house/paracetamol",
    "House limit 20 mg/kg twice in 24 h; 30 mg/kg twice a day is the most studied",
    "house rule",
  ),
  pergolideLead: source(
    "house/pergolide-lead",
    "Above 4 micrograms/kg the clinical lead agrees in writing (US limit used as a line to ask)",
    "house rule",
  ),
  review: source(
    "house/review-14",
    "Label: stop if there is no response by day 4-5; then a new signature every 14 days (house rule)",
    "house rule",
  ),
  resign: source("house/resign-14", "A new signature every 14 days", "house rule"),
  longReview: source(
    "house/review-long",
    "Long-term medicine: review at 6 weeks, then every 6 months; the re-test interval of 4-6 weeks is on the pergolide label",
    "house rule",
  ),
  monitoringNsaid: source(
    "house/monitoring-nsaid",
    "Blood at the start, day 5-7, day 14, then every 4 weeks; labels ask for baseline and periodic tests and fix no interval",
    "house rule",
  ),
  monitoringSglt2: source(
    "house/monitoring-sglt2",
    "Triglycerides, liver values, creatinine and insulin before, at day 7-14, day 30, then every 3 months; no published guideline found",
    "house rule",
  ),
  monitoringPergolide: source(
    "house/monitoring-pergolide",
    "Hormone test 4-6 weeks after each change (label), then every 6 months with one in autumn (recalled)",
    "house rule",
  ),
  minimumUnits: source("house/minimum-units", "Smallest amount a yard can measure", "house rule"),
  hospitalOnly: source(
    "house/hospital-only",
    "Infusions and opioid patches belong in a hospital and are never booked as yard doses",
    "house rule",
  ),
  pbzSwitch: source(
    "derived/switch-72",
    "UK label: effect can last at least 3 days after the last dose, so 72 h is shown as a notice",
    "derived",
  ),
  firocoxibSwitch: source(
    "derived/switch-firocoxib",
    "Five half-lives of 1.7 days, so 8-9 days is shown as a notice",
    "derived",
  ),
  offLabel: source(
    "house/off-label-food",
    "An active substance not listed for food animals: treated as excluding the animal until a vet confirms",
    "house rule",
  ),
  memory: source("memory/recalled", "Recalled, not checked against a data sheet", "from memory"),
  molarMemory: source("memory/molar-mass", "Molar masses recalled", "from memory"),
} as const;
