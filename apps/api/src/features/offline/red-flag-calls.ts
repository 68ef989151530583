import type { logRedFlagCall } from "@heelward/contracts";
import type { z } from "zod";
import { actingAs } from "../../http/actor.ts";
import { decodeCursor, toPage } from "../../http/cursor.ts";
import { assertNotFuture } from "../../http/instants.ts";
import { newId } from "../../http/new-id.ts";
import { Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import { write as writeNote } from "../handoffs/service.ts";
import * as horses from "../horses/service.ts";

type Press = z.output<NonNullable<typeof logRedFlagCall.body>>;

const view = (row: {
  readonly id: string;
  readonly horseId: string | null;
  readonly numberDialled: string;
  readonly pressedAt: Date;
  readonly receivedAt: Date;
  readonly person: { readonly id: string; readonly name: string };
}) => ({
  ...row,
  pressedAt: row.pressedAt.toISOString(),
  receivedAt: row.receivedAt.toISOString(),
});

/**
 * Keeps that the red-flag button was pressed and which number it dialled. The call itself went over
 * the telephone; with a horse, its timeline shows it and the vet gets an urgent note, in case nobody
 * answered.
 */
export const log = async (work: Work, input: Press) => {
  const { tx, actor, nowMs } = work;
  assertNotFuture(input.pressedAt, nowMs, "/pressedAt");
  const horse = input.horseId === undefined ? null : await horses.read(work, input.horseId);
  const id = input.id ?? newId();
  if ((await tx.redFlagCall.count({ where: { practiceId: actor.practiceId, id } })) > 0)
    throw new Problem("conflict", "This call is in the log already.", { recordId: id });
  const row = {
    practiceId: actor.practiceId,
    id,
    personId: actor.personId,
    horseId: horse?.id ?? null,
    numberDialled: input.numberDialled,
    pressedAt: new Date(input.pressedAt),
    receivedAt: new Date(nowMs),
  };
  await tx.redFlagCall.create({ data: row });
  work.audit({
    event: "red-flag.rung",
    subjectType: "red-flag call",
    subjectId: id,
    horseId: row.horseId,
    payload: { numberDialled: input.numberDialled, pressedAt: input.pressedAt },
  });
  if (horse !== null) {
    await recordEvent(work, {
      horseId: horse.id,
      caseId: horse.openCaseId,
      kind: "note",
      title: "Red flag: the number on call was rung",
      detail: `${actor.name} rang ${input.numberDialled}`,
      at: row.pressedAt.getTime(),
      refType: "red-flag call",
      refId: id,
    });
    if (actingAs(actor, ["vet", "farrier", "manager", "carer"]) !== "vet")
      await writeNote(work, {
        horseId: horse.id,
        toRole: "vet",
        urgent: true,
        situation: `${horse.name}: red flag, ${actor.name} pressed the button`.slice(0, 200),
        found: `The number on call (${input.numberDialled}) was rung at ${input.pressedAt}.`,
        mustDo: "Ring back now if you have not spoken to them",
      });
  }
  work.announce("queue");
  return view({ ...row, person: { id: actor.personId, name: actor.name } });
};

/** Presses of the button that the caller may see, latest first. */
export const list = async (
  { tx }: Work,
  query: { readonly limit: number; readonly cursor?: string | undefined },
) => {
  const after = decodeCursor(query.cursor, 2);
  const before = new Date(after?.[0] ?? "9999-12-31T00:00:00Z");
  const found = await tx.redFlagCall.findMany({
    where:
      after === null
        ? {}
        : {
            OR: [{ pressedAt: { lt: before } }, { pressedAt: before, id: { lt: after[1] ?? "" } }],
          },
    orderBy: [{ pressedAt: "desc" }, { id: "desc" }],
    take: query.limit + 1,
  });
  const people = await tx.person.findMany({
    where: { id: { in: found.map((row) => row.personId) } },
    select: { id: true, name: true },
  });
  const nameOf = new Map(people.map((person) => [person.id, person.name]));
  const { rows, nextCursor } = toPage(found, query.limit, (row) => [
    row.pressedAt.toISOString(),
    row.id,
  ]);
  return {
    items: rows.map((row) =>
      view({ ...row, person: { id: row.personId, name: nameOf.get(row.personId) ?? "" } }),
    ),
    nextCursor,
  };
};
