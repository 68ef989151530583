import type { Work } from "../../http/work.ts";
export const recheckCoursesAfterWeighing = async (
  _work: Work,
  _horseId: string,
): Promise<{ heldCourseIds: string[]; messages: string[] }> => ({
  heldCourseIds: [],
  messages: [],
});
