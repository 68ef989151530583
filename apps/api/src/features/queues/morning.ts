import type { BoardRow, MorningBoard, QueueItem } from "@heelward/contracts";
import { isoOrNull } from "../../http/dates.ts";
import type { Work } from "../../http/work.ts";
import * as queues from "./service.ts";
import { type BoardCase, findBoardCases } from "./morning-store.ts";

const rowOf = (one: BoardCase, waiting: readonly QueueItem[]): BoardRow => {
  const [next] = waiting;
  return {
    caseId: one.caseId,
    number: one.number,
    phase: one.phase,
    horse: { id: one.horseId, name: one.horseName },
    yard: one.yardName,
    urgency: next?.urgency ?? null,
    next: next ?? null,
    waiting: waiting.length,
    lastVisitAt: isoOrNull(one.lastVisitAt),
    changes: one.changes.map(({ at, title, detail }) => ({
      at: new Date(at).toISOString(),
      title,
      detail,
    })),
    changeCount: one.changeCount,
    score:
      one.scoreNow === null || one.scoreNowAt === null
        ? null
        : { before: one.scoreBefore, now: one.scoreNow, at: one.scoreNowAt.toISOString() },
  };
};

/**
 * The vet's queue folded by case, so that there is one truth about what comes first: a case stands
 * where its first line stands, and cases for which nothing waits come last, by name.
 */
export const readBoard = async (work: Work): Promise<MorningBoard> => {
  const { at, items } = await queues.read(work, "vet");
  const cases = new Map((await findBoardCases(work.tx)).map((one) => [one.caseId, one]));
  const waiting = new Map<string, QueueItem[]>();
  for (const item of items) {
    const { caseId } = item;
    if (caseId === null || !cases.has(caseId)) continue;
    waiting.set(caseId, [...(waiting.get(caseId) ?? []), item]);
  }
  const inOrder = [...waiting].flatMap(([caseId, lines]) => {
    const one = cases.get(caseId);
    return one === undefined ? [] : [rowOf(one, lines)];
  });
  const quiet = [...cases.values()]
    .filter((one) => !waiting.has(one.caseId))
    .map((one) => rowOf(one, []));
  return {
    at,
    items: [...inOrder, ...quiet],
    withoutCase: items.filter(({ caseId }) => caseId === null || !cases.has(caseId)).length,
  };
};
