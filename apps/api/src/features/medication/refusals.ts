import type { Finding } from "@heelward/domain/evidence";
import { newId } from "../../http/new-id.ts";
import { ruleViolated } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import { asJson } from "./as-json.ts";

/** What was wanted and what the rules said. */
export interface Refused {
  readonly horseId: string;
  readonly caseId: string | null;
  /** `course draft`, `course signature`, `dose`, `dose request`… */
  readonly kind: string;
  readonly request: unknown;
  readonly findings: readonly Finding[];
  readonly title: string;
}

/** Writes a request that is not granted into the record. */
export const keepRequest = async (work: Work, refused: Refused): Promise<string> => {
  const id = newId();
  await work.tx.refusedRequest.create({
    data: {
      practiceId: work.actor.practiceId,
      id,
      horseId: refused.horseId,
      caseId: refused.caseId,
      requestedAt: new Date(work.nowMs),
      requestedBy: work.actor.personId,
      kind: refused.kind,
      request: asJson(refused.request),
      findings: asJson(refused.findings),
      createdAt: new Date(work.nowMs),
    },
  });
  work.audit({
    event: "medication.request-kept",
    subjectType: "refused request",
    subjectId: id,
    horseId: refused.horseId,
    payload: { kind: refused.kind, request: refused.request },
  });
  await recordEvent(work, {
    horseId: refused.horseId,
    caseId: refused.caseId,
    kind: "medicine",
    title: refused.title,
    detail: blockingText(refused.findings) || null,
    refType: "refused request",
    refId: id,
  });
  work.announce("queue");
  return id;
};

/** What blocks, as sentences. */
const blockingText = (findings: readonly Finding[]): string =>
  findings
    .filter((finding) => finding.outcome === "block")
    .map((finding) => finding.detail)
    .join(" ");

/** Refuses by a rule of care; that it was asked for stays in the record after the roll-back. */
export const refuse = (work: Work, refused: Refused): never => {
  work.keepRefusal(async (later) => {
    await keepRequest(later, refused);
  });
  throw ruleViolated(blockingText(refused.findings) || refused.title, refused.findings);
};
