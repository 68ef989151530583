import type { compareWithService, putAside } from "@heelward/contracts";
import type { z } from "zod";
import { keepArrival } from "../../http/arrival.ts";
import { decodeCursor, toPage } from "../../http/cursor.ts";
import { Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import * as horses from "../horses/service.ts";
import * as store from "./store.ts";

/** The service's clock, and which of a device's writes have arrived: sent again, they change nothing. */
export const compare = async (
  { tx, actor, nowMs }: Work,
  { keys }: z.output<NonNullable<typeof compareWithService.body>>,
) => ({
  at: new Date(nowMs).toISOString(),
  arrived: (await store.findKeys(tx, actor.personId, keys)).map((row) => ({
    key: row.key,
    receivedAt: row.receivedAt.toISOString(),
    outcome: row.outcome,
  })),
});

export const list = async (
  { tx }: Work,
  query: {
    readonly limit: number;
    readonly cursor?: string | undefined;
    readonly horseId?: string | undefined;
    readonly deviceId?: string | undefined;
  },
) => {
  const found = await store.findArrivals(tx, {
    horseId: query.horseId,
    deviceId: query.deviceId,
    after: decodeCursor(query.cursor, 2),
    limit: query.limit + 1,
  });
  const { rows, nextCursor } = toPage(found, query.limit, (row) => [row.receivedAt, row.id]);
  return { items: [...rows], nextCursor };
};

/**
 * Keeps what a person decided not to record after a conflict, whole and with the reason. It takes the
 * number the device had given it, so that the order shows no gap.
 */
export const keepAside = async (work: Work, input: z.output<NonNullable<typeof putAside.body>>) => {
  if (work.arrival === null)
    throw new Problem("malformed-request", "Only a device that kept something puts it aside.", {
      errors: [{ pointer: "#device-id", detail: "is missing" }],
    });
  if (input.horseId !== undefined) await horses.read(work, input.horseId);
  const horseId = input.horseId ?? null;
  const id = await keepArrival(
    work,
    input.operation,
    { horseId, recordId: null },
    { payload: input.payload, reason: input.reason },
  );
  work.audit({
    event: "arrival.put-aside",
    subjectType: "arrival",
    subjectId: id,
    horseId,
    payload: { operation: input.operation, reason: input.reason, payload: input.payload },
  });
  return { id, receivedAt: new Date(work.nowMs).toISOString() };
};
