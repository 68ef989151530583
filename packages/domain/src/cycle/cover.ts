import type { LocalDate } from "../time/index.ts";

export interface CoverReset {
  readonly resetId: string;
  readonly farrierId: string;
  /** Day it is booked, or due when unbooked. */
  readonly on: LocalDate;
  readonly skillsNeeded: readonly string[];
  readonly yardId: string;
}

export interface CoverFarrier {
  readonly farrierId: string;
  readonly skills: readonly string[];
  readonly yardIds: readonly string[];
}

export interface CoverMove {
  readonly resetId: string;
  readonly toFarrierId: string;
  /** Skills the cover lacks; the job needs a second pair of hands or another day. */
  readonly lacks: readonly string[];
}

/**
 * Moves an absent farrier's resets to one who covers the yard: first who has every skill, then who
 * lacks fewest. Resets outside the days away stay. A reset nobody can take is left out of the answer
 * and so stays on the board unmoved.
 */
export const planCover = (
  resets: readonly CoverReset[],
  away: { readonly farrierId: string; readonly fromOn: LocalDate; readonly toOn: LocalDate },
  farriers: readonly CoverFarrier[],
): readonly CoverMove[] =>
  resets
    .filter(
      (reset) =>
        reset.farrierId === away.farrierId && reset.on >= away.fromOn && reset.on <= away.toOn,
    )
    .flatMap((reset) => {
      const [best] = farriers
        .filter(
          (farrier) =>
            farrier.farrierId !== away.farrierId && farrier.yardIds.includes(reset.yardId),
        )
        .map((farrier) => ({
          farrier,
          lacks: reset.skillsNeeded.filter((skill) => !farrier.skills.includes(skill)),
        }))
        .toSorted(
          (left, right) =>
            left.lacks.length - right.lacks.length ||
            (left.farrier.farrierId < right.farrier.farrierId ? -1 : 1),
        );
      return best === undefined
        ? []
        : [{ resetId: reset.resetId, toFarrierId: best.farrier.farrierId, lacks: best.lacks }];
    });
