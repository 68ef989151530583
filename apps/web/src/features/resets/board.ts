import type { Reset } from "@heelward/contracts";

export const GROUPS = ["late", "due", "soon", "unbooked", "booked", "paused"] as const;
export type Group = (typeof GROUPS)[number];
export const SORTS = ["late", "safe", "booked"] as const;
export type Sort = (typeof SORTS)[number];

/** A booking stands. */
export const isBooked = (reset: Reset): boolean => reset.bookedFor !== null;
export const isLate = (reset: Reset): boolean => reset.state === "amber" || reset.state === "red";

/** Whether a reset belongs to a group; a reset may belong to several. */
export const isIn = (group: Group, reset: Reset): boolean => {
  if (group === "late") return isLate(reset);
  if (group === "due") return reset.state === "due";
  if (group === "soon") return reset.state === "due soon";
  if (group === "paused") return reset.state === "paused";
  if (group === "booked") return isBooked(reset);
  return !isBooked(reset) && reset.state !== "paused" && reset.state !== "not due";
};

export interface Filter {
  readonly group: Group | "";
  readonly farrierId: string;
  readonly yardId: string;
  readonly text: string;
}

const LAST = "9999";
const RANK: Readonly<Record<Reset["state"], number>> = {
  red: 0,
  amber: 1,
  due: 2,
  "due soon": 3,
  "not due": 4,
  paused: 5,
};

const ORDERS: Readonly<Record<Sort, (a: Reset, b: Reset) => number>> = {
  late: (a, b) => RANK[a.state] - RANK[b.state] || b.daysLate - a.daysLate,
  safe: (a, b) => (a.latestSafeOn ?? LAST).localeCompare(b.latestSafeOn ?? LAST),
  booked: (a, b) => (a.bookedFor ?? LAST).localeCompare(b.bookedFor ?? LAST),
};

/** The rows of the board: what the filter leaves, in the chosen order, ties by name. */
export const boardOf = (resets: readonly Reset[], filter: Filter, sort: Sort): readonly Reset[] => {
  const text = filter.text.trim().toLowerCase();
  return resets
    .filter(
      (reset) =>
        (filter.group === "" || isIn(filter.group, reset)) &&
        (filter.farrierId === "" || reset.farrier?.id === filter.farrierId) &&
        (filter.yardId === "" || reset.yard.id === filter.yardId) &&
        [reset.horse.name, reset.yard.name, reset.farrier?.name]
          .join(" ")
          .toLowerCase()
          .includes(text),
    )
    .toSorted((a, b) => ORDERS[sort](a, b) || a.horse.name.localeCompare(b.horse.name));
};

/** People or yards that occur on the board, by name. */
export const choicesOf = (
  resets: readonly Reset[],
  pick: (reset: Reset) => { readonly id: string; readonly name: string } | null,
): readonly { readonly value: string; readonly label: string }[] => {
  const found = new Map(
    resets.flatMap((reset) => {
      const one = pick(reset);
      return one === null ? [] : [[one.id, one.name] as const];
    }),
  );
  return [...found]
    .map(([value, label]) => ({ value, label }))
    .toSorted((a, b) => a.label.localeCompare(b.label));
};
