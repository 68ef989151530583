import type { Role } from "../access/index.ts";
import type { Finding } from "../evidence/index.ts";
import type { InstantMs } from "../time/index.ts";
import { HOUSE_CASE_RULES } from "./sources.ts";

/** Anything an owner may come to see: a result, a film, a plan, a note. */
export interface Releasable {
  readonly id: string;
  /** Set when a vet released it. */
  readonly releasedAtMs?: InstantMs;
  readonly withdrawnAtMs?: InstantMs;
}

/** Items an owner sees at an instant: released by then and not withdrawn. Nothing shows by itself. */
export const visibleToOwner = <T extends Releasable>(
  items: readonly T[],
  atMs: InstantMs,
): readonly T[] =>
  items.filter(
    (item) =>
      item.releasedAtMs !== undefined &&
      item.releasedAtMs <= atMs &&
      (item.withdrawnAtMs === undefined || item.withdrawnAtMs > atMs),
  );

/** Whether somebody may release an item: a vet, and only after a vet has read it. */
export const judgeRelease = (
  byRole: Role,
  readByVetAtMs: InstantMs | undefined,
): readonly Finding[] => {
  const refuse = (rule: string, detail: string): readonly Finding[] => [
    { rule: `cases/${rule}@1`, outcome: "block", detail, source: HOUSE_CASE_RULES },
  ];
  if (byRole !== "vet") return refuse("release-by-vet", "Only a vet releases results to an owner.");
  return readByVetAtMs === undefined
    ? refuse("release-unread", "Read the result before it is released.")
    : [];
};
