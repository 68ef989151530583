import type { Source } from "../evidence/index.ts";

export const UELN_RULES: Source = {
  id: "ueln-attribution",
  citation:
    "Universal equine life number: rules of attribution (3-digit ISO 3166-1 country, 3-character database, 9-character individual number)",
  status: "standard",
  url: "https://www.ueln.net/ueln-presentation/rules-of-attribution-of-the-ueln/",
};

export const ISO_3166: Source = {
  id: "iso-3166-1",
  citation: "ISO 3166-1 numeric country codes; 900-999 are never countries",
  status: "standard",
};

export const ISO_11784: Source = {
  id: "iso-11784",
  citation:
    "ISO 11784 code structure of radio-frequency identification of animals: 3-digit country or maker, number held in 38 bits; 999 marks test transponders",
  status: "standard",
};

export const CHIP_MISUSE: Source = {
  id: "icar-misuse",
  citation: "Published list of misused transponder codes, animal identification devices",
  status: "published",
  url: "https://www.icar.org/certifications/animal-identification-devices/misuse",
};

export const CARROLL_HUNTINGTON: Source = {
  id: "carroll-huntington-1988",
  citation:
    "Carroll & Huntington 1988, Equine Vet J 20:41-45: weight = girth² × length / 11,900, 281 horses; 11,880 is the form usually quoted, 11,877 also appears",
  status: "published",
  url: "https://doi.org/10.1111/j.2042-3306.1988.tb01451.x",
};

export const TAPE_READING: Source = {
  id: "girth-reading",
  citation: "Starting value: a girth or length read in the yard repeats within about 1 cm",
  status: "house rule",
};

export const SMALL_ANIMAL_WEIGHT: Source = {
  id: "tape-small-ponies",
  citation:
    "Weigh tape against weighbridge: ponies under 100 cm read +14.3 % (SD 15.95); donkeys need their own nomogram",
  status: "published",
};

export const HENNEKE: Source = {
  id: "henneke-1983",
  citation:
    "Henneke et al. 1983, Equine Vet J 15:371-372, body condition 1-9 (wording of 6-9 from memory)",
  status: "published",
  url: "https://doi.org/10.1111/j.2042-3306.1983.tb01826.x",
};

export const CARTER_NECK: Source = {
  id: "carter-2009",
  citation:
    "Carter et al. 2009, Vet J 179:204-210, cresty neck 0-5; 3 or more counts as cresty (wording of 1-4 from memory)",
  status: "published",
  url: "https://doi.org/10.1016/j.tvjl.2008.02.029",
};

export const WEIGHT_RULES: Source = {
  id: "house-weight-rules",
  citation:
    "Starting values: a change of 5 % asks for doses and rations to be worked out again, 10 % holds weight-based orders",
  status: "house rule",
};

export const LOSS_RATE: Source = {
  id: "weekly-loss",
  citation: "Planned loss of 0.5-1 % of body weight a week in overweight horses",
  status: "published",
};
