import type { CaseFile } from "@heelward/contracts";
import { Bone, CircleCheck, CircleDashed, Plus } from "lucide-react";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../api/client.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { Badge } from "../../components/badges.tsx";
import { ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Link } from "../../components/link.tsx";
import { EmptyState } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import styles from "./case-file.module.css";

type Film = CaseFile["radiographs"][number];

const FilmCard = ({ film }: { readonly film: Film }) => {
  const { t } = useTranslation(["cases", "common"]);
  const format = useFormat();
  const foot = t(`common:foot.${film.foot}`);
  const isMeasured = film.latestSet !== null;
  return (
    <li className={styles["film"]}>
      <Link href={`/films/${film.id}`} aria-label={`${t("openFilm")}: ${foot}`}>
        <img
          loading="lazy"
          alt={t("preview", { foot })}
          src={addressOf("readFilmPreview", { params: { radiographId: film.id } })}
        />
      </Link>
      <div>
        <strong>{foot}</strong> · {t(`views.${film.view}`)}
        <div className="quiet small">{format.shortDateTime(film.takenAt)}</div>
        {film.wedgeDegrees === 0 ? null : (
          <div className="small">
            {t("filmWedge", { degrees: format.number(film.wedgeDegrees) })}
          </div>
        )}
      </div>
      <div className="row">
        <Badge
          tone={isMeasured ? "fine" : "plain"}
          icon={isMeasured ? <CircleCheck aria-hidden /> : <CircleDashed aria-hidden />}
        >
          {isMeasured ? t("landmarked") : t("notLandmarked")}
        </Badge>
      </div>
      <p className="quiet small">
        {film.sideConfirmedBy === null
          ? t("sideOpen")
          : t("sideConfirmed", { name: film.sideConfirmedBy.name })}
      </p>
    </li>
  );
};

export const FilmsTab = ({
  films,
  caseId,
  isClosed,
}: {
  readonly films: readonly Film[];
  readonly caseId: string;
  readonly isClosed: boolean;
}) => {
  const { t } = useTranslation("cases");
  const isVet = useIsRole("vet");
  return (
    <Card
      title={t("tab.films")}
      actions={
        isVet && !isClosed ? (
          <ButtonLink
            href={`/cases/${caseId}/films/new`}
            look="primary"
            icon={<Plus aria-hidden />}
          >
            {t("addFilm")}
          </ButtonLink>
        ) : undefined
      }
    >
      {films.length === 0 ? (
        <EmptyState icon={<Bone aria-hidden />} title={t("noFilms")}>
          {t("noFilmsText")}
        </EmptyState>
      ) : (
        <ul className={styles["films"]}>
          {films.map((film) => (
            <FilmCard key={film.id} film={film} />
          ))}
        </ul>
      )}
    </Card>
  );
};
