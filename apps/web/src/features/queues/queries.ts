import type { Role } from "@heelward/domain/access";
import { useQuery } from "@tanstack/react-query";
import { read } from "../../api/use-call.ts";

/** The queue of the role acted in, kept up to date by the live line. */
export const useQueue = (role: Role) => useQuery(read("readQueue", { query: { role } }));
