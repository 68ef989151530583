import { ArrowDown, ArrowUp, Lock, Pencil } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { SourceNote } from "../../components/findings.tsx";
import { useFormat } from "../../language/format.ts";
import { ChangeSettingDialog, type Figure } from "./change-setting-dialog.tsx";
import styles from "./settings.module.css";

/** A value as people read it: a number in their language, a range as from–to. */
const useValueText = () => {
  const format = useFormat();
  return (value: unknown): string => {
    if (typeof value === "number") return format.number(value, 4);
    if (typeof value === "object" && value !== null)
      return Object.values(value)
        .map((one) => (typeof one === "number" ? format.number(one, 4) : String(one)))
        .join("–");
    return String(value);
  };
};

const ChangeRule = ({ figure }: { readonly figure: Figure }) => {
  const { t } = useTranslation("settings");
  if (figure.change === "fixed")
    return <Badge icon={<Lock aria-hidden />}>{t("changes.fixed")}</Badge>;
  if (figure.stricter !== null)
    return (
      <Badge
        icon={figure.stricter === "lower" ? <ArrowDown aria-hidden /> : <ArrowUp aria-hidden />}
      >
        {t(`stricter.${figure.stricter}`)}
      </Badge>
    );
  return <span className="quiet small">{t(`changes.${figure.change}`)}</span>;
};

/** One figure: its value and unit large, where it comes from, since when, and what it was before. */
export const FigureRow = ({
  figure,
  mayChange,
}: {
  readonly figure: Figure;
  readonly mayChange: boolean;
}) => {
  const { t } = useTranslation("settings");
  const format = useFormat();
  const textOf = useValueText();
  const [isOpen, setOpen] = useState(false);
  const isOwn = JSON.stringify(figure.value) !== JSON.stringify(figure.standard);
  return (
    <li className={styles["figure"]}>
      {isOpen ? <ChangeSettingDialog figure={figure} onClose={() => setOpen(false)} /> : null}
      <div className={styles["what"]}>
        <strong>{figure.label}</strong>
        <SourceNote source={figure.source} />
        {figure.history.length < 2 ? null : (
          <details className={styles["history"]}>
            <summary>{t("history")}</summary>
            <ol>
              {figure.history.toReversed().map((one) => (
                <li key={one.since + JSON.stringify(one.value)}>
                  <strong>
                    {t("historyOf", { value: textOf(one.value), date: format.date(one.since) })}
                  </strong>
                  {", "}
                  {one.setBy === null ? t("start") : t("setBy", { name: one.setBy.name })}
                  <div className="quiet small">{one.source}</div>
                </li>
              ))}
            </ol>
          </details>
        )}
      </div>
      <div className={styles["value"]}>
        <div>
          <span className={styles["number"]}>{textOf(figure.value)}</span> {figure.unit}
        </div>
        <div className="quiet small">
          {t("since", { date: format.date(figure.since) })}
          {isOwn ? ` · ${t("standard", { value: textOf(figure.standard) })}` : null}
        </div>
      </div>
      <div className={styles["act"]}>
        <ChangeRule figure={figure} />
        {mayChange && figure.change !== "fixed" && typeof figure.value === "number" ? (
          <Button look="quiet" icon={<Pencil aria-hidden />} onClick={() => setOpen(true)}>
            {t("change")}
            <span className="only-read"> {figure.label}</span>
          </Button>
        ) : null}
      </div>
    </li>
  );
};
