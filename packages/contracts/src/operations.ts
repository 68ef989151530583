import * as boards from "./boards.ts";
import * as caseTasks from "./case-tasks.ts";
import * as cases from "./cases.ts";
import * as catalogue from "./catalogue.ts";
import * as dataRequests from "./data-requests.ts";
import * as exports from "./exports.ts";
import * as filmExports from "./film-exports.ts";
import * as filmOutlines from "./film-outlines.ts";
import * as horses from "./horses.ts";
import * as medication from "./medication.ts";
import * as medicineRecords from "./medicine-records.ts";
import * as metabolic from "./metabolic.ts";
import * as monitoring from "./monitoring.ts";
import * as offline from "./offline.ts";
import type { Operation } from "./operation.ts";
import * as outcomes from "./outcomes.ts";
import * as passwords from "./passwords.ts";
import * as planning from "./planning.ts";
import * as prescriptions from "./prescriptions.ts";
import * as procedures from "./procedures.ts";
import * as radiographs from "./radiographs.ts";
import * as repeatReading from "./repeat-reading.ts";
import * as resets from "./resets.ts";
import * as secondFactors from "./second-factors.ts";
import * as session from "./session.ts";
import * as work from "./work.ts";
import * as yardDevices from "./yard-devices.ts";
import * as preferences from "./preferences.ts";
import * as secondOpinion from "./second-opinion.ts";
import * as similarCases from "./similar-cases.ts";
import * as watches from "./watches.ts";
import * as learning from "./learning.ts";
import * as yards from "./yards.ts";

const isOperation = (value: unknown): value is Operation =>
  typeof value === "object" &&
  value !== null &&
  "method" in value &&
  "path" in value &&
  "access" in value;

/** Every operation of the service, for registration, the OpenAPI document and the access tests. */
export const OPERATIONS: readonly Operation[] = [
  session,
  passwords,
  secondFactors,
  yardDevices,
  preferences,
  watches,
  secondOpinion,
  similarCases,
  learning,
  yards,
  horses,
  cases,
  caseTasks,
  catalogue,
  radiographs,
  dataRequests,
  exports,
  filmExports,
  filmOutlines,
  repeatReading,
  procedures,
  prescriptions,
  resets,
  planning,
  medication,
  medicineRecords,
  monitoring,
  offline,
  metabolic,
  work,
  boards,
  outcomes,
].flatMap((module) => Object.values(module).filter(isOperation));
