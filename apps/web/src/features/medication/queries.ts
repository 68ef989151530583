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

export const useOtherMedicines = (horseId: string) =>
  useQuery(read("listOtherMedicines", { params: { horseId } }));
export const useClearTimes = (horseId: string) =>
  useQuery(read("readClearTimes", { params: { horseId } }));
export const useWrittenPrescriptions = (horseId: string) =>
  useQuery(read("listWrittenPrescriptions", { params: { horseId } }));
export const useWrittenPrescription = (prescriptionId: string) =>
  useQuery(read("readWrittenPrescription", { params: { prescriptionId } }));
/** What the law asks of a prescription as filled in so far; asked again when the practice's address changes. */
export const usePrescriptionCheck = (
  courseId: string,
  body: Body<"judgeWrittenPrescription">,
  postalAddress: string | null | undefined,
) => {
  const question = read("judgeWrittenPrescription", { params: { courseId }, body });
  return useQuery({
    ...question,
    queryKey: [...question.queryKey, postalAddress ?? null],
    placeholderData: keepPreviousData,
    retry: false,
  });
};
export const usePostalAddress = () => useQuery(read("readPostalAddress", {}));
/** What a shift would do; without minutes, as many as the last dose was late. */
export const useShiftCheck = (courseId: string, byMinutes: number | undefined) =>
  useQuery({
    ...read("judgeCourseShift", {
      params: { courseId },
      body: byMinutes === undefined ? {} : { byMinutes },
    }),
    placeholderData: keepPreviousData,
    retry: false,
  });
export const usePergolidePlan = (horseId: string, doseMg: number | undefined) =>
  useQuery({
    ...read("planPergolide", { params: { horseId }, body: { doseMg: doseMg ?? 0 } }),
    enabled: doseMg !== undefined && doseMg > 0,
    placeholderData: keepPreviousData,
    retry: false,
  });

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
