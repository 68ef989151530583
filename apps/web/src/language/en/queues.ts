/** The queue: what, who, why now, by when, and the one next action. */
export const queues = {
  title: "Your queue",
  lead: "{{role}} · as of {{time}}",
  filter: "Show",
  all: "All",
  find: "Find in the queue",
  emptyTitle: "Nothing waits for you",
  emptyText: "When a horse, a plan or a note needs you, it will stand here, the most urgent first.",
  noMatch: "Nothing in the queue fits.",
  clear: "Show all again",
  due: "by {{when}}",
  openCase: "Case file",
  why: "Why now",
  groups: { now: "Now", today: "Today", soon: "Soon", later: "Later" },
  acknowledge: "Read, will act",
  acknowledged: "Acknowledged",
};
