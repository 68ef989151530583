import type { Work } from "../../http/work.ts";
import { queueLetter, type MailRoom } from "../../mail/outbox.ts";

/** Writes to a person that something about how they sign in has changed. Source: ASVS 5.0, notices of changed sign-in details. */
export const tellOfChange = async (
  work: Pick<Work, "tx" | "actor" | "nowMs" | "announce">,
  personId: string,
  what: string,
  mail: MailRoom | undefined,
): Promise<void> => {
  if (mail === undefined) return;
  const { tx, actor, nowMs } = work;
  const person = await tx.person.findUnique({
    where: { practiceId_id: { practiceId: actor.practiceId, id: personId } },
  });
  if (person === null) return;
  await queueLetter(tx, actor.practiceId, nowMs, "sign-in changed", {
    personId,
    what,
    to: person.email,
  });
  work.announce("outbox");
};
