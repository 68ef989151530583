import type { Source } from "../evidence/index.ts";

export const OBEL: Source = {
  id: "obel-1948",
  citation: "Obel 1948, as tabled in Meier et al. 2021, BMC Vet Res 17:16, table 1 (own words)",
  status: "published",
  url: "https://bmcvetres.biomedcentral.com/articles/10.1186/s12917-020-02715-7/tables/1",
};

export const OBEL_SPLIT: Source = {
  id: "menzies-gow-2010",
  citation: "Menzies-Gow et al. 2010, Vet Rec 167:364: Obel 1-2 mild, 3-4 severe",
  status: "published",
};

export const FIVE_SIGN: Source = {
  id: "meier-2019",
  citation:
    "Meier et al. 2019, PeerJ 7:e7084: five signs, total 0-12 (the points per sign were not readable to us)",
  status: "published",
  url: "https://doi.org/10.7717/peerj.7084",
};

export const FIVE_SIGN_COURSE: Source = {
  id: "meier-2021",
  citation:
    "Meier et al. 2021, BMC Vet Res 17:16: 80 cases, median 8 of 12 on day 0 and 0 on day 25; painkillers withheld 24 h before scoring",
  status: "published",
  url: "https://doi.org/10.1186/s12917-020-02715-7",
};

export const SLOW_HEALERS: Source = {
  id: "slow-healers-2022",
  citation:
    "BMC Vet Res 2022: 27 of 37 horses at median 0 (0-2) by day 14; 10 slow ones at median 5 (4-7) or in relapse",
  status: "published",
  url: "https://doi.org/10.1186/s12917-022-03149-z",
};

export const LAMENESS_SCALE: Source = {
  id: "aaep-lameness",
  citation: "American Association of Equine Practitioners lameness scale 0-5 (own words)",
  status: "published",
};

export const RED_FLAG_LIST: Source = {
  id: "house-red-flags",
  citation: "Starting list of signs that need a vet at once, for the clinical lead to confirm",
  status: "house rule",
};

export const AFTERBIRTH: Source = {
  id: "retained-afterbirth",
  citation: "Retained afterbirth: over 3 hours after foaling; laminitis risk (clinic page)",
  status: "published",
};

export const SUPPORT_LIMB: Source = {
  id: "support-limb",
  citation: "Supporting-limb laminitis: the sound leg of a lame horse is the leg at risk",
  status: "published",
};

export const NSAID_LABEL: Source = {
  id: "phenylbutazone-label-response",
  citation: "Phenylbutazone product particulars: stop if there is no response in 4-5 days",
  status: "label",
};

export const TWENTY_FOUR_HOUR_GAP: Source = {
  id: "nsaid-label-gap",
  citation: "Anti-inflammatory product particulars: none other within 24 h",
  status: "label",
};

export const RESTING_VALUES: Source = {
  id: "resting-values",
  citation:
    "Resting adult horse: heart 28-44 a minute, breathing 8-16 a minute, 37.5-38.5 °C; handbook values from memory",
  status: "from memory",
};

export const EMERGENCY: Source = {
  id: "laminitis-emergency",
  citation: "Suspected laminitis is an emergency on a par with colic: ring the vet",
  status: "published",
  url: "http://www.laminitis.org/emergency%20treatment.html",
};
