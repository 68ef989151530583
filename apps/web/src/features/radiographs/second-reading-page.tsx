import type { RadiographView } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { useParam } from "../../app/use-address.ts";
import { PageHeader } from "../../components/page-header.tsx";
import { ErrorState, QueryView, Skeleton } from "../../components/states.tsx";
import { useFilm } from "./display/use-film.ts";
import { useFigures, useHorse, useRadiograph } from "./queries.ts";
import { FilmWorkbench } from "./workbench/workbench.tsx";

const BlindReading = ({ radiograph }: { readonly radiograph: RadiographView }) => {
  const film = useFilm(radiograph);
  const horse = useHorse(radiograph.horseId);
  const figures = useFigures();
  if (figures.data === undefined && figures.error !== null)
    return <ErrorState error={figures.error} />;
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
          set={undefined}
          canEdit
          isBlind
          ghost={undefined}
          start={undefined}
        />
      )}
    </QueryView>
  );
};

/** A film marked once more for the repeat-reading study, blind to every earlier reading. */
export const SecondReadingPage = () => {
  const { t } = useTranslation(["radiographs", "common"]);
  const radiographId = useParam("radiographId");
  const radiograph = useRadiograph(radiographId);
  return (
    <QueryView query={radiograph} lines={8}>
      {(film) => (
        <>
          <PageHeader
            title={t("study.readingTitle", {
              foot: t(`common:foot.${film.foot}`),
              view: t(`view.${film.view}`),
            })}
            lead={t("study.readingLead")}
            back={{ href: `/films/${film.id}`, label: t("study.toFilm") }}
          />
          <BlindReading radiograph={film} />
        </>
      )}
    </QueryView>
  );
};
