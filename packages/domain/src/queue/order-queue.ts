import type { Role } from "../access/index.ts";
import { phaseRank } from "../cases/index.ts";
import { MS_PER_DAY, MS_PER_HOUR, MS_PER_MINUTE, type InstantMs } from "../time/index.ts";
import { KIND_RULES, type NextAction, type QueueItem } from "./queue-item.ts";

/**
 * Welfare classes, most urgent first. The first three come before any lateness; a reset that is red
 * and a lapsed dose stand above what is only late on paper.
 */
export const WELFARE_CLASSES = [
  "red flag",
  "held course",
  "acute horse not yet seen",
  "feet or pain past their limit",
  "everything else",
] as const;
export type WelfareClass = (typeof WELFARE_CLASSES)[number];

export interface PlacedItem<T extends QueueItem = QueueItem> {
  readonly item: T;
  readonly place: number;
  readonly welfareClass: WelfareClass;
  /** Milliseconds past its due time; negative while early; absent when nothing runs late. */
  readonly latenessMs?: number;
  /** Why it stands here, in one plain line. */
  readonly reason: string;
  readonly nextAction: NextAction;
}

const welfareIndex = (item: QueueItem, atMs: InstantMs): number => {
  if (item.kind === "red flag call") return 0;
  if (item.kind === "held course") return 1;
  if (item.acuteUnseen === true) return 2;
  const lateDose = item.kind === "dose due" && item.dueAtMs !== undefined && item.dueAtMs < atMs;
  const painful =
    item.resetState === "red" ||
    item.kind === "prescription declined" ||
    item.kind === "first-aid checklist" ||
    lateDose;
  return painful ? 3 : 4;
};

/** Lateness against the item's own window: positive late, negative early, none last. */
const latenessMs = (item: QueueItem, atMs: InstantMs): number =>
  item.dueAtMs === undefined ? Number.NEGATIVE_INFINITY : atMs - item.dueAtMs;

/** Descending compare that copes with two infinities, whose difference is not a number. */
const descending = (left: number, right: number): number =>
  left === right ? 0 : left > right ? -1 : 1;

const compareText = (left: string, right: string): number =>
  left === right ? 0 : left < right ? -1 : 1;

/**
 * The one order of all queues: welfare, then urgent, then lateness against the item's own window,
 * then phase, then kind, then age, then id. A total order: equal only to itself.
 */
export const compareQueueItems = (left: QueueItem, right: QueueItem, atMs: InstantMs): number =>
  welfareIndex(left, atMs) - welfareIndex(right, atMs) ||
  Number(right.urgent === true) - Number(left.urgent === true) ||
  descending(latenessMs(left, atMs), latenessMs(right, atMs)) ||
  phaseRank(left.phase) - phaseRank(right.phase) ||
  KIND_RULES[left.kind].rank - KIND_RULES[right.kind].rank ||
  descending(right.raisedAtMs, left.raisedAtMs) ||
  compareText(left.id, right.id);

const span = (ms: number): string => {
  const size = Math.abs(ms);
  const count = (value: number, unit: string) =>
    `${String(value)} ${unit}${value === 1 ? "" : "s"}`;
  if (size >= 2 * MS_PER_DAY) return count(Math.floor(size / MS_PER_DAY), "day");
  if (size >= MS_PER_HOUR) return count(Math.floor(size / MS_PER_HOUR), "hour");
  return count(Math.floor(size / MS_PER_MINUTE), "minute");
};

const lateness = (item: QueueItem, atMs: InstantMs): string => {
  if (item.dueAtMs === undefined) return `waiting ${span(atMs - item.raisedAtMs)}`;
  const late = atMs - item.dueAtMs;
  if (late > 0) return `${span(late)} late`;
  return late === 0 ? "due now" : `due in ${span(late)}`;
};

const reasonOf = (item: QueueItem, index: number, atMs: InstantMs): string => {
  const welfare = WELFARE_CLASSES[index] ?? "everything else";
  const parts = [
    ...(welfare === "everything else" ? [] : [welfare]),
    ...(item.urgent === true ? ["urgent"] : []),
    ...(item.because === undefined ? [] : [item.because]),
    // A late reset says its own days, counted by the yard's calendar.
    ...(item.kind === "reset due" && item.because?.includes(" late") === true
      ? []
      : [lateness(item, atMs)]),
    ...(item.phase === "closed" ? [] : [`${item.phase} case`]),
  ];
  return parts.join(" · ");
};

/** The action a role takes on an item; undefined when the item is not for the role. */
export const actionFor = (role: Role, item: QueueItem): NextAction | undefined => {
  if (item.alsoFor?.includes(role) === true)
    return KIND_RULES[item.kind].actions[role] ?? "open the case";
  if (item.onlyFor !== undefined && !item.onlyFor.includes(role)) return undefined;
  return KIND_RULES[item.kind].actions[role];
};

/**
 * A role's list at an instant, most pressing first, each with why it stands there and its one next
 * action. Items for other roles and items of closed cases are left out. The input is not changed and
 * its order does not matter.
 */
export const orderQueue = <T extends QueueItem>(
  role: Role,
  items: readonly T[],
  atMs: InstantMs,
): readonly PlacedItem<T>[] =>
  items
    .flatMap((item) => {
      const nextAction = item.phase === "closed" ? undefined : actionFor(role, item);
      return nextAction === undefined ? [] : [{ item, nextAction }];
    })
    .toSorted((left, right) => compareQueueItems(left.item, right.item, atMs))
    .map(({ item, nextAction }, index) => {
      const welfare = welfareIndex(item, atMs);
      return {
        item,
        place: index + 1,
        welfareClass: WELFARE_CLASSES[welfare] ?? "everything else",
        reason: reasonOf(item, welfare, atMs),
        nextAction,
        ...(item.dueAtMs === undefined ? {} : { latenessMs: atMs - item.dueAtMs }),
      };
    });
