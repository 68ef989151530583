import { badField } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";

/** @throws Problem when one of the ids is no photo or paper of this horse. */
export const assertPhotos = async (
  { tx }: Work,
  horseId: string,
  photoIds: readonly string[],
  pointer = "/photoIds",
): Promise<void> => {
  const ids = [...new Set(photoIds)];
  if (
    ids.length > 0 &&
    (await tx.document.count({ where: { id: { in: ids }, horseId } })) !== ids.length
  )
    throw badField(pointer, "must name photos of this horse");
};
