import type { LearningNote, writeLearningNote } from "@heelward/contracts";
import type { z } from "zod";
import { notFound, Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import * as cases from "../cases/service.ts";

type Writing = z.output<NonNullable<typeof writeLearningNote.body>>;

/** The note of a case. @throws Problem `not-found` while nobody wrote one */
export const read = async (work: Work, caseId: string): Promise<LearningNote> => {
  const { tx, actor } = work;
  await cases.read(work, caseId);
  const row = await tx.learningNote.findUnique({
    where: { practiceId_caseId: { practiceId: actor.practiceId, caseId } },
  });
  if (row === null) throw notFound("learning note");
  const writer = await tx.person.findUniqueOrThrow({
    where: { practiceId_id: { practiceId: actor.practiceId, id: row.writtenBy } },
    select: { id: true, name: true },
  });
  return {
    caseId,
    expected: row.expected,
    happened: row.happened,
    wedge: row.wedge as LearningNote["wedge"],
    wedgeWords: row.wedgeWords,
    lesson: row.lesson,
    writtenBy: writer,
    writtenAt: row.writtenAt.toISOString(),
  };
};

/** Writes the note of a closed case, once: what was thought then is not to be bettered later. */
export const write = async (work: Work, caseId: string, input: Writing): Promise<LearningNote> => {
  const { tx, actor, nowMs } = work;
  const found = await cases.read(work, caseId);
  if (found.phase !== "closed")
    throw new Problem("conflict", "A learning note is written when the case is closed.", {
      recordId: caseId,
    });
  if ((await tx.learningNote.count({ where: { caseId } })) > 0)
    throw new Problem("conflict", "This case has its learning note; it stays as written.", {
      recordId: caseId,
    });
  const { wedgeWords, ...parts } = input;
  await tx.learningNote.create({
    data: {
      ...parts,
      wedgeWords: wedgeWords ?? null,
      practiceId: actor.practiceId,
      caseId,
      horseId: found.horse.id,
      writtenBy: actor.personId,
      writtenAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "learning-note.written",
    subjectType: "case",
    subjectId: caseId,
    horseId: found.horse.id,
    payload: input,
  });
  await recordEvent(work, {
    horseId: found.horse.id,
    caseId,
    kind: "case",
    title: "Learning note written",
    detail: input.lesson,
    refType: "case",
    refId: caseId,
  });
  return read(work, caseId);
};
