import type { FootPlanView, HoofGrowth } from "@heelward/contracts";
import type { TrimInput } from "@heelward/domain/trim";
import { RotateCcw } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { Button } from "../../../components/button.tsx";
import { Card } from "../../../components/card.tsx";
import { ChoiceField } from "../../../components/field.tsx";
import { Rows } from "../../../components/data-list.tsx";
import { SourceNote } from "../../../components/findings.tsx";
import { useFormat } from "../../../language/format.ts";
import { AmountSlider } from "../plan/amount-slider.tsx";
import { ForecastChart } from "./forecast-chart.tsx";
import styles from "./forecast.module.css";
import { whatIf, type Wish } from "./what-if.ts";

const MEASURES = [
  ["breakoverMm", "mm"],
  ["toeLengthMm", "mm"],
  ["palmarAngleDegrees", "°"],
  ["soleDepthTipMm", "mm"],
] as const;
type Measure = (typeof MEASURES)[number][0];

/** The basis of the growth in words: own readings, the figure on the record, or the published rate. */
const GrowthBasis = ({ growth }: { readonly growth: HoofGrowth }) => {
  const { t } = useTranslation("prescriptions");
  const format = useFormat();
  return (
    <div className="small">
      <p>
        {t(`forecast.basis.${growth.basis}`, {
          mm: format.number(growth.growthMmPer30d),
          low: format.number(growth.low95),
          high: format.number(growth.high95),
          readings: growth.readings,
          published: format.number(growth.publishedMmPer30d),
        })}
        {growth.readingsWanting > 0
          ? ` ${t("forecast.wanting", { count: growth.readingsWanting })}`
          : ""}
      </p>
      <SourceNote source={growth.source} />
    </div>
  );
};

/** One foot until its next reset, and what another interval, heel or growth would make of it. */
export const ForecastCard = ({
  plan,
  input,
  growth,
  intervalDays,
  startOn,
}: {
  readonly plan: FootPlanView;
  readonly input: TrimInput;
  readonly growth: HoofGrowth;
  readonly intervalDays: number;
  readonly startOn: string;
}) => {
  const { t } = useTranslation(["prescriptions", "common"]);
  const format = useFormat();
  const planned: Wish = {
    intervalDays,
    heelRemoveMm: plan.heelRemoveMm,
    growthMmPer30d: Math.round(growth.growthMmPer30d * 10) / 10,
  };
  const [tried, setTried] = useState<Partial<Wish>>({});
  const [measure, setMeasure] = useState<Measure>("breakoverMm");
  const wish = { ...planned, ...tried };
  const result = whatIf(input, plan, growth, wish, startOn);
  const unit = MEASURES.find(([key]) => key === measure)?.[1] ?? "mm";
  const limitMm = plan.limitMm ?? input.growth?.limitMm;
  const { limit, slackDays } = result;
  const isLate = slackDays !== null && slackDays <= 0;
  const set =
    <K extends keyof Wish>(name: K) =>
    (value: number) =>
      setTried({ ...tried, [name]: value });
  const day = result.atReset;
  return (
    <Card
      title={t("forecast.title", { foot: t(`common:foot.${plan.foot}`) })}
      actions={
        Object.keys(tried).length === 0 ? undefined : (
          <Button look="quiet" icon={<RotateCcw aria-hidden />} onClick={() => setTried({})}>
            {t("forecast.back")}
          </Button>
        )
      }
    >
      <div className={styles["layout"]}>
        <div className="stack-tight">
          <div className="no-print">
            <ChoiceField<Measure>
              label={t("forecast.measure")}
              value={measure}
              onChange={setMeasure}
              options={MEASURES.map(([key]) => ({ value: key, label: t(`forecast.${key}`) }))}
            />
          </div>
          <ForecastChart
            title={t(`forecast.${measure}`)}
            unit={unit}
            points={result.series.map((one) => ({ day: one.day, ...one[measure] }))}
            resetDay={wish.intervalDays}
            limit={measure === "breakoverMm" ? limitMm : undefined}
            limitDays={[limit?.early?.day, limit?.mid?.day].filter((one) => one !== undefined)}
          />
          <p className="quiet small">{t("forecast.axis", { unit })}</p>
          <Rows
            label={t("forecast.atReset", { day: wish.intervalDays, date: format.date(day.on) })}
            rows={MEASURES}
            keyOf={([key]) => key}
            columns={[
              {
                key: "what",
                label: t("forecast.onDay", { day: wish.intervalDays }),
                cell: ([key]) => t(`forecast.${key}`),
                hideLabelOnPhone: true,
              },
              {
                key: "value",
                label: t("forecast.expected"),
                cell: ([key, one]) =>
                  `${format.number(day[key].mid)}${one === "°" ? "" : " "}${one}`,
              },
              {
                key: "band",
                label: t("forecast.band"),
                cell: ([key, one]) =>
                  `${format.number(day[key].low10)} – ${format.number(day[key].high90)}${one === "°" ? "" : " "}${one}`,
              },
            ]}
          />
        </div>
        <div className={styles["controls"]}>
          <p className={styles["verdict"]} data-late={isLate || undefined} aria-live="polite">
            {limitMm === undefined || limit === null
              ? t("forecast.noLimit")
              : limit.mid?.day === 0
                ? t("forecast.past", { mm: format.number(limitMm) })
                : limit.early === null
                  ? t("forecast.never", { mm: format.number(limitMm) })
                  : t("forecast.met", {
                      mm: format.number(limitMm),
                      early: limit.early.day,
                      earlyOn: format.date(limit.early.on),
                      mid: limit.mid === null ? "" : t("forecast.metMid", { day: limit.mid.day }),
                    })}
            {slackDays === null || limit?.mid?.day === 0
              ? ""
              : ` ${isLate ? t("forecast.noSlack", { days: wish.intervalDays }) : t("forecast.slack", { count: slackDays })}`}
          </p>
          <strong>{t("forecast.whatIf")}</strong>
          <AmountSlider
            label={t("forecast.interval")}
            unit={t("daysUnit")}
            min={7}
            max={49}
            step={1}
            value={wish.intervalDays}
            onChange={set("intervalDays")}
          />
          <AmountSlider
            label={t("heelOff")}
            unit="mm"
            max={10}
            value={wish.heelRemoveMm}
            onChange={set("heelRemoveMm")}
          />
          <AmountSlider
            label={t("forecast.growth")}
            unit="mm"
            min={3}
            max={15}
            step={0.1}
            value={wish.growthMmPer30d}
            onChange={set("growthMmPer30d")}
          />
          <p className="quiet small">{t("forecast.notKept")}</p>
          <GrowthBasis growth={growth} />
        </div>
      </div>
    </Card>
  );
};
