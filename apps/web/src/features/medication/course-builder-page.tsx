import { useTranslation } from "react-i18next";
import { useParam } from "../../app/use-address.ts";
import { PageHeader } from "../../components/page-header.tsx";
import { QueryView } from "../../components/states.tsx";
import { CourseBuilder } from "./course-builder.tsx";
import { useCourse, useFormulary, useHorse } from "./queries.ts";

/** A new course for a horse. */
export const NewCoursePage = () => {
  const { t } = useTranslation("medication");
  const horse = useHorse(useParam("horseId"));
  const formulary = useFormulary();
  return (
    <QueryView query={horse} lines={8}>
      {(found) => (
        <>
          <PageHeader
            title={t("builderTitle", { horse: found.name })}
            back={{ href: `/medication/${found.id}`, label: t("title", { horse: found.name }) }}
            lead={t("caution")}
          />
          <QueryView query={formulary}>
            {(drugs) => <CourseBuilder horse={found} formulary={drugs} />}
          </QueryView>
        </>
      )}
    </QueryView>
  );
};

const ChangeForHorse = ({
  horseId,
  courseId,
}: {
  readonly horseId: string;
  readonly courseId: string;
}) => {
  const { t } = useTranslation("medication");
  const horse = useHorse(horseId);
  const formulary = useFormulary();
  const course = useCourse(courseId);
  return (
    <QueryView query={horse} lines={8}>
      {(found) => (
        <>
          <PageHeader
            title={t("changeTitle", { horse: found.name })}
            back={{ href: `/courses/${courseId}`, label: t("title", { horse: found.name }) }}
            lead={t("caution")}
          />
          <QueryView query={formulary}>
            {(drugs) =>
              course.data === undefined ? null : (
                <CourseBuilder horse={found} formulary={drugs} course={course.data} />
              )
            }
          </QueryView>
        </>
      )}
    </QueryView>
  );
};

/** A draft course taken up again. */
export const ChangeCoursePage = () => {
  const courseId = useParam("courseId");
  const course = useCourse(courseId);
  return (
    <QueryView query={course} lines={8}>
      {(found) => <ChangeForHorse horseId={found.horseId} courseId={courseId} />}
    </QueryView>
  );
};
