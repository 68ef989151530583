import type { SessionView } from "@heelward/contracts";
import type { Role } from "@heelward/domain/access";
import { type QueryClient, useQuery } from "@tanstack/react-query";
import { createContext, type ReactNode, use, useMemo, useState } from "react";
import { read } from "../api/use-call.ts";
import { TimeZoneContext } from "../language/time-zone.ts";

interface Current {
  readonly session: SessionView;
  /** The role the person acts in just now; a person may hold several. */
  readonly role: Role;
  readonly chooseRole: (role: Role) => void;
}

const CurrentContext = createContext<Current | undefined>(undefined);

const STORED = "heelward.role";
const ORDER: readonly Role[] = ["vet", "farrier", "manager", "carer", "owner"];

const firstRole = (roles: readonly Role[]): Role => {
  const stored = localStorage.getItem(STORED);
  return (
    roles.find((role) => role === stored) ?? ORDER.find((role) => roles.includes(role)) ?? "owner"
  );
};

const WHO_IS_THERE = { ...read("readSession", {}), staleTime: 5 * 60_000 };

/** Who is signed in; an error with slug `unauthenticated` when nobody is. */
export const useSessionQuery = () => useQuery({ ...WHO_IS_THERE, refetchOnWindowFocus: true });

/** Asks who is there, and for the queue that the frame counts, while the page's code is on its way. */
export const askEarly = async (client: QueryClient): Promise<void> => {
  try {
    const { person } = await client.fetchQuery(WHO_IS_THERE);
    const role = firstRole(person.roles);
    if (role !== "owner") await client.prefetchQuery(read("readQueue", { query: { role } }));
  } catch {
    // The frame asks again, and shows what came of it.
  }
};

export const CurrentSession = ({
  session,
  children,
}: {
  readonly session: SessionView;
  readonly children: ReactNode;
}) => {
  const [chosen, setChosen] = useState<Role>(() => firstRole(session.person.roles));
  const role = session.person.roles.includes(chosen) ? chosen : firstRole(session.person.roles);
  const current = useMemo<Current>(
    () => ({
      session,
      role,
      chooseRole: (next) => {
        localStorage.setItem(STORED, next);
        setChosen(next);
      },
    }),
    [session, role],
  );
  return (
    <CurrentContext value={current}>
      <TimeZoneContext value={session.practice.timeZone}>{children}</TimeZoneContext>
    </CurrentContext>
  );
};

/** The signed-in person, their practice and the role they act in. Only below the signed-in frame. */
export const useCurrent = (): Current => {
  const current = use(CurrentContext);
  if (current === undefined) throw new Error("used outside the signed-in frame");
  return current;
};

/** True when the role acted in is one of these. */
export const useIsRole = (...roles: readonly Role[]): boolean => roles.includes(useCurrent().role);
