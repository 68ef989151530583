import type { Work } from "../../http/work.ts";
import { readPractice } from "../people/practice.ts";

/** The address that stands on written prescriptions. */
export const read = async (work: Work) => {
  const { name, postalAddress } = await readPractice(work);
  return { name, postalAddress };
};

export const change = async (work: Work, postalAddress: string) => {
  const { tx, actor } = work;
  const before = await readPractice(work);
  await tx.practice.updateMany({
    where: { id: actor.practiceId },
    data: { postalAddress, version: { increment: 1 } },
  });
  work.audit({
    event: "practice.address",
    subjectType: "practice",
    subjectId: actor.practiceId,
    horseId: null,
    payload: { before: before.postalAddress, postalAddress },
  });
  work.announce("settings");
  return { name: before.name, postalAddress };
};
