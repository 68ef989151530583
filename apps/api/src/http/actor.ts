import type { Role } from "@heelward/domain/access";

/** Who is asking, as of this request: roles are read from the database each time. */
export interface Actor {
  readonly personId: string;
  readonly practiceId: string;
  readonly name: string;
  readonly roles: readonly Role[];
  readonly registrationNumber: string | null;
  readonly clinicalLead: boolean;
  readonly sessionId: string;
  readonly authenticatedAtMs: number;
}

export const hasRole = (actor: Actor, ...roles: readonly Role[]): boolean =>
  roles.some((role) => actor.roles.includes(role));

/** The role under which an action is recorded: the first of `preferred` the person holds. */
export const actingAs = (actor: Actor, preferred: readonly Role[]): Role =>
  preferred.find((role) => actor.roles.includes(role)) ?? actor.roles[0] ?? "owner";
