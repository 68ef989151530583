import { localDateOf, addDays } from "@heelward/domain/time";
import { Ban, CircleCheck, OctagonX } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Card } from "../../../components/card.tsx";
import { Facts } from "../../../components/data-list.tsx";
import { Findings } from "../../../components/findings.tsx";
import { Link } from "../../../components/link.tsx";
import { useFormat } from "../../../language/format.ts";
import { type Prescription, usePlanBasis } from "../queries.ts";
import { FootSheet } from "./foot-sheet.tsx";
import styles from "./sheet.module.css";

/** Unmistakable on screen and on paper: may this be worked from or not. */
export const Standing = ({ plan }: { readonly plan: Prescription }) => {
  const { t } = useTranslation("prescriptions");
  const format = useFormat();
  const isWorkable = ["signed", "accepted", "queried", "done"].includes(plan.status);
  if (isWorkable && plan.signedAt !== null && plan.signedBy !== null)
    return (
      <p className={styles["standing"]} data-workable>
        <CircleCheck aria-hidden />
        {t("standing.signed", {
          name: plan.signedBy.name,
          when: format.dateTime(plan.signedAt),
        })}
      </p>
    );
  return (
    <p className={styles["standing"]} role="alert">
      <OctagonX aria-hidden />
      {plan.status === "draft"
        ? t("standing.draft")
        : plan.status === "declined"
          ? t("standing.declined")
          : plan.status === "withdrawn"
            ? t("standing.withdrawn")
            : t("standing.superseded")}
    </p>
  );
};

const Signature = ({ plan }: { readonly plan: Prescription }) => {
  const { t } = useTranslation("prescriptions");
  const format = useFormat();
  if (plan.signature === null || plan.signedAt === null || plan.signedBy === null) return null;
  return (
    <Card title={t("signature")} className={styles["signature"]}>
      <div className="stack-tight">
        <Facts
          items={[
            [t("signedBy"), plan.signedBy.name],
            [t("signedAt"), format.dateTime(plan.signedAt)],
            [t("signatureValue"), <code key="value">{plan.signature}</code>],
            [t("signatureKey"), <code key="key">{plan.signingKeyId}</code>],
          ]}
        />
        <details className="no-print">
          <summary>{t("signedText")}</summary>
          <pre className={styles["text"]}>{plan.signedText}</pre>
          <p className="quiet small">{t("signedTextNote")}</p>
        </details>
      </div>
    </Card>
  );
};

const Overrides = ({ plan }: { readonly plan: Prescription }) => {
  const { t } = useTranslation("prescriptions");
  if (plan.findings.every((one) => one.outcome === "pass")) return null;
  return (
    <Card title={t("checks")} className={styles["checks"]}>
      <div className="stack-tight">
        <Findings findings={plan.findings} hidePasses />
        {plan.overrides.length === 0 ? null : (
          <>
            <strong>{t("reasonsGiven")}</strong>
            <ul>
              {plan.overrides.map((one) => (
                <li key={one.rule}>{one.reason}</li>
              ))}
            </ul>
          </>
        )}
      </div>
    </Card>
  );
};

/** What the owner was told it would cost, and the owner's yes; nothing where nobody asked. */
const Terms = ({ plan: { cost, consent } }: { readonly plan: Prescription }) => {
  const { t } = useTranslation("prescriptions");
  const format = useFormat();
  if (cost === null && consent === null) return null;
  return (
    <dl className={`${styles["lines"] ?? ""} no-print`}>
      {cost === null ? null : (
        <div>
          <dt>{t("terms.likely")}</dt>
          <dd>
            {t("terms.band", {
              from: format.number(cost.fromAmount),
              to: format.number(cost.toAmount),
              currency: cost.currency,
              covers: cost.covers,
            })}
          </dd>
        </div>
      )}
      {consent === null ? null : (
        <div>
          <dt>{t("terms.consent")}</dt>
          <dd>
            {t("terms.given", { name: consent.givenBy, when: format.dateTime(consent.at) })}
            {consent.words === null ? null : <q className={styles["words"]}>{consent.words}</q>}
          </dd>
        </div>
      )}
    </dl>
  );
};

/** A plan to be read, carried out and printed on one page. */
export const PlanSheet = ({ plan }: { readonly plan: Prescription }) => {
  const { t } = useTranslation(["prescriptions", "common"]);
  const format = useFormat();
  const basis = usePlanBasis(plan);
  const { conditions } = plan;
  const stated = [
    ...(["emergency", "vetPresent", "nerveBlock", "handler"] as const).flatMap((name) =>
      conditions[name] === true ? [t(name)] : [],
    ),
    ...(conditions.surface === undefined ? [] : [conditions.surface]),
  ];
  const latest =
    plan.signedAt === null
      ? undefined
      : addDays(localDateOf(Date.parse(plan.signedAt), format.timeZone), plan.intervalDays);
  return (
    <article className={styles["sheet"]}>
      <Standing plan={plan} />
      <p className={styles["aim"]}>{plan.aim}</p>
      {plan.doNot.length === 0 ? null : (
        <ul className={styles["doNots"]} aria-label={t("doNots")}>
          {plan.doNot.map((line) => (
            <li key={line}>
              <Ban aria-hidden /> {line}
            </li>
          ))}
        </ul>
      )}
      <div className={styles["feet"]}>
        {plan.feet.map((foot) => (
          <FootSheet key={foot.foot} plan={foot} basis={basis?.get(foot.foot)} />
        ))}
      </div>
      <dl className={styles["lines"]}>
        {stated.length === 0 ? null : (
          <div>
            <dt>{t("conditions")}</dt>
            <dd>{stated.join("; ")}</dd>
          </div>
        )}
        {conditions.stopRule === undefined ? null : (
          <div>
            <dt>{t("stopRule")}</dt>
            <dd>{conditions.stopRule}</dd>
          </div>
        )}
        <div>
          <dt>{t("nextReset")}</dt>
          <dd>
            {t("common:days", { count: plan.intervalDays })}
            {latest === undefined ? "" : ` · ${t("latest", { date: format.date(latest) })}`}
          </dd>
        </div>
        <div>
          <dt>{t("films")}</dt>
          <dd>
            {[...(basis?.values() ?? [])].map(({ film }) => (
              <span key={film.radiograph.id} className={styles["film"]}>
                <Link href={`/films/${film.radiograph.id}`}>
                  {film.radiograph.foot}, {format.day(film.radiograph.takenAt)}
                </Link>
              </span>
            ))}
          </dd>
        </div>
      </dl>
      <Terms plan={plan} />
      <p className={styles["caution"]}>{t("caution")}</p>
      <Overrides plan={plan} />
      <Signature plan={plan} />
    </article>
  );
};
