import { SearchX } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useCurrent, useIsRole } from "../../app/current-session.tsx";
import { useSearchState } from "../../app/use-address.ts";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { ChoiceField, TextField } from "../../components/field.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import type { Figure } from "./change-setting-dialog.tsx";
import { FigureRow } from "./figure-row.tsx";
import { useSettings } from "./queries.ts";
import styles from "./settings.module.css";

/** Standings that ask a clinical lead for a look. */
const UNSURE = new Set(["house rule", "from memory", "common practice"]);

const areaOf = (figure: Figure): string => figure.key.split(/[./]/)[0] ?? "";
const isChanged = (figure: Figure): boolean => figure.history.length > 1;

const Figures = ({ figures }: { readonly figures: readonly Figure[] }) => {
  const { t } = useTranslation("settings");
  const { get, set } = useSearchState();
  const { session } = useCurrent();
  const isVet = useIsRole("vet");
  const mayChange = isVet && session.person.clinicalLead;
  const [text, show] = [get("q").toLowerCase(), get("show")];
  const shown = figures.filter(
    (figure) =>
      `${figure.label} ${figure.unit} ${figure.key}`.toLowerCase().includes(text) &&
      (show !== "changed" || isChanged(figure)) &&
      (show !== "unsure" || UNSURE.has(figure.source.status)),
  );
  const areas = [...new Set(shown.map(areaOf))];
  return (
    <div className="stack">
      {mayChange ? null : <p className="quiet">{t("onlyLead")}</p>}
      <div className={`${styles["bar"] ?? ""} no-print`}>
        <ChoiceField
          label={<span className="only-read">{t("show")}</span>}
          value={show === "" ? "all" : show}
          onChange={(next) => set({ show: next === "all" ? "" : next })}
          options={[
            { value: "all", label: `${t("all")} ${String(figures.length)}` },
            {
              value: "changed",
              label: `${t("changed")} ${String(figures.filter(isChanged).length)}`,
            },
            {
              value: "unsure",
              label: `${t("unsure")} ${String(figures.filter((one) => UNSURE.has(one.source.status)).length)}`,
            },
          ]}
        />
        <TextField
          label={<span className="only-read">{t("find")}</span>}
          type="search"
          placeholder={t("find")}
          value={get("q")}
          onChange={(q) => set({ q })}
        />
      </div>
      {shown.length === 0 ? (
        <EmptyState
          icon={<SearchX aria-hidden />}
          title={t("none")}
          action={<Button onClick={() => set({ q: "", show: "" })}>{t("clear")}</Button>}
        />
      ) : null}
      {areas.map((area) => (
        <Card key={area} title={t(`areas.${area as "cycle"}`, { defaultValue: area })} isFlush>
          <ul className={styles["list"]}>
            {shown
              .filter((figure) => areaOf(figure) === area)
              .map((figure) => (
                <FigureRow key={figure.key} figure={figure} mayChange={mayChange} />
              ))}
          </ul>
        </Card>
      ))}
    </div>
  );
};

/** The figures the rules work with: value, unit, source, since when, and who changed them. */
export const SettingsPage = () => {
  const { t } = useTranslation("settings");
  const settings = useSettings();
  return (
    <>
      <PageHeader title={t("title")} lead={t("lead")} />
      <QueryView query={settings} lines={8}>
        {({ items }) => <Figures figures={items} />}
      </QueryView>
    </>
  );
};
