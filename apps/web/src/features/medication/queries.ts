import type { CoursePlan, Drug } from "@heelward/domain/medication";
import { keepPreviousData, useInfiniteQuery, useQuery } from "@tanstack/react-query";
import type { Body } from "../../api/operations.ts";
import { read, readPages } from "../../api/use-call.ts";

export const useHorse = (horseId: string) => useQuery(read("readHorse", { params: { horseId } }));
export const useCourses = (horseId: string) =>
  useInfiniteQuery(readPages("listCourses", { params: { horseId } }));
export const useCourse = (courseId: string) =>
  useQuery(read("readCourse", { params: { courseId } }));
export const useDoses = (horseId: string) =>
  useInfiniteQuery(readPages("listDoses", { params: { horseId } }));
export const useLedger = (horseId: string, isAllowed: boolean) =>
  useQuery({ ...read("readLedger", { params: { horseId } }), enabled: isAllowed });
export const useRefused = (horseId: string) =>
  useInfiniteQuery(readPages("listRefusedRequests", { params: { horseId } }));

/** The medicines of the practice's jurisdiction; the contract carries them as the domain shapes them. */
export const useFormulary = (isAllowed = true) =>
  useQuery({
    ...read("readFormulary", {}),
    staleTime: Number.POSITIVE_INFINITY,
    enabled: isAllowed,
    select: (answer) => ({
      jurisdiction: answer.jurisdiction,
      drugs: answer.drugs as unknown as readonly Drug[],
    }),
  });

/** What the rules say of a course before it is drafted; the last answer stays while the next is asked. */
export const useCourseCheck = (horseId: string, body: Body<"judgeCourseDraft"> | undefined) =>
  useQuery({
    ...read("judgeCourseDraft", { params: { horseId }, body: body as Body<"judgeCourseDraft"> }),
    enabled: body !== undefined,
    placeholderData: keepPreviousData,
    retry: false,
  });

/** The plan as the domain made it, or undefined where the service sent none. */
export const planOf = (plan: unknown): CoursePlan | undefined =>
  typeof plan === "object" && plan !== null && "steps" in plan && "doses" in plan
    ? (plan as CoursePlan)
    : undefined;
