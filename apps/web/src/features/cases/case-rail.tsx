import type { CaseFile } from "@heelward/contracts";
import { type ReactNode, useId } from "react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { DueBadge } from "../../components/badges.tsx";
import { FeetShown } from "../../components/foot-diagram.tsx";
import { Link } from "../../components/link.tsx";
import { useFormat } from "../../language/format.ts";
import { CallPerson } from "../../parts/call-person.tsx";

const Part = ({ title, children }: { readonly title: string; readonly children: ReactNode }) => {
  const id = useId();
  return (
    <section aria-labelledby={id}>
      <h2 id={id}>{title}</h2>
      {children}
    </section>
  );
};

const ResetPart = ({ reset }: { readonly reset: CaseFile["reset"] }) => {
  const { t } = useTranslation("cases");
  const format = useFormat(reset?.yard.timeZone);
  if (reset === null)
    return (
      <Part title={t("rail.reset")}>
        <p className="quiet">{t("noReset")}</p>
      </Part>
    );
  return (
    <Part title={t("rail.reset")}>
      <div>
        <DueBadge state={reset.state} daysLate={reset.daysLate} />
      </div>
      <p>
        <strong>{format.shortDate(reset.dueOn)}</strong>,{" "}
        {t("interval", { days: reset.intervalDays, date: format.date(reset.lastDoneOn) })}
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
    </Part>
  );
};

/** What stays beside every tab: reset, weight, medicines by name, people. */
export const CaseRail = ({ file }: { readonly file: CaseFile }) => {
  const { t } = useTranslation(["cases", "common"]);
  const format = useFormat();
  const isVet = useIsRole("vet");
  const { horse } = file;
  const weighing = horse.latestWeighing;
  return (
    <>
      <ResetPart reset={file.reset} />
      <Part title={t("rail.weight")}>
        {weighing === null ? (
          <p className="quiet">{t("notWeighed")}</p>
        ) : (
          <p>
            <strong>{format.number(weighing.weightKg, 0)} kg</strong>{" "}
            <span className="quiet">
              {format.number(weighing.lowKg, 0)}–{format.number(weighing.highKg, 0)} kg ·{" "}
              {t("weightAge", { count: weighing.ageDays })}
            </span>
          </p>
        )}
      </Part>
      <Part title={t("rail.medicines")}>
        <p>{file.medicineNames.join(", ") || t("noMedicine")}</p>
      </Part>
      <Part title={t("rail.people")}>
        <p>
          {t("vet")}:{" "}
          {file.case.leadVet === null ? (
            t("noVet")
          ) : (
            <CallPerson person={file.case.leadVet} worksAs="vet" horse={horse} />
          )}
        </p>
        <p>
          {t("farrier")}:{" "}
          {horse.farrier === null ? (
            t("noFarrier")
          ) : (
            <CallPerson person={horse.farrier} worksAs="farrier" horse={horse} />
          )}
        </p>
        <p>
          {t("common:role.owner")}: {horse.owners.map((one) => one.name).join(", ")}
        </p>
      </Part>
      <Part title={t("horse")}>
        <p>
          <FeetShown feet={file.case.feetAffected} />
        </p>
        <p>
          <Link href={`/horses/${horse.id}`}>{t("toHorse")}</Link> ·{" "}
          <Link href={`/yards/${horse.yard.id}`}>{horse.yard.name}</Link>
        </p>
        {isVet ? (
          <p>
            <Link href={`/cases/${file.case.id}/similar`}>{t("similar")}</Link>
          </p>
        ) : null}
      </Part>
    </>
  );
};
