import type { CourseView } from "@heelward/contracts";
import { describe, expect, it } from "vitest";
import { draftOf } from "./course-draft.ts";

const course = {
  drugKey: "phenylbutazone",
  presentationKey: "phenylbutazone-powder-1g",
  route: "oral",
  startOn: "2026-10-01",
  reviewOn: "2026-10-05",
  instructions: null,
  reason: null,
  continuesFromDay: null,
  restartsSeries: false,
  vetSetsSchedule: false,
  hydrationRecorded: false,
  recheckOn: null,
  steps: [{ fromDay: 1, toDay: 1, doseMg: 2000, timesLocal: ["08:00", "20:00"], everyDays: 1 }],
} as unknown as CourseView;

describe("a draft course taken up again", () => {
  it("starts today once its first day is past, because nobody can give yesterday's dose", () => {
    const draft = draftOf(course, undefined, "2026-10-14");
    expect(draft.startOn).toBe("2026-10-14");
    expect(draft.reviewOn).toBe("");
  });

  it("keeps a first day and a review that are still to come", () => {
    expect(draftOf(course, undefined, "2026-10-01")).toMatchObject({
      startOn: "2026-10-01",
      reviewOn: "2026-10-05",
    });
    expect(draftOf(course, undefined, "2026-10-03")).toMatchObject({
      startOn: "2026-10-03",
      reviewOn: "2026-10-05",
    });
  });
});
