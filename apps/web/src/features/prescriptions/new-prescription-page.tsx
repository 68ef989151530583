import type { CaseView, FootPlanView, HoofGrowth, Horse } from "@heelward/contracts";
import { CircleAlert, NotebookPen, ScanLine } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../api/client.ts";
import { useWrite } from "../../api/use-call.ts";
import { useGo, useParam, useSearchState } from "../../app/use-address.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { CheckField, TextArea } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, Skeleton } from "../../components/states.tsx";
import { todayIn, useFormat } from "../../language/format.ts";
import styles from "./new-prescription.module.css";
import { DeviceFields } from "./plan/device-fields.tsx";
import { doNotsFrom, proposedFoot } from "./plan/plan-draft.ts";
import { footBasis, newestOfEachFoot, type PlanFilm } from "./plan/plan-inputs.ts";
import {
  type PlannerFigures,
  useHoofGrowth,
  usePlannerFigures,
} from "../../parts/planner-figures.ts";
import { useCase, useHorse, useMeasuredFilms } from "./queries.ts";

type Device = Pick<FootPlanView, "shoe" | "supportFill" | "fixing">;

const FilmChoice = ({
  film,
  lacking,
  isChosen,
  onChange,
}: {
  readonly film: PlanFilm;
  readonly lacking: readonly string[];
  readonly isChosen: boolean;
  readonly onChange: (isChosen: boolean) => void;
}) => {
  const { t } = useTranslation(["prescriptions", "common", "radiographs"]);
  const format = useFormat();
  const { radiograph } = film;
  const foot = t(`common:foot.${radiograph.foot}`);
  return (
    <li className={styles["film"]}>
      <img src={addressOf("readFilmPreview", { params: { radiographId: radiograph.id } })} alt="" />
      <div>
        <CheckField
          label={<strong>{foot}</strong>}
          value={isChosen}
          disabled={lacking.length > 0}
          onChange={onChange}
        />
        <p className="quiet small">
          {format.dateTime(radiograph.takenAt)} ·{" "}
          {t("radiographs:age", { count: radiograph.ageDays })}
        </p>
        {radiograph.sideConfirmedBy === null ? (
          <p className={styles["warning"]}>
            <CircleAlert aria-hidden /> {t("sideFirst")}
          </p>
        ) : null}
        {lacking.length === 0 ? null : (
          <p className={styles["warning"]}>
            <CircleAlert aria-hidden /> {t("lacking", { items: format.list(lacking) })}
          </p>
        )}
        <ButtonLink look="quiet" href={`/films/${radiograph.id}`}>
          {t("openFilm")}
        </ButtonLink>
      </div>
    </li>
  );
};

