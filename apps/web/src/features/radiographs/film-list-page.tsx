import type { RadiographView } from "@heelward/contracts";
import {
  BadgeCheck,
  ChartLine,
  Columns2,
  FilePlus2,
  Repeat2,
  Ruler,
  ScanLine,
  TriangleAlert,
  UserRoundSearch,
} from "lucide-react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { useParam, useSearchState } from "../../app/use-address.ts";
import { Badge } from "../../components/badges.tsx";
import { ButtonLink } from "../../components/button.tsx";
import { ChoiceField } from "../../components/field.tsx";
import { Link } from "../../components/link.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { FilmAgeBadge } from "./film-age-badge.tsx";
import { FilmPicture } from "./film-picture.tsx";
import styles from "./film-list.module.css";
import { useCase, useFilms } from "./queries.ts";

const FilmCard = ({ film }: { readonly film: RadiographView }) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const format = useFormat();
  return (
    <li className={styles["film"]}>
      <FilmPicture film={film} />
      <div className={styles["about"]}>
        <Link href={`/films/${film.id}`}>
          {t(`common:foot.${film.foot}`)}, {t(`view.${film.view}`)}
        </Link>
        <span className="quiet small">
          {format.dateTime(film.takenAt)} · {t("age", { count: film.ageDays })}
        </span>
        <span className={styles["badges"]}>
          {film.landmarkSetCount > 0 ? (
            <Badge tone="fine" icon={<BadgeCheck aria-hidden />}>
              {t("measured")}
            </Badge>
          ) : (
            <Badge tone="soon" icon={<ScanLine aria-hidden />}>
              {t("notMeasured")}
            </Badge>
          )}
          {film.hasMillimetres ? null : (
            <Badge tone="today" icon={<Ruler aria-hidden />}>
              {t("noScale")}
            </Badge>
          )}
          {film.sideConfirmedBy === null ? (
            <Badge tone="today" icon={<UserRoundSearch aria-hidden />}>
              {t("sideOpen")}
            </Badge>
          ) : null}
          {film.missingPositionItems.length > 0 ? (
            <Badge tone="plain" icon={<TriangleAlert aria-hidden />}>
              {t("cardOpen", { count: film.missingPositionItems.length })}
            </Badge>
          ) : null}
          <FilmAgeBadge film={film} />
        </span>
      </div>
    </li>
  );
};

const FEET = ["LF", "RF", "LH", "RH"] as const;

/** The films of a case, newest first, with what is still to be done to each. */
export const FilmListPage = () => {
  const { t } = useTranslation(["radiographs", "common"]);
  const caseId = useParam("caseId");
  const films = useFilms(caseId);
  const found = useCase(caseId);
  const isVet = useIsRole("vet");
  const isFarrier = useIsRole("farrier");
  const { get, set } = useSearchState();
  const foot = get("foot");
  return (
    <>
      <PageHeader
        title={t("listTitle", { horse: found.data?.horse.name ?? "" })}
        lead={t("listLead")}
        back={{ href: `/cases/${caseId}`, label: t("toCase") }}
        actions={
          <>
            <ButtonLink href={`/cases/${caseId}/measures`} icon={<ChartLine aria-hidden />}>
              {t("series")}
            </ButtonLink>
            <ButtonLink href={`/cases/${caseId}/films/compare`} icon={<Columns2 aria-hidden />}>
              {t("compare")}
            </ButtonLink>
            {isFarrier ? null : (
              <ButtonLink href="/film-study" icon={<Repeat2 aria-hidden />}>
                {t("study.link")}
              </ButtonLink>
            )}
            {isVet ? (
              <ButtonLink
                href={`/cases/${caseId}/films/new`}
                look="primary"
                icon={<FilePlus2 aria-hidden />}
              >
                {t("add")}
              </ButtonLink>
            ) : null}
          </>
        }
      />
      <QueryView query={films}>
        {({ items }) =>
          items.length === 0 ? (
            <EmptyState icon={<ScanLine aria-hidden />} title={t("none")}>
              {isVet ? t("noneVet") : t("noneOthers")}
            </EmptyState>
          ) : (
            <div className="stack">
              <ChoiceField
                label={<span className="only-read">{t("filter")}</span>}
                name="foot-filter"
                value={foot === "" ? "all" : foot}
                onChange={(value) => set({ foot: value === "all" ? "" : value })}
                options={[
                  { value: "all", label: t("allFeet") },
                  ...FEET.filter((one) => items.some((film) => film.foot === one)).map((one) => ({
                    value: one,
                    label: t(`common:foot.${one}`),
                  })),
                ]}
              />
              <ul className={styles["films"]}>
                {items
                  .filter((film) => foot === "" || film.foot === foot)
                  .map((film) => (
                    <FilmCard key={film.id} film={film} />
                  ))}
              </ul>
            </div>
          )
        }
      </QueryView>
    </>
  );
};
