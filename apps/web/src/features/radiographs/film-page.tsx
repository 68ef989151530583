import type { LandmarkSetView, RadiographView } from "@heelward/contracts";
import {
  CircleCheck,
  Download,
  NotebookPen,
  Repeat2,
  Ruler,
  SlidersHorizontal,
  TriangleAlert,
} from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../api/client.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { useParam } from "../../app/use-address.ts";
import { Badge } from "../../components/badges.tsx";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Facts } from "../../components/data-list.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { ErrorState, QueryView, Skeleton } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { useFilm } from "./display/use-film.ts";
import { EarlierSets } from "./earlier-sets.tsx";
import { useFigures, useHorse, useLandmarkSets, useOutlines, useRadiograph } from "./queries.ts";
import { ScaleDialog } from "./scale-dialog.tsx";
import { SetUpDialog } from "./set-up-dialog.tsx";
import { SideConfirmation } from "./side-confirmation.tsx";
import styles from "./film-list.module.css";
import { FilmAgeBadge } from "./film-age-badge.tsx";
import { TakeOutCard } from "./take-out-card.tsx";
import { FilmWorkbench } from "./workbench/workbench.tsx";

const ScaleWords = ({ radiograph }: { readonly radiograph: RadiographView }) => {
  const { t } = useTranslation("radiographs");
  const format = useFormat();
  const { scale } = radiograph;
  if (scale.kind === "none") return <>{t("scale.isNone")}</>;
  if (scale.kind === "marker")
    return <>{t("scale.isMarker", { length: format.number(scale.lengthMm, 2) })}</>;
  return (
    <>
      {t("scale.isSpacing", {
        mm: format.number(scale.mmPerPx, 4),
        factor: format.number(scale.magnification, 3),
      })}
    </>
  );
};

/** What of the set-up was not ticked: it decides how far the figures can be trusted. */
const SetUpCard = ({ radiograph }: { readonly radiograph: RadiographView }) => {
  const { t } = useTranslation("radiographs");
  const open = radiograph.missingPositionItems;
  if (open.length === 0)
    return (
      <p className="small row">
        <CircleCheck aria-hidden width="1.1em" /> {t("card.title")}: {t("card.complete")}
      </p>
    );
  return (
    <div className="stack-tight">
      <div className="row">
        <strong>{t("card.title")}</strong>
        <Badge tone="soon" icon={<TriangleAlert aria-hidden />}>
          {t("cardOpen", { count: open.length })}
        </Badge>
      </div>
      <ul className={`${styles["open"] ?? ""} small`}>
        {open.map((item) => (
          <li key={item}>{item}</li>
        ))}
      </ul>
    </div>
  );
};

const AboutFilm = ({ radiograph }: { readonly radiograph: RadiographView }) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const format = useFormat();
  const isVet = useIsRole("vet");
  const [open, setOpen] = useState<"scale" | "setUp">();
  const original = addressOf("readFilmOriginal", { params: { radiographId: radiograph.id } });
  return (
    <Card
      title={t("about")}
      actions={
        isVet ? (
          <>
            <Button look="quiet" icon={<Ruler aria-hidden />} onClick={() => setOpen("scale")}>
              {t("changeScale")}
            </Button>
            <Button
              look="quiet"
              icon={<SlidersHorizontal aria-hidden />}
              onClick={() => setOpen("setUp")}
            >
              {t("setUp")}
            </Button>
          </>
        ) : undefined
      }
    >
      <div className="stack">
        <Facts
          items={[
            [t("scaleLabel"), <ScaleWords key="scale" radiograph={radiograph} />],
            [t("wedge"), `${format.number(radiograph.wedgeDegrees)}°`],
            [t("shod"), radiograph.shod ? t("inShoe") : t("bare")],
            [
              t("groundLine"),
              radiograph.groundLineOn === "ground" ? t("onGround") : t("onFootSurface"),
            ],
            [t("centring"), t(`centrings.${radiograph.beamCentring}`)],
            [t("addedBy"), radiograph.addedBy.name],
            [
              t("file"),
              <span key="file">
                {radiograph.fileName}
                {isVet ? (
                  <>
                    {" "}
                    <a href={original} download={radiograph.fileName}>
                      <Download aria-hidden width="1em" /> {t("original")}
                    </a>
                  </>
                ) : null}
                <br />
                <span className="quiet small">
                  {t("filmSize", {
                    width: radiograph.widthPx,
                    height: radiograph.heightPx,
                    bits: radiograph.bitsStored,
                  })}
                </span>
              </span>,
            ],
          ]}
        />
        <SetUpCard radiograph={radiograph} />
        <SideConfirmation radiograph={radiograph} />
      </div>
      {open === "scale" ? (
        <ScaleDialog radiograph={radiograph} onClose={() => setOpen(undefined)} />
      ) : null}
      {open === "setUp" ? (
        <SetUpDialog radiograph={radiograph} onClose={() => setOpen(undefined)} />
      ) : null}
    </Card>
  );
};

