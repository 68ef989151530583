import type { Reset } from "@heelward/contracts";
import { queryOptions, useQuery } from "@tanstack/react-query";
import { call } from "../../api/client.ts";
import { read } from "../../api/use-call.ts";

const PAGE = 200;

const readAll = async (signal: AbortSignal): Promise<readonly Reset[]> => {
  const found: Reset[] = [];
  let cursor: string | undefined;
  do {
    const page = await call(
      "listResets",
      { query: { limit: PAGE, ...(cursor === undefined ? {} : { cursor }) } },
      { signal },
    );
    found.push(...page.items);
    cursor = page.nextCursor ?? undefined;
  } while (cursor !== undefined);
  return found;
};

/** Every open reset, all pages: the board filters and sorts what it holds. */
export const useBoard = () =>
  useQuery(
    queryOptions({
      queryKey: ["listResets", "board"],
      queryFn: ({ signal }) => readAll(signal),
    }),
  );

export const useReset = (resetId: string) => useQuery(read("readReset", { params: { resetId } }));
