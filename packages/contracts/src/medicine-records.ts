import { z } from "zod";
import { medicineRoute } from "./medication.ts";
import { operation } from "./operation.ts";
import { finding, id, instant, line, localDate, personRef, prose, source } from "./primitives.ts";

const horseId = z.strictObject({ horseId: id });
const prescriptionId = z.strictObject({ prescriptionId: id });

export const otherMedicineClass = z.enum([
  "corticosteroid",
  "nephrotoxic",
  "anticoagulant",
  "sedative",
  "other",
]);
export const otherMedicine = z
  .object({
    id,
    horseId: id,
    name: z.string(),
    class: otherMedicineClass,
    route: z.string(),
    amount: z.string().nullable(),
    batch: z.string().nullable(),
    givenAt: instant,
    givenBy: z.string(),
    recordedBy: personRef,
    reason: z.string().nullable(),
    watchUntil: localDate.nullable().describe("last day of the daily check of the feet"),
    findings: z.array(finding),
  })
  .meta({ id: "OtherMedicine" });
export type OtherMedicineView = z.infer<typeof otherMedicine>;
export const recordOtherMedicine = operation({
  id: "recordOtherMedicine",
  method: "POST",
  path: "/horses/:horseId/other-medicines",
  tag: "medication",
  access: ["vet"],
  status: 201,
  summary:
    "Record a medicine given outside the formulary; a steroid in an animal at risk needs a reason and opens a watch",
  params: horseId,
  body: z.strictObject({
    name: line(120),
    class: otherMedicineClass,
    route: z.union([medicineRoute, z.enum(["into a joint", "inhaled", "eye"])]),
    amount: line(80).optional(),
    batch: line(60).optional(),
    givenAt: instant,
    givenBy: line(120).describe("who gave it, also when it was somebody outside the practice"),
    reason: prose(1000).optional(),
  }),
  response: otherMedicine,
});
export const listOtherMedicines = operation({
  id: "listOtherMedicines",
  method: "GET",
  path: "/horses/:horseId/other-medicines",
  tag: "medication",
  access: ["vet", "manager", "carer"],
  status: 200,
  summary: "Medicines given outside the formulary, latest first",
  params: horseId,
  response: z.object({ items: z.array(otherMedicine) }),
});

const period = z
  .strictObject({ from: localDate.optional(), to: localDate.optional() })
  .describe("local days of the yard, both included; left out means all");
const medicineRecord = {
  method: "GET",
  tag: "medication",
  access: ["vet", "manager", "owner"],
  status: 200,
  params: horseId,
  query: period,
  response: z.any(),
} as const;
export const readMedicineRecordCsv = operation({
  ...medicineRecord,
  id: "readMedicineRecordCsv",
  path: "/horses/:horseId/medicine-record.csv",
  produces: "text/csv",
  summary: "Every medicine of a horse in a period as a table: product, dose, dates, who, batch",
});
export const readMedicineRecordPdf = operation({
  ...medicineRecord,
  id: "readMedicineRecordPdf",
  path: "/horses/:horseId/medicine-record.pdf",
  produces: "application/pdf",
  summary: "Every medicine of a horse in a period, to print",
});

const prescriptionInput = z.strictObject({
  prescriberAddress: line(300).optional(),
  prescriberQualifications: line(200).optional(),
  keeperName: line(120).optional(),
  keeperAddress: line(300).optional(),
  keeperContact: line(120).optional(),
  premises: line(300).optional(),
  warnings: prose(2000).optional().describe("beside the formulary's own"),
  cascadeReason: prose(1000).optional().describe("why this medicine, where it is off-label"),
  declaresUnderCare: z.boolean().default(false),
  controlled: z.enum(["schedule 2", "schedule 3", "schedule 4"]).optional(),
  antimicrobial: z.boolean().default(false),
  repeats: z.int().min(0).max(12).default(0),
  validDays: z
    .int()
    .min(1)
    .max(366)
    .optional()
    .describe("shortens the validity, never lengthens it"),
});
const field = z.object({
  field: z.string(),
  label: z.string(),
  text: z.string().nullable(),
  required: z.boolean(),
  source,
});
const kind = z.object({
  jurisdiction: z.string(),
  controlled: z.string().nullable(),
  antimicrobial: z.boolean(),
  offLabel: z.boolean(),
  foodAnimal: z.boolean(),
  repeatable: z.boolean(),
});
export const judgeWrittenPrescription = operation({
  id: "judgeWrittenPrescription",
  method: "POST",
  path: "/courses/:courseId/written-prescription-checks",
  tag: "medication",
  access: ["vet"],
  status: 200,
  computes: true,
  summary:
    "Which fields the law of the practice's country asks for, what is filled and what is missing",
  params: z.strictObject({ courseId: id }),
  body: prescriptionInput,
  response: z.object({
    kind,
    fields: z.array(field),
    missing: z.array(z.string()),
    lastOn: localDate,
    findings: z.array(finding),
  }),
});
export const writtenPrescription = z
  .object({
    id,
    number: z.int(),
    horseId: id,
    caseId: id.nullable(),
    courseId: id,
    issuedOn: localDate,
    lastOn: localDate.describe("last day on which it may be supplied"),
    repeats: z.int(),
    kind,
    fields: z.array(z.object({ field: z.string(), label: z.string(), text: z.string() })),
    findings: z.array(finding),
    issuedBy: personRef,
    issuedAt: instant,
    signature: z.string(),
    supplies: z.array(
      z.object({
        id,
        number: z.int(),
        suppliedOn: localDate,
        quantity: z.string(),
        batch: z.string().nullable(),
        suppliedBy: personRef,
      }),
    ),
  })
  .meta({ id: "WrittenPrescription" });
