import type { Role } from "../access/index.ts";
import type { ResetState } from "./due-window.ts";
import type { ResetOutcome } from "./outcome.ts";

/** Who could act on a reset; ids or names as the caller keeps them. */
export interface ResetPeople {
  readonly vet: string;
  readonly farrier: string;
  readonly manager: string;
}

export interface MoveFacts {
  readonly state: ResetState;
  readonly painUp: boolean;
  /** A booking stands. */
  readonly booked: boolean;
  readonly ownerConfirmed?: boolean;
  /** What came of the last visit, when it was not done. */
  readonly lastOutcome?: ResetOutcome;
}

export interface Move {
  readonly role: Role;
  readonly person: string;
  readonly action:
    | "call the vet"
    | "book"
    | "rebook"
    | "chase the owner"
    | "carry out"
    | "decide"
    | "none";
}

/**
 * Whose move it is: always one named person, so that nobody waits for the other to ring. Owners are
 * chased by the manager; the move never rests with them.
 */
export const whoseMove = (facts: MoveFacts, people: ResetPeople): Move => {
  const of = (role: "vet" | "farrier" | "manager", action: Move["action"]): Move => ({
    role,
    person: people[role],
    action,
  });
  if (facts.state === "paused") return of("manager", "none");
  if (facts.painUp) return of("vet", "call the vet");
  if (facts.lastOutcome === "declined" && !facts.booked) return of("vet", "decide");
  if (!facts.booked)
    return facts.lastOutcome === undefined || facts.lastOutcome === "done"
      ? of("manager", facts.state === "not due" ? "none" : "book")
      : of("manager", "rebook");
  if (facts.ownerConfirmed === false) return of("manager", "chase the owner");
  return of("farrier", "carry out");
};
