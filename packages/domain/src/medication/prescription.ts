import type { Finding, Source } from "../evidence/index.ts";
import { addDays, daysBetween, dayText, type LocalDate } from "../time/index.ts";
import { DateTime } from "luxon";
import { found } from "./finding.ts";
import type { Jurisdiction } from "./types.ts";

const VMR: Source = {
  id: "law/vmr-2013-sch3-6",
  citation:
    "Veterinary Medicines Regulations 2013 (UK), Schedule 3 paragraph 6 (text before the 2024 amendments): contents and validity of a written prescription",
  status: "law",
};
const MDR: Source = {
  id: "law/mdr-2001-15",
  citation:
    "Misuse of Drugs Regulations 2001 (UK), regulation 15, and professional guidance: controlled drug prescriptions",
  status: "law",
};
const EU_105: Source = {
  id: "law/eu-2019-6-105-5",
  citation: "Regulation (EU) 2019/6, article 105(5): minimum contents (recalled)",
  status: "from memory",
};
const EU_105_10: Source = {
  id: "law/eu-2019-6-105-10",
  citation: "Regulation (EU) 2019/6, article 105(10): antimicrobials valid 5 days from issue",
  status: "law",
};
const IRELAND: Source = {
  id: "law/ireland-12-months",
  citation: "Irish department statements 2021-22: up to 12 months; S.I. 462/2024 not read",
  status: "from memory",
};
const CFR_530_12: Source = {
  id: "law/21-cfr-530-12",
  citation: "21 CFR 530.12: labelling of drugs for extra-label use",
  status: "law",
};
const US_STATE: Source = {
  id: "law/us-state",
  citation: "State law sets the length of a prescription; ask the state board",
  status: "from memory",
};

/** Every field a written prescription may need, in the words of the trade. */
export const PRESCRIPTION_FIELDS = {
  prescriberName: "Name of the prescribing vet",
  prescriberAddress: "Address of the prescribing vet",
  prescriberPhone: "Telephone of the prescribing vet",
  prescriberQualifications: "Qualifications",
  prescriberNumber: "Professional registration number",
  keeperName: "Name of the owner or keeper",
  keeperAddress: "Address of the owner or keeper",
  keeperContact: "Contact of the owner or keeper",
  animalIdentity: "Identity of the animal",
  animalSpecies: "Species",
  premises: "Premises where the animal is kept, if different",
  issuedOn: "Date",
  signature: "Signature or other authentication",
  product: "Name of the product and active substance",
  formAndStrength: "Form and strength",
  quantity: "Quantity",
  quantityInWordsAndFigures: "Total quantity in words and figures",
  dosage: "Dosage and instructions",
  route: "Route",
  duration: "Duration of treatment",
  frequency: "Frequency",
  warnings: "Warnings",
  withdrawal: "Withdrawal time, even if zero",
  cascadeStatement: "Statement if prescribed under the cascade or off-label",
  underCareDeclaration: "Declaration that the animal is under the vet's care",
  repeats: "Number of repeat supplies",
} as const;
export type PrescriptionField = keyof typeof PRESCRIPTION_FIELDS;

export interface RequiredField {
  readonly field: PrescriptionField;
  readonly when: "always" | "controlled" | "food animal" | "off-label" | "repeatable" | "elsewhere";
  readonly source: Source;
}

const always = (source: Source, fields: readonly PrescriptionField[]): readonly RequiredField[] =>
  fields.map((field) => ({ field, when: "always", source }));

const UK_FIELDS: readonly RequiredField[] = [
  ...always(VMR, [
    "prescriberName",
    "prescriberAddress",
    "prescriberPhone",
    "prescriberQualifications",
    "keeperName",
    "keeperAddress",
    "animalIdentity",
    "animalSpecies",
    "issuedOn",
    "signature",
    "product",
    "quantity",
    "dosage",
    "warnings",
  ]),
  { field: "premises", when: "elsewhere", source: VMR },
  { field: "withdrawal", when: "food animal", source: VMR },
  { field: "cascadeStatement", when: "off-label", source: VMR },
  { field: "repeats", when: "repeatable", source: VMR },
  ...(
    [
      "underCareDeclaration",
      "prescriberNumber",
      "formAndStrength",
      "quantityInWordsAndFigures",
    ] as const
  ).map((field): RequiredField => ({ field, when: "controlled", source: MDR })),
];

