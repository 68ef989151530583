import {
  changePostalAddress,
  issueWrittenPrescription,
  judgeWrittenPrescription,
  listOtherMedicines,
  listWrittenPrescriptions,
  readClearTimes,
  readMedicineRecordCsv,
  readMedicineRecordPdf,
  readPostalAddress,
  readWrittenPrescription,
  readWrittenPrescriptionPdf,
  recordOtherMedicine,
  recordSupply,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as competition from "./competition.ts";
import * as others from "./other-medicines.ts";
import { medicineRecordCsv, medicineRecordPdf } from "./print/medicine-record.ts";
import { prescriptionPage } from "./print/prescription-page.ts";
import * as postalAddress from "./postal-address.ts";
import * as written from "./written-prescriptions.ts";

/** Papers about medicines: prescriptions, records, and what was given outside the formulary. */
export const medicineRecordRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, recordOtherMedicine, (work, { params, body }) =>
    others.record(work, params.horseId, body),
  );
  route(app, dependencies, listOtherMedicines, (work, { params }) =>
    others.list(work, params.horseId),
  );
  route(app, dependencies, readMedicineRecordCsv, (work, { params, query }) =>
    medicineRecordCsv(work, params.horseId, query),
  );
  route(app, dependencies, readMedicineRecordPdf, (work, { params, query }) =>
    medicineRecordPdf(work, params.horseId, query),
  );
  route(app, dependencies, judgeWrittenPrescription, (work, { params, body }) =>
    written.judge(work, params.courseId, body),
  );
  route(app, dependencies, issueWrittenPrescription, (work, { params, body }) =>
    written.issue(work, params.courseId, body),
  );
  route(app, dependencies, listWrittenPrescriptions, (work, { params }) =>
    written.list(work, params.horseId),
  );
  route(app, dependencies, readWrittenPrescription, (work, { params }) =>
    written.read(work, params.prescriptionId),
  );
  route(app, dependencies, readWrittenPrescriptionPdf, (work, { params }) =>
    prescriptionPage(
      work,
      params.prescriptionId,
      dependencies.mail?.publicUrl ?? `${work.reply.request.protocol}://${work.reply.request.host}`,
    ),
  );
  route(app, dependencies, recordSupply, (work, { params, body }) =>
    written.supply(work, params.prescriptionId, body),
  );
  route(app, dependencies, readPostalAddress, (work) => postalAddress.read(work));
  route(app, dependencies, changePostalAddress, (work, { body }) =>
    postalAddress.change(work, body.postalAddress),
  );
  route(app, dependencies, readClearTimes, (work, { params }) =>
    competition.read(work, params.horseId),
  );
};
