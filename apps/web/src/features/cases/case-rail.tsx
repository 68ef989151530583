import type { CaseFile } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { DueBadge } from "../../components/badges.tsx";
import { Card } from "../../components/card.tsx";
import { FeetShown } from "../../components/foot-diagram.tsx";
import { Link } from "../../components/link.tsx";
import { useFormat } from "../../language/format.ts";

const ResetCard = ({ reset }: { readonly reset: CaseFile["reset"] }) => {
  const { t } = useTranslation("cases");
  const format = useFormat(reset?.yard.timeZone);
  if (reset === null)
    return (
      <Card title={t("rail.reset")} level={3}>
        <p className="quiet">{t("noReset")}</p>
      </Card>
    );
  return (
    <Card title={t("rail.reset")} level={3}>
      <div className="stack-tight small">
        <div>
          <DueBadge state={reset.state} daysLate={reset.daysLate} />
        </div>
        <p>
          <strong>{format.shortDate(reset.dueOn)}</strong>,{" "}
          {t("interval", {
            days: reset.intervalDays,
            date: format.date(reset.lastDoneOn),
          })}
        </p>
        {reset.bookedFor === null ? null : (
          <p>{t("booked", { when: format.shortDateTime(reset.bookedFor) })}</p>
        )}
        {reset.breakoverNowMm === null || reset.breakoverLimitMm === null ? null : (
          <p>
            {t("breakover", {
              now: format.number(reset.breakoverNowMm),
              limit: format.number(reset.breakoverLimitMm),
            })}
          </p>
        )}
        <p>
          {reset.latestSafeOn === null
            ? t("ceiling", { date: format.shortDate(reset.ceilingOn) })
            : t("latest", { date: format.shortDate(reset.latestSafeOn) })}
        </p>
        <p>{t("whoseMove", { who: reset.whoseMove.person, action: reset.whoseMove.action })}</p>
        {reset.pausedReason === null ? null : <p>{reset.pausedReason}</p>}
      </div>
    </Card>
  );
};

/** What stays beside every tab: reset, weight, medicines by name, people, what is known. */
export const CaseRail = ({ file }: { readonly file: CaseFile }) => {
  const { t } = useTranslation(["cases", "common"]);
  const format = useFormat();
  const { horse } = file;
  const weighing = horse.latestWeighing;
  return (
    <>
      <ResetCard reset={file.reset} />
      <Card title={t("rail.weight")} level={3}>
        {weighing === null ? (
          <p className="quiet">{t("notWeighed")}</p>
        ) : (
          <p>
            <strong>{format.number(weighing.weightKg, 0)} kg</strong>{" "}
            <span className="quiet small">
              {format.number(weighing.lowKg, 0)}–{format.number(weighing.highKg, 0)} kg ·{" "}
              {t("weightAge", { count: weighing.ageDays })}
            </span>
          </p>
        )}
        <Link href={`/horses/${horse.id}`} className="small">
          {t("toHorse")}
        </Link>
      </Card>
      <Card title={t("rail.medicines")} level={3}>
        <p className="small">{file.medicineNames.join(", ") || t("noMedicine")}</p>
      </Card>
      <Card title={t("rail.people")} level={3}>
        <div className="stack-tight small">
          <p>
            {t("vet")}: {file.case.leadVet?.name ?? t("noVet")}
          </p>
          <p>
            {t("farrier")}: {horse.farrier?.name ?? t("noFarrier")}
          </p>
          <p>
            {t("common:role.owner")}: {horse.owners.map((one) => one.name).join(", ")}
          </p>
          <p>
            <Link href={`/yards/${horse.yard.id}`}>{horse.yard.name}</Link>
          </p>
          <p>
            <FeetShown feet={file.case.feetAffected} />
          </p>
        </div>
      </Card>
    </>
  );
};
