import {
  infiniteQueryOptions,
  keepPreviousData,
  queryOptions,
  useMutation,
  useQueryClient,
} from "@tanstack/react-query";
import { call, newKey } from "./client.ts";
import type { Answer, Input, OperationId } from "./operations.ts";
import { ProblemError } from "./problem-error.ts";

/**
 * Options of a query that reads one operation: `useQuery(read("readHorse", { params: { horseId } }))`.
 */
export const read = <Id extends OperationId>(id: Id, input: Input<Id>) =>
  queryOptions<Answer<Id>>({
    queryKey: [id, input],
    queryFn: ({ signal }) => call(id, input, { signal }),
  });

/** As `read`, where nothing on file is an answer and not an error: `null`. */
export const readOrNone = <Id extends OperationId>(id: Id, input: Input<Id>) =>
  queryOptions<Answer<Id> | null>({
    queryKey: [id, "or none", input],
    queryFn: async ({ signal }) => {
      try {
        return await call(id, input, { signal });
      } catch (error) {
        if (error instanceof ProblemError && error.slug === "not-found") return null;
        throw error;
      }
    },
  });

interface AnyPage {
  readonly items: readonly unknown[];
  readonly nextCursor: string | null;
}

/** Operations that answer in pages. */
type PagedId = { [K in OperationId]: Answer<K> extends AnyPage ? K : never }[OperationId];

/** Options of a query that reads a list page by page; show it with `ListView`. */
export const readPages = <Id extends PagedId>(id: Id, input: Input<Id>) =>
  infiniteQueryOptions({
    queryKey: [id, "pages", input],
    queryFn: ({ pageParam, signal }) => {
      const { query } = input as { readonly query?: object };
      const paged = { ...input, query: { ...query, cursor: pageParam } } as Input<Id>;
      return call(id, paged, { signal });
    },
    initialPageParam: undefined as string | undefined,
    getNextPageParam: (last: Answer<Id>) => (last as AnyPage).nextCursor ?? undefined,
    placeholderData: keepPreviousData,
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
