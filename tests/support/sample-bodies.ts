import type { Operation } from "@heelward/contracts";
import { sampleInput } from "./sample-input.ts";

const FOOT_PLAN = {
  foot: "LF",
  toeBackMm: 5,
  breakoverFromP3TipMm: 6,
  heelRemoveMm: 2,
  palmarAngleTargetDegrees: { low: 3, high: 6 },
  soleMinMm: 12,
  shoe: "bare",
  supportFill: "none",
  fixing: "none",
};

/** Bodies that a schema's own refinements ask for beyond its shape. */
const BODIES: Readonly<Record<string, Record<string, unknown>>> = {
  weighHorse: { method: "scale", weightKg: 400, weighedAt: "2026-10-12T08:00:00+01:00" },
  replyToPrescription: { reply: "accepted" },
  recordDose: {
    scheduledAt: "2026-10-12T08:00:00+01:00",
    givenAt: "2026-10-12T08:05:00+01:00",
    outcome: "given",
  },
  cancelBooking: { kind: "weather", detail: "Snow", rebookFor: "2026-10-20T09:00:00+01:00" },
  invitePerson: { email: "new.person@test.invalid", name: "New Person", roles: ["carer"] },
  draftPrescription: { aim: "Unload the toe", feet: [FOOT_PLAN], conditions: {}, intervalDays: 28 },
  recordShoeing: {
    doneAt: "2026-10-12T08:00:00+01:00",
    asPlanned: true,
    feet: [{ foot: "LF", breakoverAfterMm: 6, heelRemovedMm: 2, shoe: "bare", fixing: "none" }],
    nextReset: { bookedFor: "2026-11-10T09:00:00+00:00" },
  },
  logRedFlagCall: { numberDialled: "+353 1 000 0000", pressedAt: "2026-10-12T08:00:00+01:00" },
  addYard: { name: "Yard of samples", lat: 53, lon: -9, timeZone: "Europe/Dublin" },
  placeLandmarks: { points: { p3Tip: { x: 1, y: 2 }, p3Wing: { x: 3, y: 4 } } },
  placeRepeatReading: { points: { p3Tip: { x: 1, y: 2 }, p3Wing: { x: 3, y: 4 } } },
  checkLandmarks: { points: { p3Tip: { x: 1, y: 2 }, p3Wing: { x: 3, y: 4 } } },
  drawFilmOutline: {
    kind: "trim line",
    points: [
      { x: 1, y: 2 },
      { x: 30, y: 4 },
      { x: 60, y: 5 },
    ],
  },
  changeSignInPolicy: { isSecondFactorRequired: false },
  confirmAppCode: { code: "123456" },
  setPin: { pin: "7301" },
  acceptInvitation: { token: "t".repeat(43), password: "a long enough pass phrase" },
};

/** A small body that an operation's schema takes; undefined where it has none. */
export const bodyOf = (operation: Operation): Record<string, unknown> | undefined =>
  operation.body === undefined ? undefined : (BODIES[operation.id] ?? sampleInput(operation.body));
