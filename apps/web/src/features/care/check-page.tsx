import type { Horse } from "@heelward/contracts";
import { CircleCheckBig, PhoneCall, Siren } from "lucide-react";
import { useEffect, useRef, useState } from "react";
import { useTranslation } from "react-i18next";
import type { Answer } from "../../api/operations.ts";
import { useCurrent } from "../../app/current-session.tsx";
import { useParam } from "../../app/use-address.ts";
import { ButtonLink } from "../../components/button.tsx";
import { Findings } from "../../components/findings.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { QueryView } from "../../components/states.tsx";
import { CheckForm } from "./check-form.tsx";
import { useHorse } from "./queries.ts";
import { telHref } from "../../parts/tel-href.ts";
import { RingBar } from "./ring-bar.tsx";
import styles from "./care.module.css";

/** What came of a check: ring now, or thank you; the first thing on the screen. */
const Result = ({ answer }: { readonly answer: Answer<"checkHorse"> }) => {
  const { t } = useTranslation("care");
  const { session } = useCurrent();
  const { phone } = session.practice;
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    window.scrollTo({ top: 0 });
    heading.current?.focus();
  }, []);
  return (
    <div className="stack">
      {answer.isRedFlag ? (
        <section className={styles["red"]} role="alert">
          <Siren aria-hidden />
          <h2 ref={heading} tabIndex={-1}>
            {t("redTitle")}
          </h2>
          <p>{t("redText")}</p>
          {phone === null ? (
            <p>{t("noPhone")}</p>
          ) : (
            <a className={styles["redRing"]} href={telHref(phone)}>
              <PhoneCall aria-hidden />
              {phone}
            </a>
          )}
          {answer.heldCourseIds.length === 0 ? null : (
            <p>
              <strong>{t("heldText", { count: answer.heldCourseIds.length })}</strong>
            </p>
          )}
        </section>
      ) : (
        <section className={styles["saved"]}>
          <CircleCheckBig aria-hidden />
          <div>
            <h2 ref={heading} tabIndex={-1}>
              {t("savedTitle")}
            </h2>
            <p>
              {answer.fiveSignScore === null
                ? null
                : `${t("score")}: ${t("scoreOf", { score: answer.fiveSignScore })}. `}
              {t("savedText")}
            </p>
          </div>
        </section>
      )}
      {answer.findings.length === 0 ? null : (
        <section className="stack-tight">
          <h3>{t(answer.isRedFlag ? "whatRaised" : "whatRules")}</h3>
          <Findings findings={answer.findings} />
        </section>
      )}
      <div className="row">
        <ButtonLink href="/care" look={answer.isRedFlag ? "plain" : "primary"} size="large">
          {t("backToDay")}
        </ButtonLink>
        {answer.signs.includes("suddenThreeLeggedLameness") ? (
          <ButtonLink href={`/horses/${answer.horseId}/watches`} size="large">
            {t("watchOther")}
          </ButtonLink>
        ) : null}
      </div>
    </div>
  );
};

const Shown = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation("care");
  const [answer, setAnswer] = useState<Answer<"checkHorse">>();
  return (
    <>
      <PageHeader
        title={t("checkTitle", { horse: horse.name })}
        back={{ href: "/care", label: t("backToDay") }}
        lead={answer === undefined ? t("checkLead") : undefined}
      />
      {answer === undefined ? (
        <CheckForm horse={horse} onSaved={setAnswer} />
      ) : (
        <Result answer={answer} />
      )}
    </>
  );
};

/** A yard check of one horse, and what to do next. */
export const CheckPage = () => {
  const horse = useHorse(useParam("horseId"));
  return (
    <div className={styles["page"]}>
      <RingBar phone={null} horse={horse.data} />
      <QueryView query={horse} lines={8}>
        {(data) => <Shown horse={data} />}
      </QueryView>
    </div>
  );
};
