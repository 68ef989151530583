import type { Source } from "../evidence/index.ts";

/** The works that the definitions and figures of this folder rest on. */

const published = (id: string, citation: string, url?: string): Source => ({
  id,
  citation,
  status: "published",
  ...(url === undefined ? {} : { url }),
});

export const FOUNDER_1999: Source = published(
  "cripps-eustace-1999-measurements",
  "Cripps PJ, Eustace RA (1999) Radiological measurements from the feet of normal horses with relevance to laminitis. Equine Vet J 31:427–432",
  "https://pubmed.ncbi.nlm.nih.gov/10505960/",
);
export const PROGNOSIS_1999: Source = published(
  "cripps-eustace-1999-prognosis",
  "Cripps PJ, Eustace RA (1999) Factors involved in the prognosis of equine laminitis in the UK. Equine Vet J 31:433–442",
  "https://doi.org/10.1111/j.2042-3306.1999.tb03845.x",
);
export const HOOF_AXES: Source = published(
  "hoof-axes-dareh-shori",
  "Effects of hoof trimming on radiographic measurements in the Dareh-Shori horse, Iranian Journal of Veterinary Surgery (angles S, T, U; H = T − S; R = T − U)",
);
export const HORN_LAMELLAR: Source = published(
  "floyd-2011",
  "Floyd A (2011) Understanding disease progression and abnormal hoof anatomy, part 1 (horn–lamellar zone, sole depth, digital alignment); practitioner article",
);
export const SOLE_DEPTH: Source = published(
  "redden-sole-depth",
  "Redden RF, How to measure sole depth (to the ground, or to the top of the shoe when shod); practitioner article",
);
export const RATIO_415: Source = published(
  "hdpd-415-feet",
  "Radiographic assessment of the ratio of the hoof wall–distal phalanx distance to palmar length of the distal phalanx in 415 front feet of 279 horses: mean 0.25, SD 0.03",
);
export const PALMAR_ANGLE_BOOK: Source = published(
  "equine-clinical-medicine-p88",
  "Equine Clinical Medicine, Surgery and Reproduction, 2nd ed., p. 88: solar margin to ground 2–10°, most often 3–5°",
);
export const DISPLACEMENT_BOOK: Source = published(
  "equine-clinical-medicine-p71",
  "Equine Clinical Medicine, Surgery and Reproduction, 2nd ed., p. 71: types of displacement of the distal phalanx; wall marker from the coronary band",
);
export const FOOT_BALANCE_2006: Source = published(
  "kummer-2006",
  "Kummer M et al. (2006) The effect of hoof trimming on radiographic measurements of the front feet of normal Warmblood horses. Vet J 172:58–66",
  "https://doi.org/10.1016/j.tvjl.2005.03.008",
);
export const HEEL_TOE_2004: Source = published(
  "eliashar-2004",
  "Eliashar E et al. (2004) Relationship of foot conformation and force applied to the navicular bone of sound horses at the trot. Equine Vet J 36:431–435",
);
export const ASYMMETRIC_2007: Source = published(
  "ogrady-2007-dorsopalmar",
  "O'Grady SE, Steward ML, Parks AH (2007) How to construct and apply the wooden shoe for treating three manifestations of chronic laminitis (lines for one-sided displacement)",
);
export const CENTRING_STUDY: Source = published(
  "beam-centring-24-feet",
  "The position of x-ray beam centring affects radiographic measurements of palmar angle and sole thickness (24 unshod feet, 3 observers)",
);
export const STICK_1982: Source = published(
  "stick-1982",
  "Stick JA et al. (1982) Pedal bone rotation as a prognostic sign in laminitis of horses. J Am Vet Med Assoc 180:251–253",
);
export const HUNT_1993: Source = published(
  "hunt-1993",
  "Hunt RJ (1993) A retrospective evaluation of laminitis in horses. Equine Vet J 25:61–64",
  "https://doi.org/10.1111/j.2042-3306.1993.tb02903.x",
);
export const CARE_BOOK: Source = published(
  "veterinary-care-of-the-horse-p261",
  "The Veterinary Care of the Horse, p. 261: founder distance over 15 mm carries a poor outlook; a dark shadow at the front of the hoof is trapped gas or fluid",
);
export const DONKEY_2011: Source = published(
  "collins-2011",
  "Collins SN et al. (2011) Radiological anatomy of the donkey's foot: objective characterisation of the normal and laminitic donkey foot. Equine Vet J 43:478–486 (figures as reported in a trade journal)",
  "https://doi.org/10.1111/j.2042-3306.2010.00312.x",
);
export const WALL_MARKER: Source = published(
  "barrett-wall-marker",
  "Barrett B, Eight steps for accurate horse hoof radiographs: 2–3 mm of placement error at the coronary band can matter; trade journal",
);
export const POSITIONING_BOOK: Source = published(
  "radiography-guide-p19",
  "A Practical Guide to Equine Radiography, p. 19, and trade and practice guides on hoof radiographs",
);
export const GAS_SHADOW: Source = published(
  "resection-farrier",
  "Farrier article on hoof wall resection: a gas shadow shows a void; what it holds is unknown until it is opened",
);
export const HEEL_RAISE: Source = published(
  "heel-elevation-review",
  "Heel elevation and equine laminitis; professional article: not for sinking, and for two to three weeks at most",
);
export const STALE_FILMS: Source = published(
  "weeks-old-films",
  "Real-time radiographs with the farrier present: films some weeks old mislead; professional article",
);
export const PLAIN_GEOMETRY: Source = {
  id: "plane-geometry",
  citation: "Plane geometry from the landmarks",
  status: "derived",
};
export const PROJECTION: Source = {
  id: "projection-geometry",
  citation: "Central projection from a point source: magnification = SID ÷ (SID − OID)",
  status: "derived",
};
export const UNCERTAINTY_GUIDE: Source = {
  id: "jcgm-100",
  citation: "JCGM 100:2008, Guide to the expression of uncertainty in measurement",
  status: "standard",
};
export const MEASUREMENT_ERROR: Source = published(
  "bland-altman-1996",
  "Bland JM, Altman DG (1996) Measurement error. BMJ 313:744: repeatability 1.96·√2·within-subject SD",
  "https://doi.org/10.1136/bmj.313.7059.744",
);
export const WALL_OPENING: Source = {
  id: "live-tissue-by-a-vet",
  citation: "Cutting live tissue of the foot is veterinary surgery; follow local law",
  status: "house rule",
};
export const HOUSE: Source = {
  id: "house-rule-radiographs",
  citation: "House rule of the practice; replace with the practice's own repeat-reading study",
  status: "house rule",
};
