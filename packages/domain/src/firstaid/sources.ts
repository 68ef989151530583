import type { Source } from "../evidence/index.ts";

export const EMERGENCY_PAGE: Source = {
  id: "emergency-bedding",
  citation:
    "Clinic emergency page: as urgent as colic; shavings at least 18 inches (457 mm) deep over the whole floor; bring home by trailer",
  status: "published",
  url: "http://www.laminitis.org/emergency%20treatment.html",
};

export const CONFERENCE_BED: Source = {
  id: "conference-bed",
  citation: "Conference summary: a bed of 40 cm",
  status: "published",
};

export const DO_NOT_WALK: Source = {
  id: "first-response-2015",
  citation:
    "First-response articles 2015-2017: do not walk a suspected case, leave it where it is, let it lie down, write down the vital signs",
  status: "published",
};

export const FROG_SUPPORT: Source = {
  id: "frog-support-first-aid",
  citation:
    "Vet practice first-aid page: pads under the frog if the feet are lifted readily; if very unwilling, wait for the vet",
  status: "published",
};

export const FOAM_BLOCK: Source = {
  id: "foam-block",
  citation:
    "Podiatry practice page: 50 mm dense foam block cut to the foot, crushed in 12-24 h depending on weight, then cut and replaced; keeps the bed thin",
  status: "published",
};

export const FOAM_BY_WEIGHT: Source = {
  id: "foam-by-weight",
  citation:
    "Light animals do not crush a foam block, which then stays a hard lump; common practice, no source. No table of foam by weight was found",
  status: "common practice",
};

export const SOFT_LAYER: Source = {
  id: "oosterlinck-2014",
  citation:
    "Oosterlinck 2014: a soft layer of 50 mm lowered peak pressure and spread contact in 5 ponies",
  status: "published",
};

export const WHICH_FEET: Source = {
  id: "support-both",
  citation: "Support the foot on the other side as well; common practice, no source",
  status: "common practice",
};

export const COOLING: Source = {
  id: "cooling-2023",
  citation:
    "Review of continuous cooling, Vet J 2023: hoof below 10 °C; ice and water to the fetlock and above, foot alone failed",
  status: "published",
  url: "https://doi.org/10.1016/j.tvjl.2023.106016",
};

export const MEDICINE_SHELF: Source = {
  id: "no-home-medicine",
  citation:
    "Owner first-aid pages: give no medicine yourself; it hides signs and counts against the limit",
  status: "published",
};

export const FORAGE: Source = {
  id: "do-not-starve",
  citation:
    "Starving a pony can start a fatal blood-fat illness; older advice says feed nothing until the vet comes: ask",
  status: "published",
};

export const SHOES_STAY: Source = {
  id: "shoes-stay",
  citation: "Pulling a shoe by hammering hurts a sore foot; common practice, no source",
  status: "common practice",
};

export const HOUSE_SHEET: Source = {
  id: "house-first-aid",
  citation: "House first-aid sheet, for the clinical lead to confirm",
  status: "house rule",
};
