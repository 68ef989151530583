import { stripIdentity } from "@heelward/radiograph/dicom";
import { withoutMetadata } from "@heelward/radiograph/raster";
import { Problem } from "../../http/problem.ts";
import type { Bytes } from "../../http/route.ts";
import type { Work } from "../../http/work.ts";
import { findRow } from "./service.ts";
import type * as store from "./store.ts";

const bytesOf = async (
  work: Work,
  id: string,
  pick: (row: store.RadiographRow) => { key: string; mediaType: string; fileName?: string },
): Promise<Bytes> => {
  const { key, ...about } = pick(await findRow(work, id));
  return { bytes: await work.blobs.get(key), ...about };
};

export const preview = (work: Work, id: string) =>
  bytesOf(work, id, (row) => ({ key: row.previewKey, mediaType: "image/jpeg" }));
export const pixels = (work: Work, id: string) =>
  bytesOf(work, id, (row) => ({ key: row.pixelsKey, mediaType: "application/octet-stream" }));
/** The file as it came, or a copy without horse, owner, people and places. */
export const original = async (work: Work, id: string, strip: boolean): Promise<Bytes> => {
  const row = await findRow(work, id);
  const bytes = await work.blobs.get(row.blobKey);
  if (!strip) return { bytes, mediaType: row.mediaType, fileName: row.fileName };
  const extension = row.mediaType === "application/dicom" ? "dcm" : row.mediaType.slice(6);
  return {
    bytes: await withoutIdentity(bytes, row.mediaType),
    mediaType: row.mediaType,
    fileName: `film-${row.foot}-${row.view}.${extension}`,
  };
};

const withoutIdentity = async (bytes: Uint8Array, mediaType: string): Promise<Uint8Array> => {
  const stripped = await (mediaType === "application/dicom"
    ? stripIdentity(bytes)
    : withoutMetadata(bytes));
  if (!stripped.ok) throw new Problem("unreadable-film", stripped.detail);
  return stripped.value;
};
