import { Eye } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { useParam } from "../../app/use-address.ts";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { StartWatchForm } from "../../parts/start-watch-form.tsx";
import { useHorse, useWatches } from "./queries.ts";
import { WatchLine } from "./watch-line.tsx";

/** The watches on the feet of a horse: open one, see what is still to check, end it. */
export const WatchesPage = () => {
  const { t } = useTranslation("watches");
  const horseId = useParam("horseId");
  const horse = useHorse(horseId);
  const watches = useWatches(horseId);
  const mayOpen = useIsRole("vet", "carer");
  const [isOpening, setOpening] = useState(false);
  const close = () => setOpening(false);
  return (
    <QueryView query={horse}>
      {({ name }) => (
        <>
          <PageHeader
            title={t("of", { horse: name })}
            back={{ href: `/horses/${horseId}`, label: name }}
            lead={t("lead")}
            actions={
              mayOpen ? (
                <Button look="primary" icon={<Eye aria-hidden />} onClick={() => setOpening(true)}>
                  {t("open")}
                </Button>
              ) : undefined
            }
          />
          {isOpening ? (
            <Dialog title={t("open")} isOpen onClose={close}>
              <StartWatchForm horseId={horseId} onDone={close} onLeave={close} />
            </Dialog>
          ) : null}
          <div className="stack">
            <Card title={t("history")}>
              <QueryView query={watches}>
                {({ items }) =>
                  items.length === 0 ? (
                    <EmptyState icon={<Eye aria-hidden />} title={t("none")}>
                      {t("noneText")}
                    </EmptyState>
                  ) : (
                    <ul className="stack">
                      {items.map((watch) => (
                        <WatchLine key={watch.id} watch={watch} />
                      ))}
                    </ul>
                  )
                }
              </QueryView>
            </Card>
            <p className="quiet small">{t("caution")}</p>
          </div>
        </>
      )}
    </QueryView>
  );
};
