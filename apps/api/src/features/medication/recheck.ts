import type { Finding } from "@heelward/domain/evidence";
import type { Work } from "../../http/work.ts";
export const recheckCoursesAfterWeighing = async (
  _work: Work,
  _horseId: string,
): Promise<{ heldCourseIds: string[]; messages: string[] }> => ({
  heldCourseIds: [],
  messages: [],
});
export const holdRunningCourses = async (
  _work: Work,
  _horseId: string,
  _reason: string,
  _findings: readonly Finding[],
): Promise<string[]> => [];
