import type { FootPlanView, Prescription } from "@heelward/contracts";
import { isCurrentPrescription, type FootPlan } from "@heelward/domain/trim";
import { isoOrNull } from "../../http/dates.ts";
import { defined } from "../../http/defined.ts";
import { notFound } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import * as cases from "../cases/service.ts";
import * as store from "./store.ts";

/** A plan as people see it. */
export const view = (row: store.PrescriptionRow): Prescription => ({
  ...row,
  signedAt: isoOrNull(row.signedAt),
  supersededAt: isoOrNull(row.supersededAt),
  repliedAt: isoOrNull(row.repliedAt),
  isCurrent: isCurrentPrescription(row.status),
  messages: row.messages.map((message) => ({
    ...message,
    writtenAt: new Date(message.writtenAt).toISOString(),
    happenedAt: message.happenedAt === null ? null : new Date(message.happenedAt).toISOString(),
  })),
});

/** A value as the database keeps it in a JSON column. */
export const plain = (value: unknown) => JSON.parse(JSON.stringify(value)) as object[];

/** A plan as the domain's rules read it. */
export const domainPlan = (foot: FootPlanView, doNot: readonly string[]): FootPlan => ({
  foot: foot.foot,
  toeBackMm: foot.toeBackMm,
  breakoverFromP3TipMm: foot.breakoverFromP3TipMm,
  heelRemoveMm: foot.heelRemoveMm,
  palmarAngleTargetDegrees: foot.palmarAngleTargetDegrees,
  soleMinMm: foot.soleMinMm,
  wedgeDegrees: foot.wedgeDegrees,
  shoe: foot.shoe,
  supportFill: foot.supportFill,
  fixing: foot.fixing,
  doNots: doNot,
  ...defined({
    breakoverFromFrogTipMm: foot.breakoverFromFrogTipMm ?? undefined,
    wedgeReason: foot.wedgeReason ?? undefined,
  }),
});

/** @throws Problem when there is no such plan, or the caller may not see it. */
export const findRow = async ({ tx }: Work, id: string): Promise<store.PrescriptionRow> => {
  const [row] = await store.findPrescriptions(tx, { id });
  if (row === undefined) throw notFound("prescription");
  return row;
};

export const read = async (work: Work, id: string): Promise<Prescription> =>
  view(await findRow(work, id));

export const list = async (work: Work, caseId: string): Promise<{ items: Prescription[] }> => {
  await cases.read(work, caseId);
  return { items: (await store.findPrescriptions(work.tx, { caseId })).map(view) };
};
