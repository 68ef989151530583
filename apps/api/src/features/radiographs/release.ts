import type { RadiographView } from "@heelward/contracts";
import type { Finding } from "@heelward/domain/evidence";
import { newId } from "../../http/new-id.ts";
import { Problem, ruleViolated } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { sha256Hex } from "../../records/canonical.ts";
import { recordEvent } from "../cases/events.ts";
import { lock, read } from "./service.ts";

const SIDE_UNCONFIRMED: Finding = {
  rule: "radiograph/release-side@1",
  outcome: "block",
  detail: "Left or right is not confirmed by a second person: the film cannot be released.",
  source: {
    id: "house-second-reader",
    citation: "House rule: left or right of a film is confirmed by someone other than the marker",
    status: "house rule",
  },
};

/** Shows a film to the owner: the small picture, which carries no names, with plain words. */
export const release = async (
  work: Work,
  id: string,
  seen: number,
  words: string,
): Promise<RadiographView> => {
  const { tx, actor, nowMs } = work;
  const row = await lock(work, id, seen);
  if (row.releasedAt !== null) throw new Problem("conflict", "This film was released already.");
  if (row.sideConfirmedAt === null) throw ruleViolated(SIDE_UNCONFIRMED.detail, [SIDE_UNCONFIRMED]);
  const picture = await work.blobs.get(row.previewKey);
  const documentId = newId();
  await tx.document.create({
    data: {
      practiceId: actor.practiceId,
      id: documentId,
      horseId: row.horseId,
      caseId: row.caseId,
      kind: "film picture",
      fileName: `film-${row.foot}.jpg`,
      mediaType: "image/jpeg",
      sha256: sha256Hex(picture),
      sizeBytes: picture.length,
      blobKey: row.previewKey,
      takenAt: row.takenAt,
      addedBy: actor.personId,
      caption: words,
      forOwner: true,
      createdAt: new Date(nowMs),
    },
  });
  await tx.radiograph.updateMany({
    where: { id },
    data: {
      releasedBy: actor.personId,
      releasedAt: new Date(nowMs),
      releasedDocumentId: documentId,
      version: seen + 1,
    },
  });
  work.audit({
    event: "film.released",
    subjectType: "radiograph",
    subjectId: id,
    horseId: row.horseId,
    payload: { documentId, words },
  });
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: "film",
    title: `Film released to the owner: ${row.foot}`,
    detail: words,
    refType: "radiograph",
    refId: id,
    forOwner: words,
  });
  work.announce("queue");
  return read(work, id);
};
