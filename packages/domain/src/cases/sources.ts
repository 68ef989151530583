import type { Source } from "../evidence/index.ts";

export const HUNT_WHARTON: Source = {
  id: "hunt-wharton-2010",
  citation:
    "Hunt & Wharton 2010, Vet Clin North Am Equine: acute to about 72 h; subacute beyond it without displacement; chronic with displacement at whatever hour",
  status: "published",
};

export const FLOYD_ACUTE: Source = {
  id: "floyd-2011",
  citation: "Floyd 2011: the first 6-8 weeks are called acute",
  status: "published",
};

export const THIRTY_DAYS: Source = {
  id: "thirty-days-sound",
  citation: "Box rest until 30 days after sound without painkillers (clinic page)",
  status: "published",
  url: "http://www.laminitis.org/emergency%20treatment.html",
};

export const LABEL_THREE_DAYS: Source = {
  id: "phenylbutazone-label-effect",
  citation:
    "Phenylbutazone product particulars: the effect can last three days after the last dose",
  status: "label",
};

export const SUPPORT_LIMB_SOURCE: Source = {
  id: "support-limb-watch",
  citation:
    "Supporting-limb laminitis: watch the sound leg from the first day (professional article)",
  status: "published",
  url: "https://thehorse.com/152149/preventing-supporting-limb-laminitis",
};

export const HOUSE_CASE_RULES: Source = {
  id: "house-case-rules",
  citation: "Starting rules for phases and closing, for the practice to confirm",
  status: "house rule",
};
