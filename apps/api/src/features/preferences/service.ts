import { type changePreferences, preferences, type Preferences } from "@heelward/contracts";
import type { z } from "zod";
import { defined } from "../../http/defined.ts";
import type { Work } from "../../http/work.ts";

/** What holds until a person chooses: SI, and no saved view. */
const UNTOUCHED: Preferences = { lengthUnit: "mm", weightUnit: "kg", queueViews: [] };

const ownRow = ({ tx, actor }: Work) =>
  tx.person.findUniqueOrThrow({
    where: { practiceId_id: { practiceId: actor.practiceId, id: actor.personId } },
    select: { preferences: true },
  });

/** What the person chose; a part that was never chosen is as it is for everybody. */
export const read = async (work: Work): Promise<Preferences> => {
  const { preferences: kept } = await ownRow(work);
  return preferences.parse({ ...UNTOUCHED, ...(kept as object) });
};

/** Changes the named parts. Another part of the same record, kept by another page, stays as it is. */
export const change = async (
  work: Work,
  input: z.output<NonNullable<typeof changePreferences.body>>,
): Promise<Preferences> => {
  const { preferences: kept } = await ownRow(work);
  const chosen = defined(input);
  await work.tx.person.updateMany({
    where: { id: work.actor.personId },
    data: { preferences: { ...(kept as object), ...chosen } },
  });
  work.audit({
    event: "preferences.changed",
    subjectType: "person",
    subjectId: work.actor.personId,
    horseId: null,
    payload: { parts: Object.keys(chosen) },
  });
  return read(work);
};
