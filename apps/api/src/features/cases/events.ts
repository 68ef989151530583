import { newId } from "../../http/new-id.ts";
import type { Work } from "../../http/work.ts";

/** One line of a case's timeline. */
export interface CaseEvent {
  readonly horseId: string;
  readonly caseId: string | null;
  /** The trade's word for what it is about: `examination`, `film`, `prescription`, `reset`, `medicine`… */
  readonly kind: string;
  readonly title: string;
  readonly detail?: string | null;
  readonly data?: unknown;
  /** When it happened, epoch ms; the server's time when left out. */
  readonly at?: number;
  readonly refType?: string;
  readonly refId?: string;
  /** What the owner may read of it, in plain words; nothing when left out. */
  readonly forOwner?: string;
}

/** Who writes a line: a person, or the service itself (`personId` null). */
export interface EventWriter extends Pick<Work, "tx" | "nowMs"> {
  readonly actor: { readonly practiceId: string; readonly personId: string | null };
}

/** Writes a line of the timeline in the caller's transaction: when it happened and when we heard of it. */
export const recordEvent = async (
  { tx, actor, nowMs }: EventWriter,
  event: CaseEvent,
): Promise<void> => {
  await tx.caseEvent.create({
    data: {
      practiceId: actor.practiceId,
      id: newId(),
      horseId: event.horseId,
      caseId: event.caseId,
      at: new Date(event.at ?? nowMs),
      kind: event.kind,
      title: event.title,
      detail: event.detail ?? null,
      data: JSON.parse(JSON.stringify(event.data ?? {})) as object,
      personId: actor.personId,
      refType: event.refType ?? null,
      refId: event.refId ?? null,
      forOwner: event.forOwner ?? null,
      createdAt: new Date(nowMs),
    },
  });
};
