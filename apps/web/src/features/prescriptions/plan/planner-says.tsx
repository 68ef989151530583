import type { FootPlanView } from "@heelward/contracts";
import {
  compareBearing,
  findFill,
  findShoe,
  proposeTrim,
  type TrimInput,
  type TrimOutcome,
} from "@heelward/domain/trim";
import { CircleCheck, TriangleAlert } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Rows } from "../../../components/data-list.tsx";
import { Findings, SourceNote } from "../../../components/findings.tsx";
import { useFormat } from "../../../language/format.ts";
import styles from "./foot-card.module.css";

/** What shaped the planner's proposal, the visits it needs, and other shoes beside this one. */
export const PlannerSays = ({
  input,
  plan,
  outcome,
}: {
  readonly input: TrimInput;
  readonly plan: FootPlanView;
  readonly outcome: TrimOutcome;
}) => {
  const { t } = useTranslation("prescriptions");
  const format = useFormat();
  const proposal = proposeTrim(input);
  const { measures } = input;
  const others = compareBearing({
    toeX: measures.breakoverDistanceMm.value,
    heelX: -(measures.bearingLengthMm.value - measures.breakoverDistanceMm.value),
    breakoverX: plan.breakoverFromP3TipMm,
    ...(measures.frogTipToP3TipMm === undefined
      ? {}
      : { frogTipBehindMm: measures.frogTipToP3TipMm.value }),
    weightKg: input.weightKg,
    limb: input.foot.endsWith("F") ? "front" : "hind",
    ...(input.values === undefined ? {} : { values: input.values }),
  });
  const name = (shoe: string, fill: string) =>
    [findShoe(shoe)?.name, fill === "none" ? undefined : findFill(fill)?.name]
      .filter((one) => one !== undefined)
      .join(" + ");
  return (
    <>
      <Findings findings={proposal.findings} hidePasses />
      <details>
        <summary>{t("constraints", { count: proposal.constraints.length })}</summary>
        <ul className={styles["constraints"]}>
          {proposal.constraints.map((one) => (
            <li key={one.id}>
              {one.met ? (
                <CircleCheck className={styles["kept"]} aria-label={t("kept")} />
              ) : (
                <TriangleAlert className={styles["failed"]} aria-label={t("notKept")} />
              )}
              <div>
                {one.detail}
                {one.binding ? <strong> {t("binding")}</strong> : null}
                <SourceNote source={one.source} />
              </div>
            </li>
          ))}
        </ul>
      </details>
      {proposal.stages.length > 1 ? (
        <details>
          <summary>{t("stages", { count: proposal.stages.length })}</summary>
          <Rows
            label={t("stages", { count: proposal.stages.length })}
            rows={proposal.stages}
            keyOf={(stage) => String(stage.visit)}
            columns={[
              { key: "visit", label: t("visit"), cell: (stage) => stage.visit },
              {
                key: "heel",
                label: t("heelOff"),
                cell: (stage) => `${format.number(stage.heelRemoveMm)} mm`,
              },
              {
                key: "toe",
                label: t("toeBack"),
                cell: (stage) => `${format.number(stage.toeBackMm)} mm`,
              },
              {
                key: "angle",
                label: t("palmarAfter"),
                cell: (stage) => `${format.number(stage.palmarAngleDegrees)}°`,
              },
            ]}
          />
          <p className="quiet small">{t("stagesNote")}</p>
        </details>
      ) : null}
      <details>
        <summary>{t("otherShoes")}</summary>
        <Rows
          label={t("otherShoes")}
          rows={others}
          keyOf={(one) => one.shoe + one.supportFill}
          columns={[
            {
              key: "shoe",
              label: t("shoe"),
              cell: (one) => name(one.shoe, one.supportFill),
              hideLabelOnPhone: true,
            },
            {
              key: "area",
              label: t("area"),
              cell: (one) => `${format.number(one.bearing.areaCm2, 0)} cm²`,
            },
            {
              key: "pressure",
              label: t("pressure"),
              cell: (one) => `${format.number(one.bearing.pressureKPa, 0)} kPa`,
            },
          ]}
        />
        <p className="quiet small">{t("estimates")}</p>
        {outcome.bearing.sources.map((source) => (
          <SourceNote key={source.id} source={source} />
        ))}
      </details>
    </>
  );
};
