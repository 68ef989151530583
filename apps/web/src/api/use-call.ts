import { queryOptions, useMutation, useQueryClient } from "@tanstack/react-query";
import { call, newKey } from "./client.ts";
import type { Answer, Input, OperationId } from "./operations.ts";

/**
 * Options of a query that reads one operation: `useQuery(read("readHorse", { params: { horseId } }))`.
 */
export const read = <Id extends OperationId>(id: Id, input: Input<Id>) =>
  queryOptions<Answer<Id>>({
    queryKey: [id, input],
    queryFn: ({ signal }) => call(id, input, { signal }),
  });

/**
 * A mutation that writes through one operation. Trying the same input again sends the same
 * idempotency key. Afterwards everything on screen is read again: what a write touches (queue,
 * timeline, notes) is the service's business, not the page's.
 */
export const useWrite = <Id extends OperationId>(id: Id) => {
  const client = useQueryClient();
  return useMutation<Answer<Id>, Error, Input<Id>>({
    mutationKey: [id],
    mutationFn: (input) => call(id, input, { key: keyOf(input) }),
    onSuccess: () => client.invalidateQueries(),
  });
};

const keys = new WeakMap<object, string>();
const keyOf = (input: object): string => {
  const known = keys.get(input) ?? newKey();
  keys.set(input, known);
  return known;
};
