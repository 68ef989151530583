import { useQuery } from "@tanstack/react-query";
import { TriangleAlert, Users } from "lucide-react";
import { useTranslation } from "react-i18next";
import type { Answer } from "../../api/operations.ts";
import { read } from "../../api/use-call.ts";
import { useParam } from "../../app/use-address.ts";
import { Card } from "../../components/card.tsx";
import { Facts } from "../../components/data-list.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import styles from "./compare-cases.module.css";

type Comparison = Answer<"compareCase">;

const Outcomes = ({ found }: { readonly found: Comparison }) => {
  const { t } = useTranslation("comparing");
  const { count: all, leastCases: least } = found;
  if (all === null)
    return (
      <EmptyState icon={<Users aria-hidden />} title={t("few", { least })}>
        {t("fewText", { least })}
      </EmptyState>
    );
  return (
    <div className="stack">
      <p>
        <strong>{t("among", { count: all })}</strong>
      </p>
      <ul className={styles["outcomes"]}>
        {found.outcomes.map(({ outcome, count }) => {
          const words = t(`outcomes.${outcome as "recovered"}`, { defaultValue: outcome });
          return (
            <li key={outcome}>
              <span className="spread">
                <span>{words}</span>
                <span>{t("ofAll", { count, all })}</span>
              </span>
              <meter aria-label={words} min={0} max={all} value={count} />
            </li>
          );
        })}
      </ul>
    </div>
  );
};

/** Similar horses in the own records: how they ended, with the number, and what that does not say. */
export const CompareCasesPage = () => {
  const { t } = useTranslation("comparing");
  const format = useFormat();
  const caseId = useParam("caseId");
  const one = useQuery(read("readCase", { params: { caseId } }));
  const found = useQuery(read("compareCase", { params: { caseId } }));
  const horse = one.data?.horse.name ?? "";
  return (
    <>
      <PageHeader
        title={t("of", { horse })}
        back={{ href: `/cases/${caseId}`, label: horse }}
        lead={t("lead")}
      />
      <p className={styles["caution"]}>
        <TriangleAlert aria-hidden />
        {t("caution")}
      </p>
      <QueryView query={found}>
        {(data) =>
          data.subject === null ? (
            <EmptyState icon={<Users aria-hidden />} title={t("notYet")}>
              {t("notYetText")}
            </EmptyState>
          ) : (
            <div className={styles["page"]}>
              <Card title={t("ended")}>
                <Outcomes found={data} />
              </Card>
              <Card title={t("here")}>
                <div className="stack">
                  <Facts
                    items={[
                      [
                        t("cause"),
                        t(`causes.${data.subject.cause as "other"}`, {
                          defaultValue: data.subject.cause,
                        }),
                      ],
                      [t("rotation"), `${format.number(data.subject.rotationDegrees, 1)}°`],
                      [t("founder"), `${format.number(data.subject.founderDistanceMm, 1)} mm`],
                    ]}
                  />
                  <div>
                    <h3>{t("near")}</h3>
                    <p className="quiet small">
                      {t("nearText", {
                        degrees: format.number(data.steps.rotationDegrees),
                        mm: format.number(data.steps.founderDistanceMm),
                      })}
                    </p>
                  </div>
                </div>
              </Card>
            </div>
          )
        }
      </QueryView>
    </>
  );
};
