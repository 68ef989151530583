import type { Horse } from "@heelward/contracts";
import { Wheat } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { useParam, useSearchState } from "../../app/use-address.ts";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { type TabItem, Tabs } from "../../components/tabs.tsx";
import { HayCalculator } from "./hay-calculator.tsx";
import { HealingTab } from "./healing-tab.tsx";
import { IceTab } from "./ice-tab.tsx";
import { LadderTab } from "./ladder-tab.tsx";
import { useHorse, useRation } from "./queries.ts";
import { RationCard } from "./ration-card.tsx";
import { WeightTab } from "./weight-tab.tsx";

const Ration = ({ horseId, horse }: { readonly horseId: string; readonly horse?: Horse }) => {
  const { t } = useTranslation("recovery");
  const ration = useRation(horseId);
  return (
    <div className="stack">
      <QueryView query={ration}>
        {(data) =>
          data === null ? (
            <EmptyState icon={<Wheat aria-hidden />} title={t("ration.none")}>
              {t("ration.noneText")}
            </EmptyState>
          ) : (
            <RationCard ration={data} />
          )
        }
      </QueryView>
      {horse === undefined ? null : <HayCalculator horse={horse} />}
    </div>
  );
};

const TabsOf = ({
  items,
  label,
}: {
  readonly items: readonly TabItem[];
  readonly label: string;
}) => {
  const { get, set } = useSearchState();
  const [first] = items;
  const selected = items.find((item) => item.id === get("tab")) ?? first;
  return (
    <Tabs
      label={label}
      selected={selected?.id ?? ""}
      onSelect={(tab) => set({ tab: tab === first?.id ? "" : tab })}
      items={items}
    />
  );
};

const Shown = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation("recovery");
  const isFarrier = useIsRole("farrier");
  const seesHealing = useIsRole("vet", "manager");
  const movement = {
    id: "movement",
    label: t("tabs.movement"),
    content: <LadderTab horseId={horse.id} horse={horse} />,
  };
  const items: readonly TabItem[] = isFarrier
    ? [movement]
    : [
        {
          id: "ration",
          label: t("tabs.ration"),
          content: <Ration horseId={horse.id} horse={horse} />,
        },
        { id: "weight", label: t("tabs.weight"), content: <WeightTab horseId={horse.id} /> },
        movement,
        { id: "ice", label: t("tabs.ice"), content: <IceTab horse={horse} /> },
        ...(seesHealing && horse.openCaseId !== null
          ? [
              {
                id: "healing",
                label: t("tabs.healing"),
                content: <HealingTab caseId={horse.openCaseId} />,
              },
            ]
          : []),
      ];
  return (
    <>
      <PageHeader
        title={t("title", { horse: horse.name })}
        back={{
          href: horse.openCaseId === null ? `/horses/${horse.id}` : `/cases/${horse.openCaseId}`,
          label: horse.name,
        }}
        lead={t("lead")}
      />
      <TabsOf items={items} label={t("title", { horse: horse.name })} />
    </>
  );
};

/** Feed, weight, movement, ice and healing of one horse. */
export const RecoveryPage = () => {
  const horse = useHorse(useParam("horseId"));
  return (
    <QueryView query={horse} lines={8}>
      {(data) => <Shown horse={data} />}
    </QueryView>
  );
};

/** The same for the owner, to read: the ration card, the weight curve, the movement allowed now. */
export const OwnerRecoveryPage = () => {
  const { t } = useTranslation("recovery");
  const horseId = useParam("horseId");
  return (
    <>
      <PageHeader
        title={t("ownerTitle")}
        back={{ href: `/portal/${horseId}`, label: t("ownerBack") }}
        lead={t("ownerLead")}
      />
      <TabsOf
        label={t("ownerTitle")}
        items={[
          { id: "ration", label: t("tabs.ration"), content: <Ration horseId={horseId} /> },
          { id: "weight", label: t("tabs.weight"), content: <WeightTab horseId={horseId} /> },
          { id: "movement", label: t("tabs.movement"), content: <LadderTab horseId={horseId} /> },
        ]}
      />
    </>
  );
};
