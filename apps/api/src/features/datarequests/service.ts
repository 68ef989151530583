import type { askAboutData, DataRequestView } from "@heelward/contracts";
import type { z } from "zod";
import { Prisma } from "../../database/client.ts";
import { isoOrNull } from "../../http/dates.ts";
import { newId } from "../../http/new-id.ts";
import { notFound, Problem } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { write as writeNote } from "../handoffs/service.ts";
import { findOwnHorses } from "../portal/read-model.ts";

type Asking = z.output<NonNullable<typeof askAboutData.body>>;
interface Row extends Omit<DataRequestView, "askedAt" | "answeredAt"> {
  readonly askedAt: Date;
  readonly answeredAt: Date | null;
}

const find = async ({ tx }: Work, id?: string): Promise<DataRequestView[]> => {
  const rows = await tx.$queryRaw<Row[]>`
    SELECT d.id, json_build_object('id', p.id, 'name', p.name) AS person, d.kind, d.words, d.asked_at AS "askedAt", d.answered_at AS "answeredAt", d.answer, d.version
    FROM data_requests d JOIN people p ON p.practice_id = d.practice_id AND p.id = d.person_id
    WHERE ${id === undefined ? Prisma.sql`true` : Prisma.sql`d.id = ${id}::uuid`}
    ORDER BY d.answered_at IS NOT NULL, d.asked_at, d.id LIMIT 200`;
  return rows.map((row) => ({
    ...row,
    askedAt: row.askedAt.toISOString(),
    answeredAt: isoOrNull(row.answeredAt),
  }));
};

const read = async (work: Work, id: string): Promise<DataRequestView> => {
  const [row] = await find(work, id);
  if (row === undefined) throw notFound("request");
  return row;
};

export const list = async (work: Work) => ({ items: await find(work) });

/** Keeps a person's wish about the own data and notes it to the manager. One of a kind waits at a time. */
export const ask = async (work: Work, input: Asking): Promise<DataRequestView> => {
  const { tx, actor, nowMs } = work;
  const waiting = await tx.dataRequest.count({
    where: { personId: actor.personId, kind: input.kind, answeredAt: null },
  });
  if (waiting > 0)
    throw new Problem("conflict", "You have asked for this already; the practice will answer you.");
  const id = newId();
  await tx.dataRequest.create({
    data: {
      practiceId: actor.practiceId,
      id,
      personId: actor.personId,
      kind: input.kind,
      words: input.words ?? null,
      askedAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "data-request.asked",
    subjectType: "data request",
    subjectId: id,
    horseId: null,
    payload: { kind: input.kind },
  });
  const [horse] = await findOwnHorses(tx, actor.personId);
  if (horse !== undefined)
    await writeNote(work, {
      horseId: horse.id,
      toRole: "manager",
      urgent: false,
      situation: `${actor.name} asks ${input.kind === "copy" ? "for a copy of the own data" : "to be erased"}`,
      found: input.words ?? "Asked on the owner's page",
      mustDo: "Answer the request on the page of people",
    });
  work.announce("queue");
  return read(work, id);
};

/** Writes down the answer, once. What was handed over or erased is done on the pages for it. */
export const answer = async (
  work: Work,
  id: string,
  seen: number,
  words: string,
): Promise<DataRequestView> => {
  const { tx, actor, nowMs } = work;
  const before = await read(work, id);
  assertVersion(seen, before.version);
  const { count } = await tx.dataRequest.updateMany({
    where: { id, version: seen, answeredAt: null },
    data: {
      answeredAt: new Date(nowMs),
      answeredBy: actor.personId,
      answer: words,
      version: seen + 1,
    },
  });
  if (count === 0) throw new Problem("conflict", "This request is answered.", { recordId: id });
  work.audit({
    event: "data-request.answered",
    subjectType: "data request",
    subjectId: id,
    horseId: null,
    payload: { kind: before.kind, answer: words },
  });
  work.announce("queue");
  return read(work, id);
};
