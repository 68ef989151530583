import type { CaseFile } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { FootLateral } from "../../components/foot-lateral.tsx";
import { MeasureValue } from "../../components/measure-value.tsx";
import { Term } from "../../components/term.tsx";
import { useFormat } from "../../language/format.ts";
import styles from "./case-file.module.css";

const SHOWN = [
  ["palmarAngleFoot", "palmarAngle"],
  ["capsularRotation", "rotation"],
  ["soleDepthTip", "soleDepth"],
  ["hornLamellarDistal", "wallToBone"],
  ["founderDistance", "founderDistance"],
  ["breakoverDistance", "breakover"],
] as const;

type Film = CaseFile["radiographs"][number];

const half = (interval: { readonly low: number; readonly high: number } | null) =>
  interval === null ? undefined : (interval.high - interval.low) / 2;

/** The figures that matter from the latest measured side view, and where they lie in the foot. */
export const MeasuresCard = ({ films }: { readonly films: readonly Film[] }) => {
  const { t } = useTranslation(["cases", "common"]);
  const format = useFormat();
  const film = films.find((one) => one.view === "lateromedial" && one.latestSet !== null);
  if (film === undefined || film.latestSet === null)
    return (
      <Card title={t("measures")}>
        <p className="quiet">{t("noMeasures")}</p>
      </Card>
    );
  const measured = new Map(film.latestSet.measurements.map((one) => [one.key, one]));
  const valueOf = (key: string) => measured.get(key)?.value ?? null;
  return (
    <Card
      title={t("measures")}
      actions={<ButtonLink href={`/films/${film.id}`}>{t("openFilm")}</ButtonLink>}
    >
      <div className="stack-tight">
        <p className="quiet small">
          {t("filmOf", { foot: t(`common:foot.${film.foot}`), when: format.day(film.takenAt) })}
        </p>
        <div className={styles["figure"]}>
          <FootLateral
            figures={{
              soleTipMm: valueOf("soleDepthTip"),
              palmarAngleDegrees: valueOf("palmarAngleFoot"),
              breakoverMm: valueOf("breakoverDistance"),
              wallToBoneMm: valueOf("hornLamellarDistal"),
              founderMm: valueOf("founderDistance"),
            }}
          />
        </div>
        <dl className={styles["measures"]}>
          {SHOWN.map(([key, word]) => {
            const one = measured.get(key);
            return one === undefined ? null : (
              <div key={key}>
                <dt>
                  <Term word={word} />
                </dt>
                <dd>
                  <MeasureValue
                    value={one.value}
                    uncertainty={half(one.interval95)}
                    unit={one.unit === "deg" ? "°" : one.unit}
                    verdict={one.verdict}
                  />
                </dd>
              </div>
            );
          })}
        </dl>
      </div>
    </Card>
  );
};
