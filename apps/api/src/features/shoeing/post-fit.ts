import type { settlePostFitFilm, ShoeingRecord } from "@heelward/contracts";
import type { z } from "zod";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import * as cases from "../cases/service.ts";
import * as radiographs from "../radiographs/service.ts";
import * as store from "./store.ts";

type Settling = z.output<typeof settlePostFitFilm.body & z.ZodType>;

/** Attaches the film taken after fitting to a visit, or waives it with a reason; until then the visit stays amber. */
export const settle = async (
  work: Work,
  shoeingRecordId: string,
  input: Settling,
): Promise<ShoeingRecord> => {
  const { tx, actor, nowMs } = work;
  const [visit] = await store.findShoeing(tx, { id: shoeingRecordId, limit: 1 });
  if (visit === undefined) throw notFound("shoeing record");
  await tx.$executeRaw`SELECT 1 FROM horses WHERE id = ${visit.horseId}::uuid FOR UPDATE`;
  if (visit.caseId !== null) await cases.readOpen(work, visit.caseId);
  const film = "radiographId" in input ? await filmOfVisit(work, visit, input.radiographId) : null;
  if (film === null && visit.postFitFilm.state === "attached")
    throw new Problem("conflict", "A film is attached already; there is nothing to waive.");
  const id = newId();
  await tx.postFitFilm.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId: visit.horseId,
      shoeingRecordId,
      radiographId: film?.id ?? null,
      waivedReason: "waivedReason" in input ? input.waivedReason : null,
      settledBy: actor.personId,
      settledAt: new Date(nowMs),
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: film === null ? "post-fit-film.waived" : "post-fit-film.attached",
    subjectType: "shoeing record",
    subjectId: shoeingRecordId,
    horseId: visit.horseId,
    payload: input,
  });
  await recordEvent(work, {
    horseId: visit.horseId,
    caseId: visit.caseId,
    kind: "film",
    title: film === null ? "No film after fitting" : `Film after fitting attached: ${film.foot}`,
    detail: "waivedReason" in input ? input.waivedReason : null,
    refType: "shoeing record",
    refId: shoeingRecordId,
  });
  work.announce("queue");
  const [settled] = await store.findShoeing(tx, { id: shoeingRecordId, limit: 1 });
  if (settled === undefined) throw notFound("shoeing record");
  return settled;
};

const filmOfVisit = async (work: Work, visit: ShoeingRecord, radiographId: string) => {
  const film = await radiographs.read(work, radiographId).catch(() => null);
  if (film?.horseId !== visit.horseId) throw badField("/radiographId", "is no film of this horse");
  if (Date.parse(film.takenAt) < Date.parse(visit.doneAt))
    throw badField("/radiographId", "was taken before the feet were done");
  if (!visit.feet.some((foot) => foot.foot === film.foot))
    throw badField("/radiographId", `shows ${film.foot}, which was not done at this visit`);
  if (visit.postFitFilm.radiographIds.includes(radiographId))
    throw new Problem("conflict", "This film is attached to the visit already.");
  return film;
};
