import type { Jurisdiction } from "../types.ts";
import { FORMULARY_REVIEW_ON, FORMULARY_VERSION } from "./define.ts";
import { LEVOTHYROXINE, METFORMIN, PERGOLIDE, SGLT2_INHIBITORS } from "./metabolic-drugs.ts";
import { FIROCOXIB, FLUNIXIN, KETOPROFEN, MELOXICAM } from "./nsaids.ts";
import { PHENYLBUTAZONE, SUXIBUZONE } from "./phenylbutazone.ts";
import {
  ACEPROMAZINE,
  GABAPENTIN,
  HOSPITAL_DRUGS,
  MISOPROSTOL,
  OMEPRAZOLE,
  PARACETAMOL,
  PENTOXIFYLLINE,
  SUCRALFATE,
} from "./stomach-and-pain.ts";
import type { Drug, Figure, Presentation } from "./types.ts";

/** Every drug the practice may choose from. Data only; the rules read it. */
export const FORMULARY: readonly Drug[] = [
  PHENYLBUTAZONE,
  SUXIBUZONE,
  FLUNIXIN,
  MELOXICAM,
  FIROCOXIB,
  KETOPROFEN,
  PARACETAMOL,
  GABAPENTIN,
  OMEPRAZOLE,
  SUCRALFATE,
  MISOPROSTOL,
  ACEPROMAZINE,
  PENTOXIFYLLINE,
  PERGOLIDE,
  METFORMIN,
  ...SGLT2_INHIBITORS,
  LEVOTHYROXINE,
  ...HOSPITAL_DRUGS,
];

const BY_KEY: ReadonlyMap<string, Drug> = new Map(FORMULARY.map((entry) => [entry.key, entry]));

/** The drug of this key, or undefined. */
export const drugOf = (key: string): Drug | undefined => BY_KEY.get(key);

/** The presentation of a drug, or undefined. */
export const presentationOf = (drug: Drug, key: string): Presentation | undefined =>
  drug.presentations.find((presentation) => presentation.key === key);

/** Drugs with at least one presentation sold in the jurisdiction. */
export const formularyFor = (jurisdiction: Jurisdiction): readonly Drug[] =>
  FORMULARY.filter((entry) =>
    entry.presentations.some((presentation) => presentation.jurisdictions.includes(jurisdiction)),
  );

/** Every figure recalled from memory that no vet of the practice has confirmed yet. */
export const unverifiedFigures = (confirmed: readonly string[] = []): readonly Figure[] =>
  FORMULARY.flatMap((entry) => [
    ...entry.figures,
    ...entry.ceilings.map((ceiling) => ({
      id: ceiling.id,
      value: ceiling.mgPerKg ?? ceiling.absoluteMg ?? 0,
      unit: ceiling.mgPerKg === undefined ? "mg" : "mg/kg",
      source: ceiling.source,
    })),
  ]).filter((entry) => entry.source.status === "from memory" && !confirmed.includes(entry.id));

/** Version and next review of the table as a whole. */
export const FORMULARY_EDITION = {
  version: FORMULARY_VERSION,
  reviewOn: FORMULARY_REVIEW_ON,
} as const;
