import type { CaseFile } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { Card } from "../../components/card.tsx";
import { LineChart } from "../../components/line-chart.tsx";
import { todayIn, useFormat } from "../../language/format.ts";

/** The five-sign score over time (or the Obel grade where no score was taken), and what was done when. */
export const ComfortCard = ({ file }: { readonly file: CaseFile }) => {
  const { t } = useTranslation("cases");
  const zone = file.horse.yard.timeZone;
  const format = useFormat(zone);
  const dayOf = (instant: string) => todayIn(zone, new Date(instant));
  const pointsOf = (key: "fiveSignScore" | "obelGrade") =>
    file.examinations.flatMap((one) => {
      const value = one[key];
      return value === null ? [] : [{ on: dayOf(one.examinedAt), value }];
    });
  const scores = pointsOf("fiveSignScore");
  const points = scores.length > 1 ? scores : pointsOf("obelGrade");
  const firstDay = points.map((one) => one.on).toSorted()[0] ?? "";
  const marks = [
    ...file.shoeingRecords.map((one) => ({
      on: dayOf(one.doneAt),
      label: t("markShoeing", { date: format.day(one.doneAt) }),
    })),
    ...file.courses
      .filter((one) => one.signedAt !== null)
      .map((one) => ({ on: one.startOn, label: t("markMedicine", { name: one.drugName }) })),
  ].filter((mark) => mark.on >= firstDay);
  return (
    <Card title={t("comfort")}>
      {points.length < 2 ? (
        <p className="quiet">{t("noComfort")}</p>
      ) : (
        <LineChart
          title={scores.length > 1 ? t("comfortFive") : t("comfortObel")}
          unit={scores.length > 1 ? "0–12" : "0–4"}
          low={0}
          points={points}
          marks={marks.toSorted((a, b) => (a.on < b.on ? -1 : 1))}
        />
      )}
    </Card>
  );
};
