import { localDateOf } from "@heelward/domain/time";
import { useTranslation } from "react-i18next";
import type { ChartMark } from "../../components/line-chart.tsx";
import { useFormat } from "../../language/format.ts";
import { type Foot, useCourses, useProcedures, useShoeing } from "./queries.ts";

/** What was done between films: feet done, foot opened, and for those who may read it a course begun. */
export const useChartMarks = (
  horseId: string | undefined,
  caseId: string,
  foot: Foot,
): readonly ChartMark[] => {
  const { t } = useTranslation("radiographs");
  const { timeZone } = useFormat();
  const shoeing = useShoeing(horseId);
  const courses = useCourses(horseId);
  const procedures = useProcedures(caseId);
  const dayOf = (iso: string) => localDateOf(Date.parse(iso), timeZone);
  return [
    ...(shoeing.data?.items ?? []).map((record) => ({
      on: dayOf(record.doneAt),
      label: t("doneBy", { name: record.farrier.name }),
    })),
    ...(courses.data?.items ?? []).flatMap((course) =>
      course.signedAt === null
        ? []
        : [{ on: dayOf(course.signedAt), label: t("courseBegun", { name: course.drugName }) }],
    ),
    ...(procedures.data?.items ?? []).flatMap((one) =>
      one.doneAt === null || one.foot !== foot
        ? []
        : [{ on: dayOf(one.doneAt), label: t(`opening.kinds.${one.kind}`) }],
    ),
  ].toSorted((a, b) => a.on.localeCompare(b.on));
};
