import type { HorizonPlanView } from "@heelward/contracts";
import { MS_PER_DAY, MS_PER_MINUTE } from "@heelward/domain/time";
import type { Work } from "../../http/work.ts";
import { bookWithin, judge, readRow } from "../resets/service.ts";
import { findBooked, lockReset } from "../resets/read-model.ts";

type Choice = NonNullable<HorizonPlanView["result"]>["choices"][number];

export interface Adopted {
  readonly resetId: string;
  readonly outcome: "booked" | "conflict" | "refused";
  readonly detail: string | null;
}

const UNKNOWN_MINUTES = 45;

/** Whoever books with these farriers waits here, so that two adoptions cannot take the same hour. */
const lockFarriers = async ({ tx }: Work, ids: readonly string[]): Promise<void> => {
  await tx.$queryRaw`SELECT id FROM people WHERE id = ANY (${[...new Set(ids)].toSorted()}::uuid[]) ORDER BY id FOR UPDATE`;
};

/** A visit of the farrier at that time which this adoption does not move. */
const clash = async (
  work: Work,
  choice: Choice,
  moving: ReadonlySet<string>,
): Promise<string | null> => {
  const startMs = Date.parse(choice.startAt);
  const endMs = startMs + choice.minutes * MS_PER_MINUTE;
  const booked = await findBooked(work.tx, choice.farrier.id, [
    new Date(startMs - MS_PER_DAY),
    new Date(endMs),
  ]);
  const found = booked.find(
    (one) =>
      !moving.has(one.resetId) &&
      one.bookedFor.getTime() < endMs &&
      startMs < one.bookedFor.getTime() + (one.minutes ?? UNKNOWN_MINUTES) * MS_PER_MINUTE,
  );
  return found === undefined ? null : found.horseName;
};

type Wanted = { readonly choice: Choice; readonly seen: number };
type Checked = { readonly choice: Choice; readonly verdict: Adopted | "book" };

const refused = (resetId: string, detail: string): Adopted => ({
  resetId,
  outcome: "refused",
  detail,
});
const conflict = (resetId: string, detail: string): Adopted => ({
  resetId,
  outcome: "conflict",
  detail,
});

/** Whether one choice may be booked as far as its own reset goes; the row stays locked. */
const checkOne = async (
  work: Work,
  { choice, seen }: Wanted,
  reason: string | undefined,
): Promise<Adopted | "book"> => {
  const { resetId, farrier } = choice;
  const version = await lockReset(work.tx, resetId);
  if (version === null) return conflict(resetId, "The reset is not there any more.");
  // What the person saw and what the plan saw must both still hold.
  if (version !== seen || version !== choice.resetVersion)
    return conflict(
      resetId,
      "Somebody changed this reset since the plan was made; look at it again.",
    );
  const row = await readRow(work, resetId);
  if (row.status !== "open" && row.status !== "booked")
    return conflict(resetId, `This reset is ${row.status} already.`);
  if (row.bookedFor?.getTime() === Date.parse(choice.startAt) && row.farrier?.id === farrier.id)
    return { resetId, outcome: "booked", detail: "It stays as it was booked." };
  const active = await work.tx.person.count({
    where: { id: farrier.id, status: "active", roles: { has: "farrier" } },
  });
  if (active !== 1) return refused(resetId, `${farrier.name} is not an active farrier any more.`);
  const findings = await judge(work, row, choice.startAt, reason, farrier.id);
  const block = findings.find((finding) => finding.outcome === "block");
  return block === undefined ? "book" : refused(resetId, block.detail);
};

/**
 * Takes out what would book a farrier twice. A visit that this adoption moves frees its old hour, but
 * only if it is moved: whatever is taken out stays where it was, and the others are looked at again.
 */
const withoutClashes = async (work: Work, checked: readonly Checked[]): Promise<Checked[]> => {
  const moving = new Set(
    checked.filter((one) => one.verdict === "book").map((one) => one.choice.resetId),
  );
  for (const one of checked) {
    if (one.verdict !== "book") continue;
    // A handful of short queries in one order.
    // oxlint-disable-next-line no-await-in-loop
    const other = await clash(work, one.choice, moving);
    if (other === null) continue;
    const verdict = conflict(
      one.choice.resetId,
      `${one.choice.farrier.name} is booked with ${other} at that time.`,
    );
    return withoutClashes(
      work,
      checked.map((each) => (each === one ? { ...each, verdict } : each)),
    );
  }
  return [...checked];
};

/**
 * Books choices of a plan. All are checked first, with their rows locked, so that one that cannot be
 * booked leaves no trace and takes nobody's hour; then the rest are booked by the rules of booking.
 */
export const bookPlanned = async (
  work: Work,
  wanted: readonly Wanted[],
  reason: string | undefined,
): Promise<readonly Adopted[]> => {
  await lockFarriers(
    work,
    wanted.map(({ choice }) => choice.farrier.id),
  );
  const checked: Checked[] = [];
  for (const one of wanted.toSorted((a, b) => (a.choice.resetId < b.choice.resetId ? -1 : 1)))
    // Rows are locked one after the other, always in the same order.
    // oxlint-disable-next-line no-await-in-loop
    checked.push({ choice: one.choice, verdict: await checkOne(work, one, reason) });
  const results: Adopted[] = [];
  for (const { choice, verdict } of await withoutClashes(work, checked)) {
    if (verdict !== "book") {
      results.push(verdict);
      continue;
    }
    // One booking after the other: each takes its place in the audit chain.
    // oxlint-disable-next-line no-await-in-loop
    await bookWithin(work, choice.resetId, {
      bookedFor: choice.startAt,
      minutes: choice.minutes,
      farrierId: choice.farrier.id,
      ...(reason === undefined ? {} : { reason }),
    });
    results.push({ resetId: choice.resetId, outcome: "booked", detail: null });
  }
  return results;
};
