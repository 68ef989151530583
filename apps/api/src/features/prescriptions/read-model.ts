// Prescriptions as they are stored, for the pages of those who read them in other words.
export { findPrescriptions, lockPrescription, type PrescriptionRow } from "./store.ts";
