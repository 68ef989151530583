import { Eye } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../api/client.ts";
import { Facts, Rows } from "../../components/data-list.tsx";
import { useFormat } from "../../language/format.ts";
import { useDeviceNames } from "../../parts/planner-figures.ts";
import { DraftCard } from "./draft-card.tsx";
import type { PlanDraft } from "./queries.ts";
import type { ReadBack } from "./read-back.ts";
import styles from "./signing.module.css";

type Foot = PlanDraft["plan"]["feet"][number];

const Films = ({
  films,
  opened,
  onOpen,
}: {
  readonly films: PlanDraft["films"];
  readonly opened: readonly string[];
  readonly onOpen: (id: string) => void;
}) => {
  const { t } = useTranslation(["signing", "common"]);
  const format = useFormat();
  const [shown, setShown] = useState<string>();
  if (films.length === 0) return <p className="quiet">{t("noFilms")}</p>;
  const src = (id: string) => addressOf("readFilmPreview", { params: { radiographId: id } });
  return (
    <div className="stack-tight">
      <div className={styles["films"]}>
        {films.map((film) => (
          <button
            key={film.id}
            type="button"
            aria-pressed={shown === film.id}
            onClick={() => {
              setShown(shown === film.id ? undefined : film.id);
              onOpen(film.id);
            }}
          >
            <img src={src(film.id)} alt="" />
            <span>
              <strong>
                {t("film", {
                  foot: t(`common:foot.${film.foot}`),
                  date: format.day(film.takenAt),
                })}
              </strong>
              <br />
              {film.ageDays === 0 ? t("filmToday") : t("filmAge", { count: film.ageDays })}
              <br />
              <Eye aria-hidden width="1em" /> {opened.includes(film.id) ? t("seen") : t("look")}
            </span>
          </button>
        ))}
      </div>
      {shown === undefined ? null : (
        <div className={styles["large"]}>
          <img src={src(shown)} alt={t("filmLarge")} />
        </div>
      )}
    </div>
  );
};

const useFigures = (plan: PlanDraft["plan"]) => {
  const { t } = useTranslation("signing");
  const format = useFormat();
  const device = useDeviceNames();
  const mm = (value: number | null) => (value === null ? "–" : `${format.number(value)} mm`);
  const all: readonly (readonly [string, (foot: Foot) => string])[] = [
    [t("toe"), (foot) => mm(foot.toeBackMm)],
    [t("p3"), (foot) => mm(foot.breakoverFromP3TipMm)],
    [t("frog"), (foot) => mm(foot.breakoverFromFrogTipMm)],
    [t("heel"), (foot) => mm(foot.heelRemoveMm)],
    [
      t("angle"),
      ({ palmarAngleTargetDegrees: band }) =>
        `${format.number(band.low)}–${format.number(band.high)}°`,
    ],
    [t("sole"), (foot) => mm(foot.soleMinMm)],
    [t("wedge"), (foot) => `${format.number(foot.wedgeDegrees)}°`],
    [t("wedgeReason"), (foot) => foot.wedgeReason ?? ""],
    [t("shoe"), (foot) => device.shoe(foot.shoe)],
    [t("fill"), (foot) => device.fill(foot.supportFill)],
    [t("fixing"), (foot) => device.fixing(foot.fixing)],
    [t("limit"), (foot) => mm(foot.limitMm)],
    [t("notes"), (foot) => foot.notes ?? ""],
  ];
  // A line that says nothing of any foot is left out.
  return all
    .map(([label, of]) => ({ label, cells: plan.feet.map((foot) => of(foot)) }))
    .filter(({ cells }) => cells.some((cell) => cell !== "" && cell !== "–"));
};

/** A drafted plan in full, with its films, to be read back. */
export const PlanToSign = ({
  draft,
  read,
  onRead,
}: {
  readonly draft: PlanDraft;
  readonly read: ReadBack;
  readonly onRead: (next: ReadBack) => void;
}) => {
  const { t } = useTranslation(["signing", "common"]);
  const format = useFormat();
  const { plan, films } = draft;
  const figures = useFigures(plan);
  return (
    <DraftCard
      title={`${plan.horse.name} · ${t("plan", { number: plan.number })}`}
      href={`/prescriptions/${plan.id}`}
      findings={plan.findings}
      films={films.map((film) => film.id)}
      words={t(films.length === 0 ? "readBackNoFilm" : "readBack", { horse: plan.horse.name })}
      read={read}
      onRead={onRead}
    >
      <p className="quiet small">
        {draft.yard} ·{" "}
        {t("draftedBy", {
          name: plan.draftedBy.name,
          when: format.shortDateTime(draft.draftedAt),
        })}
      </p>
      <p className={styles["aim"]}>{plan.aim}</p>
      {plan.conditions.emergency === true ? (
        <p>
          <strong>{t("emergency")}</strong>
        </p>
      ) : null}
      {plan.doNot.length === 0 ? null : (
        <div>
          <h3>{t("doNot")}</h3>
          <ul className={styles["doNot"]}>
            {plan.doNot.map((one) => (
              <li key={one}>{one}</li>
            ))}
          </ul>
        </div>
      )}
      <Rows
        label={t("figures")}
        rows={figures}
        keyOf={(row) => row.label}
        columns={[
          {
            key: "label",
            label: t("figures"),
            hideLabelOnPhone: true,
            cell: (row) => <strong>{row.label}</strong>,
          },
          ...plan.feet.map((foot, index) => ({
            key: foot.foot,
            label: t(`common:foot.${foot.foot}`),
            cell: (row: (typeof figures)[number]) => row.cells[index],
          })),
        ]}
      />
      <Facts items={[[t("interval"), t("days", { count: plan.intervalDays })]]} />
      <div className="stack-tight">
        <h3>{t("films")}</h3>
        <Films
          films={films}
          opened={read.opened}
          onOpen={(id) => onRead({ ...read, opened: [...new Set([...read.opened, id])] })}
        />
      </div>
    </DraftCard>
  );
};