const Measured = ({
  radiograph,
  sets,
}: {
  readonly radiograph: RadiographView;
  readonly sets: readonly LandmarkSetView[];
}) => {
  const film = useFilm(radiograph);
  const horse = useHorse(radiograph.horseId);
  const figures = useFigures();
  const outlines = useOutlines(radiograph.id);
  const canEdit = useIsRole("vet");
  const [ghostId, setGhostId] = useState<string>();
  const [start, setStart] = useState<{ readonly points: LandmarkSetView["points"] }>();
  if (figures.data === undefined && figures.error !== null)
    return <ErrorState error={figures.error} onRetry={() => void figures.refetch()} />;
  const by = figures.data;
  if (horse.isPending || by === undefined) return <Skeleton lines={8} />;
  return (
    <QueryView query={film} lines={8}>
      {(pixels) => (
        <FilmWorkbench
          radiograph={radiograph}
          film={pixels}
          kind={horse.data?.type ?? "horse"}
          figures={by}
          outlines={outlines.data?.items}
          set={sets[0]}
          canEdit={canEdit}
          ghost={sets.find((set) => set.id === ghostId)?.points}
          start={start}
        >
          <EarlierSets
            sets={sets}
            shownId={ghostId}
            onShow={setGhostId}
            onStart={canEdit ? (set) => setStart({ points: set.points }) : undefined}
          />
        </FilmWorkbench>
      )}
    </QueryView>
  );
};

/** One film: looked at, marked and measured. */
export const FilmPage = () => {
  const { t } = useTranslation(["radiographs", "common"]);
  const radiographId = useParam("radiographId");
  const radiograph = useRadiograph(radiographId);
  const sets = useLandmarkSets(radiographId);
  const format = useFormat();
  const isVet = useIsRole("vet");
  const isFarrier = useIsRole("farrier");
  return (
    <QueryView query={radiograph} lines={8}>
      {(film) => (
        <>
          <PageHeader
            title={t("filmTitle", {
              foot: t(`common:foot.${film.foot}`),
              view: t(`view.${film.view}`),
            })}
            lead={`${format.dateTime(film.takenAt)} · ${t("age", { count: film.ageDays })}`}
            back={{ href: `/cases/${film.caseId}/films`, label: t("toFilms") }}
            beside={
              <>
                {film.hasMillimetres ? null : (
                  <Badge tone="today" icon={<Ruler aria-hidden />}>
                    {t("noScale")}
                  </Badge>
                )}
                <FilmAgeBadge film={film} />
              </>
            }
            actions={
              <>
                {isVet || isFarrier ? (
                  <ButtonLink
                    href={`/films/${film.id}/second-reading`}
                    look="quiet"
                    icon={<Repeat2 aria-hidden />}
                  >
                    {t("study.readAgain")}
                  </ButtonLink>
                ) : null}
                {isVet && film.view === "lateromedial" && film.landmarkSetCount > 0 ? (
                  <ButtonLink
                    href={`/cases/${film.caseId}/prescriptions/new?film=${film.id}`}
                    icon={<NotebookPen aria-hidden />}
                  >
                    {t("planFromFilm")}
                  </ButtonLink>
                ) : null}
              </>
            }
          />
          <div className="stack">
            <QueryView query={sets} lines={8}>
              {({ items }) => <Measured radiograph={film} sets={items} />}
            </QueryView>
            <div className={styles["beneath"]}>
              <AboutFilm radiograph={film} />
              <TakeOutCard radiograph={film} />
            </div>
          </div>
        </>
      )}
    </QueryView>
  );
};
