import type { Drafts } from "@heelward/contracts";
import { MS_PER_DAY } from "@heelward/domain/time";
import type { Work } from "../../http/work.ts";
import { draftCourses } from "../medication/drafts.ts";
import { waitingOrders } from "../procedures/service.ts";
import { draftPlans } from "../prescriptions/service.ts";

const ageDays = (work: Work, at: Date): number =>
  Math.max(0, Math.floor((work.nowMs - at.getTime()) / MS_PER_DAY));

/** Everything that waits for a vet's name, oldest first, as the rules see it at this moment. */
export const readDrafts = async (work: Work): Promise<Drafts> => {
  const plans = await draftPlans(work);
  const courses = await draftCourses(work);
  const orders = await waitingOrders(work);
  const horses = new Map(
    (
      await work.tx.horse.findMany({
        where: {
          id: {
            in: [
              ...plans.map(({ plan }) => plan.horseId),
              ...courses.map(({ course }) => course.horseId),
              ...orders.map((one) => one.horseId),
            ],
          },
        },
        select: { id: true, name: true, yardId: true },
      })
    ).map((one) => [one.id, one]),
  );
  const yards = new Map(
    (await work.tx.yard.findMany({ select: { id: true, name: true } })).map((one) => [
      one.id,
      one.name,
    ]),
  );
  const films = await work.tx.radiograph.findMany({
    where: { id: { in: plans.flatMap(({ plan }) => plan.radiographIds) } },
    select: { id: true, foot: true, view: true, takenAt: true },
    orderBy: { takenAt: "desc" },
  });
  const yardOf = (horseId: string) => yards.get(horses.get(horseId)?.yardId ?? "") ?? "";
  return {
    at: new Date(work.nowMs).toISOString(),
    plans: plans.map(({ plan, draftedAt }) => ({
      plan,
      yard: yardOf(plan.horseId),
      draftedAt: draftedAt.toISOString(),
      films: films
        .filter((film) => plan.radiographIds.includes(film.id))
        .map((film) => ({
          id: film.id,
          foot: film.foot as "LF" | "RF" | "LH" | "RH",
          view: film.view,
          takenAt: film.takenAt.toISOString(),
          ageDays: ageDays(work, film.takenAt),
        })),
    })),
    courses: courses.map(({ course, draftedAt, weighedAt }) => ({
      course,
      yard: yardOf(course.horseId),
      draftedAt: draftedAt.toISOString(),
      weightAgeDays: weighedAt === null ? null : ageDays(work, weighedAt),
    })),
    orders: orders.map((order) => ({
      order,
      yard: yardOf(order.horseId),
      horse: { id: order.horseId, name: horses.get(order.horseId)?.name ?? "" },
    })),
  };
};
