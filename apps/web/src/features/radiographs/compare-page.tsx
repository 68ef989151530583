import type { RadiographView } from "@heelward/contracts";
import { compareFilms } from "@heelward/domain/geometry";
import { Columns2 } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useParam, useSearchState } from "../../app/use-address.ts";
import { Card } from "../../components/card.tsx";
import { SelectField } from "../../components/field.tsx";
import { Findings } from "../../components/findings.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, ErrorState, QueryView, Skeleton } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { ChangesTable } from "./compare/changes-table.tsx";
import { TwoFilms } from "./compare/two-films.tsx";
import { useFilm } from "./display/use-film.ts";
import { measuredFilmOf } from "../../parts/measured-film.ts";
import { useCase, useFigures, useFilms, useLandmarkSets } from "./queries.ts";

const useSide = (radiograph: RadiographView) => {
  const film = useFilm(radiograph);
  const sets = useLandmarkSets(radiograph.id);
  return { film, set: sets.data?.items[0], isReady: sets.data !== undefined };
};

const Pair = ({
  before,
  after,
}: {
  readonly before: RadiographView;
  readonly after: RadiographView;
}) => {
  const { t } = useTranslation("radiographs");
  const format = useFormat();
  const [a, b] = [useSide(before), useSide(after)];
  const figures = useFigures();
  const error = a.film.error ?? b.film.error ?? figures.error;
  if (error !== null) return <ErrorState error={error} />;
  if (
    a.film.data === undefined ||
    b.film.data === undefined ||
    figures.data === undefined ||
    !a.isReady ||
    !b.isReady
  )
    return <Skeleton lines={8} />;
  const measured =
    a.set === undefined || b.set === undefined
      ? undefined
      : ([
          measuredFilmOf(before, a.set, format.timeZone),
          measuredFilmOf(after, b.set, format.timeZone),
        ] as const);
  const changes = measured === undefined ? [] : compareFilms(...measured, figures.data.sem);
  const findings = changes.flatMap((one) => one.findings);
  return (
    <div className="stack">
      <TwoFilms
        key={`${before.id} ${after.id}`}
        before={{ radiograph: before, film: a.film.data, set: a.set }}
        after={{ radiograph: after, film: b.film.data, set: b.set }}
      />
      <Card title={t("whatChanged")} isFlush={measured !== undefined}>
        {measured === undefined ? (
          <p className="quiet">{t("bothMeasured")}</p>
        ) : (
          <ChangesTable changes={changes} before={measured[0]} after={measured[1]} />
        )}
      </Card>
      <Findings
        hidePasses
        findings={findings.filter(
          (one, index) => findings.findIndex((other) => other.detail === one.detail) === index,
        )}
      />
    </div>
  );
};

/** Films to offer: all, or those of the same foot and view as the other one. */
const fitting = (films: readonly RadiographView[], other: RadiographView | undefined) =>
  films.filter(
    (film) =>
      other === undefined ||
      (film.foot === other.foot && film.view === other.view && film.id !== other.id),
  );

const Chooser = ({ films }: { readonly films: readonly RadiographView[] }) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const format = useFormat();
  const { get, set } = useSearchState();
  const measured = films.filter((film) => film.landmarkSetCount > 0);
  const newest = [...measured, ...films].find((film) =>
    fitting(films, film).some((one) => one.takenAt < film.takenAt),
  );
  const after = films.find((film) => film.id === get("after")) ?? newest;
  const earlier = fitting(films, after);
  const before =
    earlier.find((film) => film.id === get("before")) ??
    earlier.find((film) => after !== undefined && film.takenAt < after.takenAt);
  const optionOf = (film: RadiographView) => ({
    value: film.id,
    label: `${format.day(film.takenAt)} · ${t(`common:foot.${film.foot}`)}, ${t(`view.${film.view}`)}`,
  });
  return (
    <div className="stack">
      <div className="columns">
        <SelectField
          label={t("earlier")}
          value={before?.id ?? ""}
          emptyLabel={t("common:chooseFirst")}
          onChange={(id) => set({ before: id })}
          options={earlier.map(optionOf)}
        />
        <SelectField
          label={t("later")}
          value={after?.id ?? ""}
          emptyLabel={t("common:chooseFirst")}
          onChange={(id) => set({ after: id, before: "" })}
          options={films.map(optionOf)}
        />
      </div>
      {before === undefined || after === undefined ? (
        <EmptyState icon={<Columns2 aria-hidden />} title={t("chooseTwo")} />
      ) : (
        <Pair before={before} after={after} />
      )}
    </div>
  );
};

/** Two films of one foot: what moved, and whether that is more than reading error. */
export const ComparePage = () => {
  const { t } = useTranslation("radiographs");
  const caseId = useParam("caseId");
  const films = useFilms(caseId);
  const found = useCase(caseId);
  return (
    <>
      <PageHeader
        title={t("compareTitle", { horse: found.data?.horse.name ?? "" })}
        lead={t("compareLead")}
        back={{ href: `/cases/${caseId}/films`, label: t("toFilms") }}
      />
      <QueryView query={films}>{({ items }) => <Chooser films={items} />}</QueryView>
    </>
  );
};
