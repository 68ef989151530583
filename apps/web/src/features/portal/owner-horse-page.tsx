import type { OwnerHorse } from "@heelward/contracts";
import { CalendarDays, HeartHandshake, PhoneCall, Pill, Printer, Wheat } from "lucide-react";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../api/client.ts";
import { useParam } from "../../app/use-address.ts";
import { ButtonLink, IconButton } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { LineChart } from "../../components/line-chart.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { AskCard } from "./ask-card.tsx";
import { ConsentCard } from "./consent-card.tsx";
import { CostLine } from "./cost-line.tsx";
import { GlossedText } from "./glossed-text.tsx";
import { useOwnHorse } from "./queries.ts";
import { PrintStamp } from "../../parts/print-stamp.tsx";
import styles from "./portal.module.css";
import { telHref } from "../../parts/tel-href.ts";

/** The newest results go on the printed page; a year of them would not leave it one page. */
const RESULTS_ON_PAPER = 4;

const CallLink = ({ phone }: { readonly phone: string }) => {
  const { t } = useTranslation("portal");
  return (
    <a className={styles["call"]} href={telHref(phone)}>
      <PhoneCall aria-hidden />
      <span>
        {t("call")} <strong className={styles["phone"]}>{phone}</strong>
      </span>
    </a>
  );
};

const NextCard = ({ next }: { readonly next: OwnerHorse["next"] }) => {
  const { t } = useTranslation("portal");
  const format = useFormat();
  return (
    <Card title={t("happens")} className={styles["wide"]}>
      {next.length === 0 ? (
        <p className="quiet">{t("nothingPlanned")}</p>
      ) : (
        <ol className={styles["next"]}>
          {next.map((step) => (
            <li key={step.on + step.what}>
              <CalendarDays aria-hidden />
              <div>
                <strong>{format.shortDate(step.on)}</strong>
                <div>
                  {step.what}
                  {step.who === null ? null : `, ${t("with", { who: step.who })}`}
                </div>
              </div>
            </li>
          ))}
        </ol>
      )}
    </Card>
  );
};

const PlanText = ({
  plan,
  glossary,
}: {
  readonly plan: NonNullable<OwnerHorse["plan"]>;
  readonly glossary: OwnerHorse["glossary"];
}) => {
  const { t } = useTranslation("portal");
  const format = useFormat();
  return (
    <div className="stack">
      <p className={styles["aim"]}>
        <GlossedText text={plan.aim} glossary={glossary} />
      </p>
      <ul className={styles["plain"]}>
        {plan.inPlainWords.map((sentence) => (
          <li key={sentence}>
            <GlossedText text={sentence} glossary={glossary} />
          </li>
        ))}
      </ul>
      <p>{t("interval", { count: plan.intervalDays })}</p>
      <CostLine cost={plan.cost} />
      {plan.signedAt === null ? null : (
        <p className="quiet small">{t("signed", { date: format.day(plan.signedAt) })}</p>
      )}
      <ConsentCard plan={plan} />
    </div>
  );
};

const PlanCard = ({ data }: { readonly data: OwnerHorse }) => {
  const { t } = useTranslation("portal");
  const { plan, asked, glossary } = data;
  return (
    <>
      {asked === null ? null : (
        <Card title={t("asked")}>
          <PlanText plan={asked} glossary={glossary} />
        </Card>
      )}
      {asked !== null && plan === null ? null : (
        <Card title={t("plan")}>
          {plan === null ? (
            <p className="quiet">{t("noPlan")}</p>
          ) : (
            <PlanText plan={plan} glossary={glossary} />
          )}
        </Card>
      )}
    </>
  );
};

const MedicinesCard = ({ medicines }: { readonly medicines: OwnerHorse["medicines"] }) => {
  const { t } = useTranslation("portal");
  const format = useFormat();
  return (
    <Card title={t("medicines")}>
      {medicines.length === 0 ? (
        <p className="quiet">{t("noMedicines")}</p>
      ) : (
        <div className="stack">
          <ul className={styles["medicines"]}>
            {medicines.map((one) => (
              <li key={one.name + one.howMuch}>
                <Pill aria-hidden />
                <div>
                  <h3>{one.name}</h3>
                  <p>
                    {one.howMuch},{" "}
                    {one.until === null
                      ? t("openUntil")
                      : t("untilDate", { date: format.date(one.until) })}
                  </p>
                  <p className="quiet">
                    {t("watchFor")}: {one.watchFor}
                  </p>
                </div>
              </li>
            ))}
          </ul>
          <p>{t("medicineCaution")}</p>
        </div>
      )}
    </Card>
  );
};

const Curves = ({ data }: { readonly data: OwnerHorse }) => {
  const { t } = useTranslation("portal");
  return (
    <div className={`columns ${styles["curves"] ?? ""} ${styles["wide"] ?? ""}`}>
      {data.comfort.length < 2 ? null : (
        <Card title={t("comfort")}>
          <LineChart
            title={t("comfortTitle")}
            unit={t("comfortUnit")}
            points={data.comfort.map((one) => ({ on: one.on, value: one.score }))}
            // Keeps "none" on the axis, so that a good line is seen to be near it.
            target={{ low: 0, high: 0 }}
          />
          <p className="quiet small">{t("comfortHint")}</p>
        </Card>
      )}
      {data.weights.length < 2 ? null : (
        <Card title={t("weight")}>
          <LineChart
            title={t("weightTitle")}
            unit="kg"
            points={data.weights.map((one) => ({ on: one.on, value: one.weightKg }))}
          />
          <p className="quiet small">{t("weightHint")}</p>
        </Card>
      )}
    </div>
  );
};

