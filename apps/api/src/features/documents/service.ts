import type { addDocument, DocumentView } from "@heelward/contracts";
import type { z } from "zod";
import { hasRole } from "../../http/actor.ts";
import { decodeCursor, toPage } from "../../http/cursor.ts";
import { assertNotFuture } from "../../http/instants.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem } from "../../http/problem.ts";
import type { Bytes } from "../../http/route.ts";
import type { UploadedFile, Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import * as horses from "../horses/service.ts";
import { shrinkPhoto } from "./shrink-photo.ts";
import * as store from "./store.ts";

type NewDocument = z.output<NonNullable<typeof addDocument.body>>;

const ACCEPTED = [
  "image/jpeg",
  "image/png",
  "application/pdf",
  "audio/webm",
  "audio/mp4",
  "audio/ogg",
];

/**
 * The containers browsers record sound in, by their first bytes. Source: EBML (RFC 8794 §11.2.1),
 * ISO/IEC 14496-12 `ftyp` box, Ogg (RFC 3533 §6).
 */
const soundTypeOf = (head: Buffer): string | undefined => {
  if (head.readUInt32BE(0) === 0x1a45dfa3) return "audio/webm";
  if (head.toString("latin1", 4, 8) === "ftyp") return "audio/mp4";
  return head.toString("latin1", 0, 4) === "OggS" ? "audio/ogg" : undefined;
};

const ADDED = {
  photo: "Photo added",
  document: "Paper added",
  "voice note": "Voice note added",
} as const;

/** A photo or paper as it is kept. */
export interface Prepared {
  readonly bytes: Uint8Array;
  readonly mediaType: string;
}

/**
 * What is kept of a photo: turned upright, at most 2400 px, without the place and device it was taken
 * with. A PDF or a voice note is kept as it is. The kind is told from the content, never from the name.
 */
export const prepare = async (file: UploadedFile): Promise<Prepared> => {
  const head = Buffer.alloc(8);
  head.set(file.bytes.subarray(0, 8));
  if (head.subarray(0, 5).toString("latin1") === "%PDF-")
    return { bytes: file.bytes, mediaType: "application/pdf" };
  const sound = soundTypeOf(head);
  if (sound !== undefined) return { bytes: file.bytes, mediaType: sound };
  const isJpeg = head[0] === 0xff && head[1] === 0xd8;
  const isPng = head.toString("latin1", 1, 4) === "PNG";
  if (!isJpeg && !isPng)
    throw new Problem("unsupported-media", "Only JPEG, PNG, PDF and voice notes can be kept.", {
      accepted: ACCEPTED,
    });
  const bytes = await shrinkPhoto(file.bytes);
  if (bytes === undefined)
    throw new Problem("unsupported-media", "The picture is damaged or too large to read.", {
      accepted: ACCEPTED,
    });
  return { bytes, mediaType: "image/jpeg" };
};

/** The newest photos and papers of a horse, for pages that show more than them. */
export const latestOf = ({ tx }: Work, horseId: string, limit: number): Promise<DocumentView[]> =>
  store.findDocuments(tx, { horseId, limit });

export const list = async (
  work: Work,
  horseId: string,
  query: { readonly limit: number; readonly cursor?: string | undefined },
) => {
  await horses.read(work, horseId);
  const after = decodeCursor(query.cursor, 2);
  const found = await store.findDocuments(work.tx, { horseId, after, limit: query.limit + 1 });
  const { rows, nextCursor } = toPage(found, query.limit, (row) => [row.takenAt, row.id]);
  return { items: [...rows], nextCursor };
};

export const add = async (
  work: Work,
  horseId: string,
  file: UploadedFile,
  { bytes, mediaType }: Prepared,
  input: NewDocument,
): Promise<DocumentView> => {
  const { tx, actor, nowMs } = work;
  const horse = await horses.read(work, horseId);
  assertNotFuture(input.takenAt, nowMs, "/takenAt");
  const { key, sha256 } = await work.blobs.put(actor.practiceId, bytes);
  if ((input.kind === "voice note") !== mediaType.startsWith("audio/"))
    throw badField("/kind", `does not fit a file of type ${mediaType}`);
  const id = input.id ?? newId();
  if ((await tx.document.count({ where: { practiceId: actor.practiceId, id } })) > 0)
    throw new Problem("conflict", "A document of this id is here already.", { recordId: id });
  await tx.document.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId,
      caseId: horse.openCaseId,
      kind: input.kind,
      photoView: input.photoView ?? null,
      fileName: file.fileName,
      mediaType,
      sha256,
      sizeBytes: bytes.length,
      blobKey: key,
      takenAt: new Date(input.takenAt),
      addedBy: actor.personId,
      caption: input.caption ?? null,
      forOwner: input.forOwner === "true",
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "document.added",
    subjectType: "document",
    subjectId: id,
    horseId,
    payload: { kind: input.kind, sha256 },
  });
  await recordEvent(work, {
    horseId,
    caseId: horse.openCaseId,
    kind: "photo",
    title: ADDED[input.kind],
    detail: input.caption ?? input.photoView ?? null,
    at: Date.parse(input.takenAt),
    refType: "document",
    refId: id,
  });
  const [stored] = await store.findDocuments(tx, { id, limit: 1 });
  if (stored === undefined) throw new Error("the document just written is not there");
  return stored;
};

/** The bytes. An owner gets those released to owners only. */
export const content = async ({ tx, actor, blobs }: Work, id: string): Promise<Bytes> => {
  const row = await tx.document.findUnique({
    where: { practiceId_id: { practiceId: actor.practiceId, id } },
  });
  const isStaff = hasRole(actor, "vet", "farrier", "manager", "carer");
  if (row === null || (!isStaff && !row.forOwner)) throw notFound("document");
  return {
    bytes: await blobs.get(row.blobKey),
    mediaType: row.mediaType,
    ...(row.mediaType === "application/pdf" ? { fileName: row.fileName } : {}),
  };
};
