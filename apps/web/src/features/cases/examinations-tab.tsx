import type { Examination } from "@heelward/contracts";
import { OctagonAlert, Stethoscope } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { Badge } from "../../components/badges.tsx";
import { ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Facts } from "../../components/data-list.tsx";
import { Findings } from "../../components/findings.tsx";
import { FEET } from "../../components/foot-diagram.tsx";
import { EmptyState } from "../../components/states.tsx";
import { type Format, useFormat } from "../../language/format.ts";
import styles from "./case-file.module.css";

const useFacts = (one: Examination, format: Format) => {
  const { t } = useTranslation(["examinations", "common"]);
  const graded = (label: string, value: number | null, unit = "") =>
    value === null ? [] : [[label, `${format.number(value)}${unit}`] as const];
  const perFoot = <V extends string>(
    label: string,
    record: Partial<Record<(typeof FEET)[number], V | undefined>>,
    word: (value: V) => string,
  ) => {
    const seen = FEET.flatMap((foot) => {
      const value = record[foot];
      return value === undefined ? [] : [`${t(`common:foot.${foot}`)}: ${word(value)}`];
    });
    return seen.length === 0 ? [] : [[label, seen.join(", ")] as const];
  };
  return [
    ...graded(t("obel"), one.obelGrade),
    ...graded(t("fiveSign"), one.fiveSignScore, " / 12"),
    ...graded(t("lameness"), one.lamenessGrade, " / 5"),
    ...graded(t("heartRate"), one.heartRatePerMinute, t("perMinute")),
    ...graded(t("respiration"), one.respirationPerMinute, t("perMinute")),
    ...graded(t("temperature"), one.temperatureC, " °C"),
    ...graded(t("bodyCondition"), one.bodyCondition, " / 9"),
    ...graded(t("crestyNeck"), one.crestyNeck, " / 5"),
    ...perFoot(t("pulse"), one.digitalPulses, (value) => t(`pulses.${value}`)),
    ...perFoot(t("heat"), one.hoofHeat, (value) => t(`heats.${value}`)),
    ...(one.signs.length === 0
      ? []
      : [
          [
            t("signs"),
            one.signs
              .map((sign) => t(`signWords.${sign as "colic"}`, { defaultValue: sign }))
              .join(", "),
          ] as const,
        ]),
  ];
};

const ExaminationBlock = ({
  examination,
  timeZone,
}: {
  readonly examination: Examination;
  readonly timeZone: string;
}) => {
  const { t } = useTranslation(["examinations", "common"]);
  const format = useFormat(timeZone);
  const facts = useFacts(examination, format);
  return (
    <article className={styles["block"]}>
      <div className="row">
        <h3>{t(`kinds.${examination.kind}`)}</h3>
        {examination.isRedFlag ? (
          <Badge tone="now" icon={<OctagonAlert aria-hidden />}>
            {t("redFlag")}
          </Badge>
        ) : null}
        <span className="quiet small">
          {t("by", {
            name: examination.examinedBy.name,
            when: format.shortDateTime(examination.examinedAt),
          })}
        </span>
      </div>
      <Facts items={facts} />
      {examination.notes === null ? null : (
        <p style={{ whiteSpace: "pre-line" }}>{examination.notes}</p>
      )}
      <Findings findings={examination.findings} hidePasses />
    </article>
  );
};

export const ExaminationsTab = ({
  examinations,
  caseId,
  timeZone,
  isClosed,
}: {
  readonly examinations: readonly Examination[];
  readonly caseId: string;
  readonly timeZone: string;
  readonly isClosed: boolean;
}) => {
  const { t } = useTranslation("examinations");
  const isVet = useIsRole("vet");
  return (
    <Card
      title={t("title")}
      isFlush
      actions={
        isVet && !isClosed ? (
          <ButtonLink
            href={`/cases/${caseId}/examine`}
            look="primary"
            icon={<Stethoscope aria-hidden />}
          >
            {t("examine")}
          </ButtonLink>
        ) : undefined
      }
    >
      {examinations.length === 0 ? (
        <EmptyState icon={<Stethoscope aria-hidden />} title={t("none")}>
          {t("noneText")}
        </EmptyState>
      ) : (
        examinations.map((one) => (
          <ExaminationBlock key={one.id} examination={one} timeZone={timeZone} />
        ))
      )}
    </Card>
  );
};
