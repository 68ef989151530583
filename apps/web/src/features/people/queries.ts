import type { Role } from "@heelward/domain/access";
import { useQuery } from "@tanstack/react-query";
import { read } from "../../api/use-call.ts";

export const usePeople = (role: Role | undefined) =>
  useQuery(read("listPeople", { query: role === undefined ? {} : { role } }));

export const useInvitations = (isManager: boolean) =>
  useQuery({ ...read("listInvitations", {}), enabled: isManager });

export const useAllYards = () => useQuery(read("listYards", { query: { limit: 200 } }));
