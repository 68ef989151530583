import type { CoursePlan } from "@heelward/domain/medication";
import { useTranslation } from "react-i18next";
import { Facts, Rows } from "../../components/data-list.tsx";
import { todayIn, useFormat } from "../../language/format.ts";
import { DraftCard } from "./draft-card.tsx";
import type { CourseDraft } from "./queries.ts";
import type { ReadBack } from "./read-back.ts";

const planOf = (plan: unknown): CoursePlan | undefined =>
  typeof plan === "object" && plan !== null && "steps" in plan ? (plan as CoursePlan) : undefined;

interface Step {
  readonly fromDay: number;
  readonly toDay: number;
  readonly doseMg: number;
  readonly timesLocal: readonly string[];
  readonly everyDays: number;
  readonly measure: string;
}

/** The steps with what the yard measures, where the plan could be worked out. */
const stepsOf = (course: CourseDraft["course"]): readonly Step[] =>
  planOf(course.plan)?.steps ?? course.steps.map((step) => ({ ...step, measure: "" }));

/** A drafted course in full, dose by dose, to be read back. Medicines are shown in SI whatever is chosen. */
export const CourseToSign = ({
  draft,
  read,
  onRead,
}: {
  readonly draft: CourseDraft;
  readonly read: ReadBack;
  readonly onRead: (next: ReadBack) => void;
}) => {
  const { t } = useTranslation(["signing", "medication"]);
  const format = useFormat(draft.course.timeZone);
  const { course } = draft;
  const plan = planOf(course.plan);
  return (
    <DraftCard
      title={`${course.horse.name} · ${course.drugName}`}
      href={`/courses/${course.id}`}
      findings={course.findings}
      hindrance={course.startOn < todayIn(course.timeZone) ? t("startPassed") : undefined}
      words={t("readBackCourse", { horse: course.horse.name })}
      read={read}
      onRead={onRead}
    >
      <p className="quiet small">
        {draft.yard} ·{" "}
        {t("draftedBy", {
          name: course.draftedBy.name,
          when: format.shortDateTime(draft.draftedAt),
        })}
      </p>
      <Rows
        label={t("steps")}
        rows={stepsOf(course)}
        keyOf={(step) => String(step.fromDay)}
        columns={[
          {
            key: "day",
            label: t("day"),
            cell: (step) =>
              step.fromDay === step.toDay
                ? String(step.fromDay)
                : `${String(step.fromDay)}–${String(step.toDay)}`,
          },
          {
            key: "dose",
            label: t("dose"),
            cell: (step) => (
              <>
                <strong>{step.measure}</strong> {format.number(step.doseMg, 2)} mg
              </>
            ),
          },
          {
            key: "times",
            label: t("times"),
            cell: (step) =>
              [
                step.timesLocal.join(", "),
                ...(step.everyDays === 1 ? [] : [t("everyDays", { count: step.everyDays })]),
              ].join(", "),
          },
        ]}
      />
      <Facts
        items={[
          [t("route"), t(`medication:routes.${course.route}`)],
          [t("start"), format.date(course.startOn)],
          [
            t("review"),
            plan?.reviewOn === undefined ? "–" : format.date(course.reviewOn ?? plan.reviewOn),
          ],
          [
            t("weight"),
            `${t("weightOf", {
              kg: format.number(course.weightKg, 0),
              low: format.number(course.weightLowKg, 0),
              high: format.number(course.weightHighKg, 0),
            })}, ${
              draft.weightAgeDays === null
                ? t("weightNever")
                : t("weightAge", { count: draft.weightAgeDays })
            }`,
          ],
          ...(course.instructions === null
            ? []
            : [[t("instructions"), course.instructions] as const]),
        ]}
      />
    </DraftCard>
  );
};
