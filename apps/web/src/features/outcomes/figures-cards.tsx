import { useTranslation } from "react-i18next";
import type { Answer } from "../../api/operations.ts";
import { Facts, Rows } from "../../components/data-list.tsx";
import { useFormat } from "../../language/format.ts";
import styles from "./outcomes.module.css";

type Outcomes = Answer<"readOutcomes">;
type Rate = Outcomes["comfort"]["lower"];
type Summary = Outcomes["comfort"]["first"];

/** So many of so many, and the share where there are enough to say it. */
const Share = ({ rate }: { readonly rate: Rate }) => {
  const { t } = useTranslation("outcomes");
  const format = useFormat();
  return (
    <span>
      {rate.share === null ? (
        <span className="quiet">{t("tooFew")}</span>
      ) : (
        <strong>{t("share", { percent: format.number(rate.share * 100, 0) })}</strong>
      )}{" "}
      <span className="quiet small">{t("of", { count: rate.count, n: rate.n })}</span>
    </span>
  );
};

const Middle = ({
  summary,
  show,
}: {
  readonly summary: Summary;
  readonly show: (value: number) => string;
}) => {
  const { t } = useTranslation("outcomes");
  const { n, median, lowest, highest } = summary;
  return (
    <span>
      {median === null || lowest === null || highest === null ? (
        <span className="quiet">{t("tooFew")}</span>
      ) : (
        t("median", { value: show(median), low: show(lowest), high: show(highest) })
      )}{" "}
      <span className="quiet small">{t("n", { n })}</span>
    </span>
  );
};

/** Time to sign, resets in time, comfort and the change in measures. */
export const FiguresCards = ({ data }: { readonly data: Outcomes }) => {
  const { t } = useTranslation("outcomes");
  const format = useFormat();
  const hours = (value: number) => t("hours", { value: format.number(value) });
  const score = (value: number) => format.number(value);
  const sized = (value: number, unit: string) =>
    `${value > 0 ? "+" : ""}${format.number(value)} ${unit === "deg" ? "°" : unit}`;
  return (
    <>
      <div className={styles["figures"]}>
        <Facts
          items={[
            ...data.timeToSign.map(
              ({ what, hours: summary }) =>
                [t(`sign.${what}`), <Middle key={what} summary={summary} show={hours} />] as const,
            ),
            [
              t("resets"),
              <div key="resets">
                <Share rate={data.adherence.practice} />
                <div className="quiet small">
                  {t("resetsHint", { count: data.adherence.graceDays })}
                </div>
                <ul>
                  {data.adherence.byFarrier.map(({ farrier, resets }) => (
                    <li key={farrier.id}>
                      {farrier.name}: <Share rate={resets} />
                    </li>
                  ))}
                </ul>
              </div>,
            ],
          ]}
        />
        <div className="stack-tight">
          <h3>{t("comfort")}</h3>
          <Facts
            items={[
              [t("comfortFirst"), <Middle key="first" summary={data.comfort.first} show={score} />],
              [t("comfortLast"), <Middle key="last" summary={data.comfort.last} show={score} />],
              [t("lower"), <Share key="lower" rate={data.comfort.lower} />],
              [t("higher"), <Share key="higher" rate={data.comfort.higher} />],
            ]}
          />
        </div>
      </div>
      <h3 className={styles["heading"]}>{t("measures")}</h3>
      <Rows
        label={t("measures")}
        rows={data.measures}
        keyOf={(row) => row.key}
        columns={[
          {
            key: "label",
            label: t("measure"),
            hideLabelOnPhone: true,
            cell: (row) => <strong>{row.label}</strong>,
          },
          {
            key: "middle",
            label: t("middle"),
            cell: (row) => <Middle summary={row.change} show={(value) => sized(value, row.unit)} />,
          },
          { key: "rose", label: t("rose"), cell: (row) => <Share rate={row.rose} /> },
          { key: "fell", label: t("fell"), cell: (row) => <Share rate={row.fell} /> },
          { key: "unclear", label: t("unclear"), cell: (row) => <Share rate={row.unclear} /> },
        ]}
      />
    </>
  );
};