const Results = ({ data }: { readonly data: OwnerHorse }) => {
  const { t } = useTranslation("portal");
  const format = useFormat();
  return (
    <Card title={t("results")}>
      {data.released.length === 0 ? (
        <p className="quiet">{t("noResults")}</p>
      ) : (
        <ul className={styles["results"]}>
          {data.released.map((one, index) => (
            <li
              key={one.on + one.what}
              className={index < RESULTS_ON_PAPER ? undefined : styles["screenOnly"]}
            >
              <h3>
                {one.what} <span className="quiet small">{format.date(one.on)}</span>
              </h3>
              <p>
                <GlossedText text={one.words} glossary={data.glossary} />
              </p>
            </li>
          ))}
        </ul>
      )}
      {data.released.length > RESULTS_ON_PAPER ? (
        <p className={styles["paperOnly"]}>
          {t("olderOnScreen", { count: data.released.length - RESULTS_ON_PAPER })}
        </p>
      ) : null}
    </Card>
  );
};

const Pictures = ({ pictures }: { readonly pictures: OwnerHorse["pictures"] }) => {
  const { t } = useTranslation("portal");
  const format = useFormat();
  if (pictures.length === 0) return null;
  return (
    <Card title={t("pictures")} className={styles["screenOnly"]}>
      <ul className={styles["pictures"]}>
        {pictures.map((picture) => (
          <li key={picture.documentId}>
            <figure>
              <img
                src={addressOf("readDocumentContent", {
                  params: { documentId: picture.documentId },
                })}
                alt={picture.caption ?? t("pictureOf", { date: format.date(picture.on) })}
                loading="lazy"
              />
              <figcaption>
                {picture.caption} <span className="quiet small">{format.date(picture.on)}</span>
              </figcaption>
            </figure>
          </li>
        ))}
      </ul>
    </Card>
  );
};

const CallIf = ({ data }: { readonly data: OwnerHorse }) => {
  const { t } = useTranslation("portal");
  if (data.callNowIf.length === 0) return null;
  return (
    <Card title={t("callIf")} className={styles["wide"]}>
      <div className="stack">
        <p className="quiet">{t("callIfText")}</p>
        <ul className={styles["callIf"]}>
          {data.callNowIf.map((sign) => (
            <li key={sign}>{sign}</li>
          ))}
        </ul>
        {data.practicePhone === null ? null : <CallLink phone={data.practicePhone} />}
      </div>
    </Card>
  );
};

const Shown = ({ data }: { readonly data: OwnerHorse }) => {
  const { t } = useTranslation("portal");
  const { horse, glossary } = data;
  return (
    <div className={styles["page"]}>
      <PageHeader
        title={horse.name}
        back={{ href: "/portal", label: t("back") }}
        lead={horse.yard}
        actions={
          <>
            {data.practicePhone === null ? null : <CallLink phone={data.practicePhone} />}
            <span className={styles["deskOnly"]}>
              <IconButton
                label={t("print")}
                icon={<Printer aria-hidden />}
                onClick={() => window.print()}
              />
            </span>
          </>
        }
      />
      <section className={styles["headline"]} aria-label={t("now", { name: horse.name })}>
        <HeartHandshake aria-hidden />
        <div className="stack">
          <h2>{data.headline}</h2>
          {data.isClosed ? <p>{t("closed")}</p> : null}
          {data.paragraphs.map((paragraph) => (
            <p key={paragraph}>
              <GlossedText text={paragraph} glossary={glossary} />
            </p>
          ))}
          {glossary.length === 0 ? null : <p className="quiet small no-print">{t("wordHint")}</p>}
        </div>
      </section>
      {data.isClosed ? null : <NextCard next={data.next} />}
      <Curves data={data} />
      {data.isClosed && data.plan === null ? null : <PlanCard data={data} />}
      {data.isClosed ? null : <MedicinesCard medicines={data.medicines} />}
      {data.isClosed ? null : (
        <Card title={t("recovery")} className={styles["screenOnly"]}>
          <div className="stack-tight">
            <p>{t("recoveryText")}</p>
            <div>
              <ButtonLink href={`/portal/${horse.id}/recovery`} icon={<Wheat aria-hidden />}>
                {t("recoveryGo")}
              </ButtonLink>
            </div>
          </div>
        </Card>
      )}
      <Results data={data} />
      {data.isClosed ? null : <CallIf data={data} />}
      {data.notKnownYet.length === 0 ? null : (
        <Card title={t("unknown")} className={styles["wide"]}>
          <ul className={styles["plain"]}>
            {data.notKnownYet.map((one) => (
              <li key={one}>{one}</li>
            ))}
          </ul>
        </Card>
      )}
      <Pictures pictures={data.pictures} />
      <div className={styles["screenOnly"]}>
        <AskCard horseId={horse.id} horseName={horse.name} />
      </div>
      <div className={styles["foot"]}>
        <p className="quiet small">{t("notVet")}</p>
        <PrintStamp version={horse.name} />
      </div>
    </div>
  );
};

/** One horse as its owner reads about it: plain, released, and with its context. */
export const OwnerHorsePage = () => {
  const horse = useOwnHorse(useParam("horseId"));
  return (
    <QueryView query={horse} lines={10}>
      {(data) => <Shown data={data} />}
    </QueryView>
  );
};
