import { ArrowDown, ArrowUp, CircleCheck, Scale, TriangleAlert } from "lucide-react";
import { useTranslation } from "react-i18next";
import type { Answer } from "../../api/operations.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { Badge, type Tone } from "../../components/badges.tsx";
import { ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { Findings, SourceNote } from "../../components/findings.tsx";
import { LineChart } from "../../components/line-chart.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { useWeightCurve } from "./queries.ts";

type Curve = Answer<"readWeightCurve">;
type Point = Curve["points"][number];

const TONES: Readonly<Record<Point["level"], Tone>> = { none: "fine", amber: "today", red: "now" };
const ICONS = {
  gaining: ArrowUp,
  "slower than planned": ArrowDown,
  "inside the band": CircleCheck,
  "faster than planned": TriangleAlert,
} as const;

const Change = ({ point }: { readonly point: Point }) => {
  const { t } = useTranslation("recovery");
  const format = useFormat();
  const signed = (percent: number) => {
    const size = format.number(Math.abs(percent), 1);
    return `${size === format.number(0, 1) ? "±" : percent > 0 ? "+" : "−"}${size} %`;
  };
  if (point.changePercent === null) return <span className="quiet">–</span>;
  const Icon = point.level === "red" || point.band === null ? TriangleAlert : ICONS[point.band];
  return (
    <div className="row">
      <Badge tone={TONES[point.level]} icon={<Icon aria-hidden />}>
        {point.level === "red"
          ? t("weight.red")
          : point.band === null
            ? t("weight.changed")
            : t(`weight.bands.${point.band}`)}
      </Badge>
      <span>
        {signed(point.changePercent)}
        {point.lossPercentPerWeek === null
          ? null
          : ` · ${t(point.lossPercentPerWeek < 0 ? "weight.gainPerWeek" : "weight.perWeek", {
              percent: format.number(Math.abs(point.lossPercentPerWeek), 2),
            })}`}
      </span>
    </div>
  );
};

const Charts = ({ curve }: { readonly curve: Curve }) => {
  const { t } = useTranslation("recovery");
  const format = useFormat();
  const losses = curve.points.flatMap((point) =>
    point.lossPercentPerWeek === null ? [] : [{ on: point.on, value: point.lossPercentPerWeek }],
  );
  const scored = (name: "bodyCondition" | "crestyNeck") =>
    curve.condition.flatMap((one) => {
      const value = one[name];
      return value === null ? [] : [{ on: one.on, value }];
    });
  const [condition, crest] = [scored("bodyCondition"), scored("crestyNeck")];
  return (
    <div className="columns">
      {curve.points.length < 2 ? null : (
        <LineChart
          title={t("weight.title")}
          unit="kg"
          points={curve.points.map((point) => ({ on: point.on, value: point.weightKg }))}
          limit={
            curve.targetWeightKg === null
              ? undefined
              : {
                  value: curve.targetWeightKg,
                  label: t("weight.targetAt", { kg: format.number(curve.targetWeightKg, 0) }),
                }
          }
        />
      )}
      {losses.length < 2 ? null : (
        <LineChart
          title={t("weight.loss")}
          unit={t("weight.lossUnit")}
          points={losses}
          target={{ low: curve.band.leastPercent, high: curve.band.mostPercent }}
        />
      )}
      {condition.length < 2 ? null : (
        <LineChart
          title={t("weight.condition")}
          unit={t("weight.conditionUnit")}
          points={condition}
          low={1}
          high={9}
        />
      )}
      {crest.length < 2 ? null : (
        <LineChart
          title={t("weight.crest")}
          unit={t("weight.crestUnit")}
          points={crest}
          low={0}
          high={5}
        />
      )}
    </div>
  );
};

/** Weight and condition over time against the band of loss that was planned. */
export const WeightTab = ({ horseId }: { readonly horseId: string }) => {
  const { t } = useTranslation("recovery");
  const format = useFormat();
  const curve = useWeightCurve(horseId);
  const mayWeigh = useIsRole("vet", "manager", "carer");
  return (
    <QueryView query={curve} lines={6}>
      {(data) =>
        data.points.length === 0 ? (
          <EmptyState icon={<Scale aria-hidden />} title={t("weight.none")}>
            {t("weight.noneText")}
          </EmptyState>
        ) : (
          <div className="stack">
            <Card
              title={t("weight.title")}
              actions={
                mayWeigh ? (
                  <ButtonLink href={`/horses/${horseId}`} icon={<Scale aria-hidden />}>
                    {t("weight.weigh")}
                  </ButtonLink>
                ) : undefined
              }
            >
              <div className="stack">
                <p>
                  {t("weight.lead", {
                    least: format.number(data.band.leastPercent, 1),
                    most: format.number(data.band.mostPercent, 1),
                  })}
                </p>
                <SourceNote source={data.band.source} />
                <Findings findings={data.findings} hidePasses />
                <Charts curve={data} />
              </div>
            </Card>
            <Card title={t("weight.all")} isFlush>
              <Rows
                label={t("weight.all")}
                rows={data.points.toReversed()}
                keyOf={(point) => point.on + String(point.weightKg)}
                columns={[
                  {
                    key: "on",
                    label: t("on"),
                    hideLabelOnPhone: true,
                    cell: (point) => format.date(point.on),
                  },
                  {
                    key: "kg",
                    label: t("weight.weight"),
                    hideLabelOnPhone: true,
                    cell: (point) => (
                      <>
                        <strong>{format.number(point.weightKg, 0)} kg</strong>{" "}
                        <span className="quiet small">
                          {t(`weight.methods.${point.method as "scale"}`)}
                        </span>
                      </>
                    ),
                  },
                  {
                    key: "change",
                    label: t("weight.change"),
                    hideLabelOnPhone: true,
                    cell: (point) => <Change point={point} />,
                  },
                ]}
              />
            </Card>
          </div>
        )
      }
    </QueryView>
  );
};
