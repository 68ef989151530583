import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { useSearchState } from "../../app/use-address.ts";
import { PageHeader } from "../../components/page-header.tsx";
import { Tabs } from "../../components/tabs.tsx";
import { AwayTab } from "./away-tab.tsx";
import { ClosedTab } from "./closed-tab.tsx";
import { CoverTab } from "./cover-tab.tsx";
import { WeeksTab } from "./weeks-tab.tsx";

/** Who works when: weeks, days away, closed days, cover. */
export const RotaPage = () => {
  const { t } = useTranslation("rota");
  const isOffice = useIsRole("vet", "manager");
  const { get, set } = useSearchState();
  return (
    <>
      <PageHeader title={t("title")} lead={t("lead")} />
      <Tabs
        label={t("title")}
        selected={get("view") === "" ? "weeks" : get("view")}
        onSelect={(view) => set({ view: view === "weeks" ? "" : view })}
        items={[
          { id: "weeks", label: t("weeks"), content: <WeeksTab /> },
          { id: "away", label: t("away"), content: <AwayTab /> },
          { id: "closed", label: t("closed"), content: <ClosedTab /> },
          ...(isOffice ? [{ id: "cover", label: t("cover"), content: <CoverTab /> }] : []),
        ]}
      />
    </>
  );
};