const EU_FIELDS: readonly RequiredField[] = [
  ...always(EU_105, [
    "animalIdentity",
    "keeperName",
    "keeperContact",
    "issuedOn",
    "prescriberName",
    "prescriberPhone",
    "prescriberNumber",
    "signature",
    "product",
    "formAndStrength",
    "quantity",
    "dosage",
    "warnings",
  ]),
  { field: "withdrawal", when: "food animal", source: EU_105 },
  { field: "cascadeStatement", when: "off-label", source: EU_105 },
];

const US_FIELDS: readonly RequiredField[] = always(CFR_530_12, [
  "prescriberName",
  "prescriberAddress",
  "product",
  "animalIdentity",
  "dosage",
  "frequency",
  "route",
  "duration",
  "warnings",
  "withdrawal",
]);

/** What a prescription is about, for the fields and the validity. */
export interface PrescriptionKind {
  readonly jurisdiction: Jurisdiction;
  readonly controlled?: "schedule 2" | "schedule 3" | "schedule 4" | undefined;
  readonly antimicrobial?: boolean | undefined;
  readonly offLabel?: boolean | undefined;
  readonly foodAnimal?: boolean | undefined;
  readonly keptElsewhere?: boolean | undefined;
  readonly repeatable?: boolean | undefined;
}

/** The fields that must be filled in, in order. `general` takes the longest list (UK). */
export const requiredPrescriptionFields = (kind: PrescriptionKind): readonly RequiredField[] => {
  const list =
    kind.jurisdiction === "US" ? US_FIELDS : kind.jurisdiction === "EU" ? EU_FIELDS : UK_FIELDS;
  return list.filter(
    ({ when }) =>
      when === "always" ||
      (when === "controlled" && kind.controlled !== undefined) ||
      (when === "food animal" && kind.foodAnimal === true) ||
      (when === "off-label" && kind.offLabel === true) ||
      (when === "repeatable" && kind.repeatable === true) ||
      (when === "elsewhere" && kind.keptElsewhere === true),
  );
};

/** Required fields without text. */
export const missingPrescriptionFields = (
  kind: PrescriptionKind,
  filled: Readonly<Partial<Record<PrescriptionField, string>>>,
): readonly PrescriptionField[] =>
  requiredPrescriptionFields(kind)
    .map(({ field }) => field)
    .filter((field) => (filled[field] ?? "").trim() === "");

export interface PrescriptionValidity {
  /** Last day on which it may be supplied. */
  readonly lastOn: LocalDate;
  readonly valid: boolean;
  readonly repeatsAllowed: boolean;
  readonly finding: Finding;
}

/**
 * Whether a prescription may still be supplied on a day. UK: 6 months, controlled drugs of
 * schedules 2-4 28 days. EU: antimicrobials 5 days; other medicines are national and 12 months is
 * taken until the practice sets its own. `statedDays` shortens, never lengthens.
 */
export const prescriptionValidity = (
  kind: PrescriptionKind,
  issuedOn: LocalDate,
  suppliedOn: LocalDate,
  statedDays?: number,
): PrescriptionValidity => {
  const months = (count: number): LocalDate =>
    DateTime.fromISO(issuedOn, { zone: "utc" }).plus({ months: count }).toISODate() ?? issuedOn;
  const uk = kind.jurisdiction === "UK" || kind.jurisdiction === "general";
  const [byLaw, source] =
    kind.antimicrobial === true && kind.jurisdiction === "EU"
      ? [addDays(issuedOn, 5), EU_105_10]
      : uk && kind.controlled !== undefined
        ? [addDays(issuedOn, 28), MDR]
        : uk
          ? [months(6), VMR]
          : kind.jurisdiction === "EU"
            ? [months(12), IRELAND]
            : [months(12), US_STATE];
  const stated = statedDays === undefined ? byLaw : addDays(issuedOn, statedDays);
  const lastOn = stated < byLaw ? stated : byLaw;
  const valid = suppliedOn <= lastOn && suppliedOn >= issuedOn;
  return {
    lastOn,
    valid,
    repeatsAllowed: kind.controlled !== "schedule 2" && kind.controlled !== "schedule 3",
    finding: found(
      "prescription-validity",
      valid ? "pass" : "block",
      `Issued ${dayText(issuedOn)}, supplied ${String(daysBetween(issuedOn, suppliedOn))} days later; valid to ${dayText(lastOn)}.`,
      source,
    ),
  };
};