export type WrittenPrescription = z.infer<typeof writtenPrescription>;
export const issueWrittenPrescription = operation({
  id: "issueWrittenPrescription",
  method: "POST",
  path: "/courses/:courseId/written-prescriptions",
  tag: "medication",
  access: ["vet"],
  status: 201,
  stepUp: true,
  summary:
    "Sign a written prescription for a signed course; refused while a legal field is missing",
  params: z.strictObject({ courseId: id }),
  body: prescriptionInput,
  response: writtenPrescription,
});
export const listWrittenPrescriptions = operation({
  id: "listWrittenPrescriptions",
  method: "GET",
  path: "/horses/:horseId/written-prescriptions",
  tag: "medication",
  access: ["vet", "manager"],
  status: 200,
  summary: "Written prescriptions of a horse, latest first",
  params: horseId,
  response: z.object({ items: z.array(writtenPrescription) }),
});
export const readWrittenPrescription = operation({
  id: "readWrittenPrescription",
  method: "GET",
  path: "/written-prescriptions/:prescriptionId",
  tag: "medication",
  access: ["vet", "manager"],
  status: 200,
  summary: "One written prescription with what was supplied on it",
  params: prescriptionId,
  response: writtenPrescription,
});
export const readWrittenPrescriptionPdf = operation({
  id: "readWrittenPrescriptionPdf",
  method: "GET",
  path: "/written-prescriptions/:prescriptionId/document.pdf",
  tag: "medication",
  access: ["vet", "manager"],
  status: 200,
  produces: "application/pdf",
  summary: "The written prescription to print or send",
  params: prescriptionId,
  response: z.any(),
});
export const recordSupply = operation({
  id: "recordSupply",
  method: "POST",
  path: "/written-prescriptions/:prescriptionId/supplies",
  tag: "medication",
  access: ["vet", "manager"],
  status: 201,
  summary: "Note a supply on a prescription; refused when it is out of date or used up",
  params: prescriptionId,
  body: z.strictObject({
    suppliedOn: localDate,
    quantity: line(120),
    batch: line(60).optional(),
  }),
  response: writtenPrescription,
});

const postalAddress = z.object({ name: z.string(), postalAddress: z.string().nullable() });
export const readPostalAddress = operation({
  id: "readPostalAddress",
  method: "GET",
  path: "/practice/postal-address",
  tag: "medication",
  access: ["vet", "manager"],
  status: 200,
  summary: "The practice's postal address, as written prescriptions carry it",
  response: postalAddress,
});
export const changePostalAddress = operation({
  id: "changePostalAddress",
  method: "PUT",
  path: "/practice/postal-address",
  tag: "medication",
  access: ["vet", "manager"],
  status: 200,
  summary: "Change the practice's postal address for prescriptions from now on",
  body: z.strictObject({ postalAddress: line(300) }),
  response: postalAddress,
});

export const readClearTimes = operation({
  id: "readClearTimes",
  method: "GET",
  path: "/horses/:horseId/competition-clear-times",
  tag: "medication",
  access: ["vet", "manager"],
  status: 200,
  summary: "Earliest day a named list would call clear after each medicine, with its caution",
  params: horseId,
  response: z.object({
    items: z.array(
      z.object({
        drugKey: z.string(),
        drugName: z.string(),
        lastDoseAt: instant,
        clearFrom: instant.nullable().describe("null where the list has no figure"),
        clearOn: localDate.nullable().describe("first whole day at the yard"),
        list: z.string().nullable(),
        listDate: z.string().nullable(),
        verified: z.boolean(),
        stillRunning: z.boolean().describe("more doses are planned: the clock has not started"),
      }),
    ),
    earliestOn: localDate.nullable().describe("null while any medicine has no figure or runs"),
    caution: z.string(),
  }),
});
