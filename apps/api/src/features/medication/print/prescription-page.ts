import {
  PRESCRIPTION_FIELDS,
  RETENTION_YEARS,
  type PrescriptionField,
} from "@heelward/domain/medication";
import { dayText } from "@heelward/domain/time";
import type { Bytes } from "../../../http/route.ts";
import type { Work } from "../../../http/work.ts";
import { readPractice } from "../../people/practice.ts";
import { findIdentity, type PrescriptionRow } from "../record-store.ts";
import { findRow } from "../written-prescriptions.ts";
import { foodChainText } from "./medicine-record.ts";
import { taggedPage, type Block } from "./tagged-page.ts";

const PARTS: readonly (readonly [string, readonly PrescriptionField[]])[] = [
  [
    "Prescriber",
    [
      "prescriberName",
      "prescriberQualifications",
      "prescriberNumber",
      "prescriberAddress",
      "prescriberPhone",
    ],
  ],
  ["Owner or keeper", ["keeperName", "keeperAddress", "keeperContact"]],
  ["Animal", ["animalIdentity", "animalSpecies", "premises", "withdrawal"]],
  [
    "Medicine",
    [
      "product",
      "formAndStrength",
      "quantity",
      "quantityInWordsAndFigures",
      "dosage",
      "route",
      "frequency",
      "duration",
      "repeats",
      "warnings",
      "cascadeStatement",
      "underCareDeclaration",
    ],
  ],
];

const HEADS = {
  UK: "United Kingdom",
  EU: "European Union",
  US: "United States",
  general: "general",
};

const blocksOf = (
  row: PrescriptionRow,
  foodChain: string,
  url: string,
  practiceName: string,
): readonly Block[] => {
  const pair = (field: PrescriptionField): readonly Block[] => {
    const text = row.fields[field];
    return text === undefined ? [] : [{ kind: "pair", label: PRESCRIPTION_FIELDS[field], text }];
  };
  return [
    { kind: "title", text: `Written prescription ${row.number}` },
    {
      kind: "text",
      text: `${practiceName}. Law applied: ${HEADS[row.kind.jurisdiction]}. Issued ${dayText(row.issuedOn)}; may be supplied to ${dayText(row.lastOn)}. ${row.repeats === 0 ? "Not repeatable." : `Repeats: ${row.repeats}.`}`,
    },
    ...(row.kind.controlled === null
      ? []
      : [{ kind: "caution", text: `Controlled drug, ${row.kind.controlled}.` } as const]),
    ...PARTS.flatMap(([heading, fields]): readonly Block[] => {
      const shown = fields.flatMap(pair);
      return shown.length === 0 ? [] : [{ kind: "heading", text: heading }, ...shown];
    }),
    { kind: "heading", text: "Food chain and passport" },
    { kind: "text", text: foodChain },
    { kind: "heading", text: "Date and signature" },
    ...pair("issuedOn"),
    ...pair("signature"),
    { kind: "text", text: `Signature: ${row.signature}` },
    { kind: "code", url, words: "This code leads back to the case, for people who may see it:" },
    {
      kind: "caution",
      text: `Keep this prescription and the record of supply ${RETENTION_YEARS[row.kind.jurisdiction].years} years or longer where local law says so. Local law comes first. A licensed vet prescribes; the tool checks the fields and the arithmetic.`,
    },
  ];
};

/** The prescription as a page: exactly the fields that were signed, and a code that leads to the case. */
export const prescriptionPage = async (
  work: Work,
  id: string,
  publicUrl: string,
): Promise<Bytes> => {
  const row = await findRow(work, id);
  const identity = await findIdentity(work.tx, row.horseId);
  const practice = await readPractice(work);
  const url = `${publicUrl}${row.caseId === null ? `/horses/${row.horseId}` : `/cases/${row.caseId}`}`;
  return {
    bytes: await taggedPage(
      {
        title: `Written prescription ${row.number}`,
        author: practice.name,
        madeAtMs: row.issuedAt.getTime(),
      },
      blocksOf(row, identity === undefined ? "" : foodChainText(identity), url, practice.name),
    ),
    mediaType: "application/pdf",
    fileName: `prescription-${row.number}.pdf`,
  };
};
