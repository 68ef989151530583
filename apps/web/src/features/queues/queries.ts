import type { Role } from "@heelward/domain/access";
import { useQuery } from "@tanstack/react-query";
import { read } from "../../api/use-call.ts";

const LIVE_MS = 60_000;

/** The queue of the role acted in, read again every minute and when the window is looked at. */
export const useQueue = (role: Role) =>
  useQuery({ ...read("readQueue", { query: { role } }), refetchInterval: LIVE_MS });