const Planner = ({
  caseId,
  found,
  horse,
  films,
  figures,
  growth,
}: {
  readonly caseId: string;
  readonly found: CaseView;
  readonly horse: Horse;
  readonly films: readonly PlanFilm[];
  readonly figures: PlannerFigures;
  readonly growth: HoofGrowth;
}) => {
  const { t } = useTranslation(["prescriptions", "common"]);
  const { get } = useSearchState();
  const go = useGo();
  const draft = useWrite("draftPrescription");
  const [device, setDevice] = useState<Device>({
    shoe: "rolled-bar",
    supportFill: "full",
    fixing: "glue",
  });
  const [emergency, setEmergency] = useState(found.phase === "acute");
  const [aim, setAim] = useState("");
  const asked = films.find((film) => film.radiograph.id === get("film"));
  const offered = newestOfEachFoot(films).map(({ film, before }) => {
    const chosen = asked?.radiograph.foot === film.radiograph.foot ? asked : film;
    const basis = footBasis(chosen, chosen === film ? before : undefined, found, horse, device, {
      emergency,
      today: todayIn(horse.yard.timeZone),
      figures,
      growth,
    });
    return { film: chosen, basis };
  });
  const [left, setLeft] = useState<readonly string[]>(() =>
    offered
      .filter(
        ({ film }) =>
          (asked !== undefined && film !== asked) ||
          (asked === undefined &&
            found.feetAffected.length > 0 &&
            !found.feetAffected.includes(film.radiograph.foot)),
      )
      .map(({ film }) => film.radiograph.id),
  );
  const chosen = offered.flatMap(({ film, basis }) =>
    basis.ok && !left.includes(film.radiograph.id) ? [{ film, input: basis.input }] : [],
  );
  const send = () => {
    const [first] = chosen;
    if (first === undefined) return;
    draft.mutate(
      {
        params: { caseId },
        body: {
          aim,
          feet: chosen.map(({ input }) => proposedFoot(input, horse.breakoverLimitMm)),
          doNot: [
            ...doNotsFrom(
              { doNot: [] },
              chosen.map(({ input }) => input),
            ),
          ],
          conditions: { emergency },
          intervalDays: Math.min(first.input.intervalDays, first.input.ceilingDays),
          radiographIds: chosen.map(({ film }) => film.radiograph.id),
        },
      },
      { onSuccess: (plan) => go(`/prescriptions/${plan.id}`) },
    );
  };
  if (offered.length === 0)
    return (
      <EmptyState
        icon={<ScanLine aria-hidden />}
        title={t("noMeasured")}
        action={<ButtonLink href={`/cases/${caseId}/films`}>{t("toFilms")}</ButtonLink>}
      >
        {t("noMeasuredText")}
      </EmptyState>
    );
  return (
    <Form
      problem={draft.error}
      onSubmit={send}
      footer={
        <Button
          look="primary"
          type="submit"
          icon={<NotebookPen aria-hidden />}
          isBusy={draft.isPending}
          disabled={chosen.length === 0 || aim.trim() === ""}
        >
          {t("propose")}
        </Button>
      }
    >
      <Card title={t("whichFilms")}>
        <ul className={styles["films"]}>
          {offered.map(({ film, basis }) => (
            <FilmChoice
              key={film.radiograph.id}
              film={film}
              lacking={basis.ok ? [] : basis.lacking}
              isChosen={basis.ok && !left.includes(film.radiograph.id)}
              onChange={(isChosen) =>
                setLeft(
                  isChosen
                    ? left.filter((id) => id !== film.radiograph.id)
                    : [...left, film.radiograph.id],
                )
              }
            />
          ))}
        </ul>
      </Card>
      <Card title={t("device")}>
        <div className="stack">
          <DeviceFields value={device} onChange={setDevice} pointer="feet/0/" />
          <CheckField label={t("emergency")} value={emergency} onChange={setEmergency} />
        </div>
      </Card>
      <Card title={t("aim")}>
        <div className="stack-tight">
          <TextArea
            label={t("aimLabel")}
            name="aim"
            hint={t("aimHint")}
            maxLength={500}
            required
            value={aim}
            onChange={setAim}
          />
          <div className="row">
            {(["load", "toe", "support"] as const).map((key) => (
              <Button key={key} look="quiet" onClick={() => setAim(t(`aims.${key}`))}>
                {t(`aims.${key}`)}
              </Button>
            ))}
          </div>
        </div>
      </Card>
    </Form>
  );
};

/** From measured films to a draft: the planner proposes, the vet edits and signs. */
export const NewPrescriptionPage = () => {
  const { t } = useTranslation("prescriptions");
  const caseId = useParam("caseId");
  const found = useCase(caseId);
  const horse = useHorse(found.data?.horse.id);
  const films = useMeasuredFilms(caseId);
  const figures = usePlannerFigures();
  const growth = useHoofGrowth(found.data?.horse.id);
  return (
    <>
      <PageHeader
        title={t("newTitle", { horse: found.data?.horse.name ?? "" })}
        lead={t("newLead")}
        back={{ href: `/cases/${caseId}`, label: t("toCase") }}
      />
      {found.data === undefined ||
      horse.data === undefined ||
      films === undefined ||
      figures === undefined ||
      growth.data === undefined ? (
        <Skeleton lines={8} />
      ) : (
        <Planner
          caseId={caseId}
          found={found.data}
          horse={horse.data}
          films={films}
          figures={figures}
          growth={growth.data}
        />
      )}
    </>
  );
};
