export {
  WELFARE_CLASSES,
  actionFor,
  compareQueueItems,
  orderQueue,
  type PlacedItem,
  type WelfareClass,
} from "./order-queue.ts";
export {
  KIND_RULES,
  QUEUE_KINDS,
  type NextAction,
  type QueueItem,
  type QueueKind,
} from "./queue-item.ts";
