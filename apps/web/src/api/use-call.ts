import {
  infiniteQueryOptions,
  keepPreviousData,
  queryOptions,
  useMutation,
  useQueryClient,
} from "@tanstack/react-query";
import { useCallback, useEffect, useRef } from "react";
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

/** What a page does with one answer: `onSuccess` at once, while the rest of the screen is read again. */
interface Told<Id extends OperationId> {
  readonly onSuccess?: ((answer: Answer<Id>) => void) | undefined;
  readonly onError?: (error: Error) => void;
}

/**
 * A mutation that writes through one operation. Trying the same input again sends the same
 * idempotency key. Afterwards everything on screen is read again: what a write touches (queue,
 * timeline, notes) is the service's business, not the page's. A dialog closes as soon as the service
 * has answered; the mutation stays pending until the screen is fresh, so that a button beside old
 * figures cannot be pressed twice.
 */
export const useWrite = <Id extends OperationId>(id: Id) => {
  const client = useQueryClient();
  const isThere = useRef(true);
  useEffect(() => {
    isThere.current = true;
    return () => {
      isThere.current = false;
    };
  }, []);
  const told = useRef(new WeakMap<object, Told<Id>>());
  const mutation = useMutation<Answer<Id>, Error, Input<Id>>({
    mutationKey: [id],
    mutationFn: (input) => call(id, input, { key: keyOf(input) }),
    onSuccess: (answer, input) => {
      // Marks the queries as old before a page that opens now reads one of them.
      const fresh = client.invalidateQueries();
      if (isThere.current) told.current.get(input)?.onSuccess?.(answer);
      return fresh;
    },
  });
  const { mutate: send } = mutation;
  const mutate = useCallback(
    (input: Input<Id>, then: Told<Id> = {}) => {
      told.current.set(input, then);
      send(input, then.onError === undefined ? {} : { onError: then.onError });
    },
    [send],
  );
  return { ...mutation, mutate };
};

const keys = new WeakMap<object, string>();
const keyOf = (input: object): string => {
  const known = keys.get(input) ?? newKey();
  keys.set(input, known);
  return known;
};
