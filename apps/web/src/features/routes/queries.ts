import { keepPreviousData, useQuery } from "@tanstack/react-query";
import type { Input } from "../../api/operations.ts";
import { read } from "../../api/use-call.ts";

/** A farrier's day; while another is read the one before stays on screen. */
export const useRouteDay = (
  date: string,
  query: NonNullable<Input<"readRouteDay">["query"]>,
  isReady: boolean,
) =>
  useQuery({
    ...read("readRouteDay", { params: { date }, query }),
    enabled: isReady,
    placeholderData: keepPreviousData,
  });
