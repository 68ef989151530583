import { TrendingDown, TriangleAlert } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Badge } from "../../components/badges.tsx";
import { Card } from "../../components/card.tsx";
import { SourceNote } from "../../components/findings.tsx";
import { useFormat } from "../../language/format.ts";
import { useTrends } from "./queries.ts";
import styles from "./laboratory.module.css";

/** Tests that move the wrong way against the horse's own first value; nothing where none does. */
export const TrendAlerts = ({ horseId }: { readonly horseId: string }) => {
  const { t } = useTranslation("laboratory");
  const format = useFormat();
  const trends = useTrends(horseId);
  const alarming = (trends.data?.series ?? []).filter((one) => one.level !== "none" || one.falling);
  if (alarming.length === 0) return null;
  return (
    <Card title={t("alerts")}>
      <ul className={styles["alerts"]}>
        {alarming.map((one) => (
          <li key={one.test + one.unit}>
            <div className="row">
              <Badge
                tone={one.level === "red" ? "now" : "today"}
                icon={one.falling ? <TrendingDown aria-hidden /> : <TriangleAlert aria-hidden />}
              >
                {t(one.falling ? "falling" : one.level === "red" ? "red" : "amber")}
              </Badge>
              <strong>{t(`tests.${one.test as "insulin"}`, { defaultValue: one.test })}</strong>
              <span>
                {one.points.map((point) => format.number(point.value, 2)).join(" → ")} {one.unit}
              </span>
            </div>
            <p>{one.text}</p>
            <SourceNote source={one.source} />
          </li>
        ))}
      </ul>
    </Card>
  );
};
