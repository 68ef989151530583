import type { Prescription } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { Badge, type Tone } from "../../components/badges.tsx";
import { FootSolar } from "../../components/foot-solar.tsx";
import { Link } from "../../components/link.tsx";
import { useFormat } from "../../language/format.ts";
import styles from "./case-file.module.css";

const TONES: Readonly<Record<Prescription["status"], Tone>> = {
  draft: "plain",
  signed: "soon",
  accepted: "fine",
  queried: "today",
  declined: "now",
  done: "fine",
  superseded: "plain",
  withdrawn: "plain",
};

/** A trim and shoe plan in figures, one line per foot, with its do-nots. */
export const PlanSummary = ({ plan }: { readonly plan: Prescription }) => {
  const { t } = useTranslation(["cases", "common"]);
  const format = useFormat();
  return (
    <div className="stack-tight">
      <div className="row">
        <Link href={`/prescriptions/${plan.id}`}>
          <strong>{t("planNumber", { number: plan.number })}</strong>
        </Link>
        <Badge tone={TONES[plan.status]}>{t(`planStatus.${plan.status}`)}</Badge>
        <span className="quiet small">
          {plan.signedBy !== null && plan.signedAt !== null
            ? t("signedBy", {
                name: plan.signedBy.name,
                when: format.shortDateTime(plan.signedAt),
              })
            : t("draftedBy", { name: plan.draftedBy.name })}
        </span>
      </div>
      <p>{plan.aim}</p>
      <ul className={styles["plan"]}>
        {plan.feet.map((foot) => (
          <li key={foot.foot}>
            <FootSolar foot={foot.foot} breakoverFromFrogTipMm={foot.breakoverFromFrogTipMm} />
            <span>
              <strong>{t(`common:foot.${foot.foot}`)}</strong>
              <br />
              {t("planFoot", {
                breakover: format.number(foot.breakoverFromP3TipMm),
                heel: format.number(foot.heelRemoveMm),
                shoe: foot.shoe,
              })}
            </span>
          </li>
        ))}
      </ul>
      {plan.doNot.map((one) => (
        <p key={one} className={styles["doNot"]}>
          {one}
        </p>
      ))}
    </div>
  );
};
