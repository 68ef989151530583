import type { Transaction } from "../database/client.ts";
import { newId } from "../http/new-id.ts";
import type { Sealer } from "./sealer.ts";

/** What outgoing mail needs. */
export interface MailRoom {
  readonly sealer: Sealer;
  /** Where people reach the dashboard, without a slash at the end. */
  readonly publicUrl: string;
}

/** What may be waiting to be sent. Payloads hold ids and the address; what the letter says is read when it goes out. */
export interface OutboxLetters {
  readonly invitation: { readonly invitationId: string; readonly to: string };
  readonly "reset reminder": { readonly reminderId: string; readonly to: string };
  readonly "late note": { readonly noteId: string; readonly to: string };
  readonly "late reset": { readonly resetId: string; readonly to: string };
  readonly "new password": { readonly resetId: string; readonly to: string };
  readonly "sign-in changed": {
    readonly personId: string;
    readonly what: string;
    readonly to: string;
  };
  readonly "visit moved": { readonly caseEventId: string; readonly to: string };
}
export type LetterKind = keyof OutboxLetters;

/**
 * Puts a letter into the outbox in the caller's transaction. A secret for its link is kept sealed and
 * wiped when the letter has gone out or was given up. Announce the topic `outbox` to have it sent at once.
 */
export const queueLetter = async <K extends LetterKind>(
  tx: Transaction,
  practiceId: string,
  nowMs: number,
  kind: K,
  payload: OutboxLetters[K],
  secret?: { readonly sealer: Sealer; readonly secret: string },
): Promise<string> => {
  const id = newId();
  await tx.outboxMessage.create({
    data: {
      practiceId,
      id,
      kind,
      payload: { ...payload },
      sealedSecret: secret === undefined ? null : secret.sealer.seal(secret.secret, id),
      nextTryAt: new Date(nowMs),
      createdAt: new Date(nowMs),
    },
  });
  return id;
};
