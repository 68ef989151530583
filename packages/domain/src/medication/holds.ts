import type { InstantMs } from "../time/index.ts";
import type { Course, Hold } from "./types.ts";

/** Holds in force on a course at an instant. A hold without a course stops every course. */
export const holdsOn = (
  course: Pick<Course, "id">,
  holds: readonly Hold[],
  atMs: InstantMs,
): readonly Hold[] =>
  holds.filter(
    (hold) =>
      (hold.courseId === undefined || hold.courseId === course.id) &&
      hold.fromMs <= atMs &&
      (hold.releasedAtMs === undefined || hold.releasedAtMs > atMs),
  );
