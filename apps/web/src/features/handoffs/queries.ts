import { useInfiniteQuery } from "@tanstack/react-query";
import { readPages } from "../../api/use-call.ts";

export const useNotes = (state: "open" | "acknowledged" | undefined) =>
  useInfiniteQuery(readPages("listHandoffNotes", { query: state === undefined ? {} : { state } }));
