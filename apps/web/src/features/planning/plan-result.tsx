import { CalendarX, Lightbulb } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useSearchState } from "../../app/use-address.ts";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { SelectField } from "../../components/field.tsx";
import { Link } from "../../components/link.tsx";
import { useFormat } from "../../language/format.ts";
import { AdoptDialog } from "./adopt-dialog.tsx";
import { daysOf } from "./choices.ts";
import { DayCard } from "./day-card.tsx";
import type { Plan, Result } from "./queries.ts";
import { ScoreFigures } from "./score-figures.tsx";
import styles from "./planning.module.css";

const Unplaced = ({ result }: { readonly result: Result }) => {
  const { t } = useTranslation("planning");
  return (
    <Card title={t("unplaced")}>
      <p className="quiet">{t("unplacedText")}</p>
      <ul className={styles["unplaced"]}>
        {result.unplaced.map((one) => (
          <li key={one.resetId}>
            <CalendarX aria-hidden />
            <div>
              <Link href={`/resets/${one.resetId}`}>
                <strong>{one.horse.name}</strong>
              </Link>
              , {one.yard.name}: {one.why}
              <p className={styles["helps"]}>
                <Lightbulb aria-hidden />
                <span>
                  {t("helps")}: {one.wouldImprove}
                </span>
              </p>
            </div>
          </li>
        ))}
      </ul>
    </Card>
  );
};

const Outcomes = ({ plan }: { readonly plan: Plan }) => {
  const { t } = useTranslation("planning");
  const names = new Map(plan.result?.choices.map((one) => [one.resetId, one.horse.name]));
  return (
    <Card title={t("adopted")}>
      <ul className={styles["outcomes"]}>
        {plan.adopted.map((one) => (
          <li key={`${one.resetId}${one.outcome}`}>
            <Badge tone={one.outcome === "booked" ? "fine" : "today"}>
              {t(`outcomes.${one.outcome}`)}
            </Badge>
            <span>
              <Link href={`/resets/${one.resetId}`}>{names.get(one.resetId)}</Link>
              {one.detail === null ? null : `: ${one.detail}`}
            </span>
          </li>
        ))}
      </ul>
    </Card>
  );
};

/** What a plan proposes: how good it is, what found no place, and each day with its reasons. */
export const PlanResult = ({ plan, result }: { readonly plan: Plan; readonly result: Result }) => {
  const { t } = useTranslation("planning");
  const format = useFormat();
  const { get, set } = useSearchState();
  const booked = new Set(
    plan.adopted.filter((one) => one.outcome === "booked").map((one) => one.resetId),
  );
  const open = result.choices.filter((one) => !booked.has(one.resetId));
  const [chosen, setChosen] = useState<ReadonlySet<string>>(
    () => new Set(open.map((one) => one.resetId)),
  );
  const [isAdopting, setAdopting] = useState(false);
  const toggle = (ids: readonly string[], isOn: boolean) =>
    setChosen((before) => {
      const after = new Set(before);
      for (const id of ids)
        if (isOn) after.add(id);
        else after.delete(id);
      return after;
    });
  const days = daysOf(open);
  const farriers = [...new Map(days.map((day) => [day.farrier.id, day.farrier.name]))];
  const shown = days.filter((day) => get("farrier") === "" || day.farrier.id === get("farrier"));
  const wanted = open.filter((one) => chosen.has(one.resetId));
  return (
    <>
      {isAdopting ? (
        <AdoptDialog planId={plan.id} choices={wanted} onClose={() => setAdopting(false)} />
      ) : null}
      <Card>
        <ScoreFigures
          score={result.score}
          bound={{
            latePoints: result.latePointsLowerBound,
            driveSeconds: result.driveSecondsLowerBound,
          }}
        />
        <p className="quiet small">
          {t(`drives.${result.driveTimes}`)} {result.finished ? null : t("anytime")}
        </p>
      </Card>
      {plan.adopted.length === 0 ? null : <Outcomes plan={plan} />}
      {result.unplaced.length === 0 ? null : <Unplaced result={result} />}
      {open.length === 0 ? (
        <p>{t("nothingLeft")}</p>
      ) : (
        <section className="stack" aria-label={t("choices")}>
          <div className="spread">
            <h2>{t("choices")}</h2>
            <div className="row">
              <SelectField
                label={<span className="only-read">{t("showFarrier")}</span>}
                value={get("farrier")}
                onChange={(farrier) => set({ farrier })}
                emptyLabel={t("everyone")}
                options={farriers.map(([value, label]) => ({ value, label }))}
              />
              <Button
                look="primary"
                disabled={wanted.length === 0}
                onClick={() => setAdopting(true)}
              >
                {t("adopt", { count: wanted.length })}
              </Button>
            </div>
          </div>
          {[...new Set(shown.map((day) => day.on))].map((on) => (
            <div key={on} className="stack-tight">
              <h3>{format.shortDate(on)}</h3>
              <div className={styles["days"]}>
                {shown
                  .filter((day) => day.on === on)
                  .map((day) => (
                    <DayCard key={day.key} day={day} chosen={chosen} onToggle={toggle} />
                  ))}
              </div>
            </div>
          ))}
        </section>
      )}
    </>
  );
};
