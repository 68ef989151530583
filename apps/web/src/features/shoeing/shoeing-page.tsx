import type { Horse } from "@heelward/contracts";
import { FileText, ThumbsUp } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { useParam } from "../../app/use-address.ts";
import { ButtonLink } from "../../components/button.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView, Skeleton } from "../../components/states.tsx";
import { AsDoneForm } from "./as-done-form.tsx";
import { useCurrentPlan, useHorse } from "./queries.ts";
import { RecordsList } from "./records-list.tsx";

const Farrier = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation("shoeing");
  const plan = useCurrentPlan(horse.openCaseId);
  if (plan === undefined) return <Skeleton lines={6} />;
  if (plan !== null && plan.status !== "accepted")
    return (
      <EmptyState
        icon={<ThumbsUp aria-hidden />}
        title={t("acceptFirst", { number: plan.number })}
        action={
          <ButtonLink href={`/prescriptions/${plan.id}`} look="primary" size="large">
            {t("openPlan")}
          </ButtonLink>
        }
      >
        {t("acceptFirstText")}
      </EmptyState>
    );
  return (
    <div className="stack">
      {plan === null ? null : (
        <div>
          <ButtonLink href={`/prescriptions/${plan.id}`} icon={<FileText aria-hidden />}>
            {t("seePlan", { number: plan.number })}
          </ButtonLink>
        </div>
      )}
      <AsDoneForm key={plan?.id ?? "none"} horse={horse} plan={plan ?? undefined} />
    </div>
  );
};

/** For the farrier the form of what was done; for everybody what was done before. */
export const ShoeingPage = () => {
  const { t } = useTranslation("shoeing");
  const horseId = useParam("horseId");
  const horse = useHorse(horseId);
  const isFarrier = useIsRole("farrier");
  return (
    <QueryView query={horse} lines={8}>
      {(found) => (
        <>
          <PageHeader
            title={t("title", { horse: found.name })}
            lead={found.yard.name}
            back={
              found.openCaseId === null
                ? { href: `/horses/${horseId}`, label: t("toHorse") }
                : { href: `/cases/${found.openCaseId}`, label: t("toCase") }
            }
          />
          <div className="stack">
            {isFarrier ? <Farrier horse={found} /> : null}
            <RecordsList horseId={horseId} />
          </div>
        </>
      )}
    </QueryView>
  );
};
