import type { Person } from "@heelward/contracts";
import type { Role } from "@heelward/domain/access";
import { useQuery } from "@tanstack/react-query";
import { read } from "../api/use-call.ts";

/** Active people who hold a role, by name; empty until read. */
export const usePeopleOf = (role: Role): readonly Person[] => {
  const people = useQuery(read("listPeople", { query: { role } }));
  return (people.data?.items ?? []).filter((person) => person.status === "active");
};
