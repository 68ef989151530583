import type { Prescription, ShoeingRecord } from "@heelward/contracts";
import { findShoe } from "@heelward/domain/trim";
import { Archive, Monitor, Smartphone } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { newKey } from "../../api/client.ts";
import { useCurrent } from "../../app/current-session.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Facts } from "../../components/data-list.tsx";
import { TextArea } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { useFormat } from "../../language/format.ts";
import { decide, type Decision, type Entry } from "../../offline/outbox.ts";
import { changeOutbox } from "../../offline/outbox-store.ts";
import { startSync } from "../../offline/run-sync.ts";
import { usePeopleOf } from "../../parts/people.ts";
import { choicesOf } from "./conflict-choices.ts";
import styles from "./day.module.css";
import { usePlan, usePlans, useVisits } from "./queries.ts";

type Visit = Pick<ShoeingRecord, "feet" | "doneAt" | "departures" | "notes">;

const text = (value: unknown): string | undefined =>
  typeof value === "string" && value !== "" ? value : undefined;

const VisitFacts = ({ visit }: { readonly visit: Visit }) => {
  const { t } = useTranslation(["offline", "common"]);
  const format = useFormat();
  return (
    <Facts
      items={[
        [t("conflict.doneAt"), format.shortDateTime(visit.doneAt)],
        ...visit.feet.map(
          (foot) =>
            [
              t(`common:foot.${foot.foot}`),
              `${t("conflict.breakover")} ${format.number(foot.breakoverAfterMm)} mm · ${t("conflict.heel")} ${format.number(foot.heelRemovedMm)} mm · ${findShoe(foot.shoe)?.name ?? foot.shoe}`,
            ] as const,
        ),
        ...(text(visit.departures) === undefined
          ? []
          : [[t("conflict.departures"), visit.departures ?? ""] as const]),
        ...(text(visit.notes) === undefined
          ? []
          : [[t("conflict.words"), visit.notes ?? ""] as const]),
      ]}
    />
  );
};

const PlanFacts = ({ plan }: { readonly plan: Prescription }) => {
  const { t } = useTranslation(["offline", "common"]);
  const format = useFormat();
  return (
    <div className="stack-tight">
      <p>
        <strong>{t("conflict.plan", { number: plan.number })}</strong>,{" "}
        {t(`conflict.planState.${plan.status}`)}
      </p>
      <p className="quiet small">
        {plan.signedAt === null
          ? null
          : t("conflict.planBy", {
              name: plan.signedBy?.name ?? "",
              when: format.shortDateTime(plan.signedAt),
            })}
      </p>
      <Facts
        items={plan.feet.map(
          (foot) =>
            [
              t(`common:foot.${foot.foot}`),
              `${t("conflict.breakover")} ${format.number(foot.breakoverFromP3TipMm)} mm · ${t("conflict.heel")} ${format.number(foot.heelRemoveMm)} mm · ${findShoe(foot.shoe)?.name ?? foot.shoe}`,
            ] as const,
        )}
      />
    </div>
  );
};

const Mine = ({
  entry,
  plan,
}: {
  readonly entry: Entry;
  readonly plan: Prescription | undefined;
}) => {
  const { t } = useTranslation("offline");
  const { body, operation } = entry.request;
  return (
    <>
      {plan === undefined || operation !== "recordShoeing" ? null : (
        <p>
          <strong>{t("conflict.planFollowed", { number: plan.number })}</strong>
        </p>
      )}
      {operation === "recordShoeing" ? (
        <VisitFacts visit={body as unknown as Visit} />
      ) : (
        <Facts
          items={[
            ...(text(body["reply"]) === undefined
              ? []
              : [[t("conflict.answer"), text(body["reply"]) ?? ""] as const]),
            ...["text", "situation", "found", "mustDo", "answer", "caption", "photoView"].flatMap(
              (name) =>
                text(body[name]) === undefined
                  ? []
                  : [[t("conflict.words"), text(body[name]) ?? ""] as const],
            ),
          ]}
        />
      )}
    </>
  );
};

/** What stands at the practice now: the plan in force and, where one came between, the other visit. */
const Theirs = ({
  entry,
  plan,
}: {
  readonly entry: Entry;
  readonly plan: Prescription | undefined;
}) => {
  const { t } = useTranslation("offline");
  const format = useFormat();
  const plans = usePlans(plan?.caseId);
  const isVisit = entry.request.operation === "recordShoeing";
  const visits = useVisits(isVisit ? entry.lane : undefined);
  const inForce = plans.data?.items.find((one) => one.isCurrent && one.status !== "done");
  const other = visits.data?.items.find((one) => one.id === entry.refusal?.recordId);
  const shown = inForce ?? (isVisit ? undefined : plan);
  return (
    <>
      {shown === undefined ? null : <PlanFacts plan={shown} />}
      {other === undefined ? null : (
        <div className="stack-tight">
          <strong>
            {t("conflict.visit", {
              name: other.farrier.name,
              when: format.shortDateTime(other.doneAt),
            })}
          </strong>
          <VisitFacts visit={other} />
        </div>
      )}
      {shown === undefined && other === undefined ? <p>{t("conflict.nothing")}</p> : null}
    </>
  );
};

/** One record the practice did not take: both sides beside each other, and the person's decision. */
export const ConflictCard = ({ entry }: { readonly entry: Entry }) => {
  const { t } = useTranslation("offline");
  const { session } = useCurrent();
  const { body, params, operation } = entry.request;
  const plan = usePlan(text(body["prescriptionId"]) ?? params["prescriptionId"]);
  const [manager] = usePeopleOf("manager");
  const [isAside, setAside] = useState(false);
  const [reason, setReason] = useState("");
  const carryOut = (decision: Decision) =>
    void changeOutbox(session.person.id, (outbox) =>
      decide(outbox, entry.key, newKey(), decision),
    ).then(startSync);
  const choices = choicesOf(
    entry,
    { plan: plan.data, managerId: manager?.id },
    t("conflict.bookedNotFree"),
  );
  return (
    <Card
      title={t("conflict.title", {
        what: t(`outbox.what.${operation as "recordShoeing"}`),
        horse: entry.label,
      })}
    >
      <div className="stack">
        <div className={styles["why"]}>
          <p>
            <strong>{t("conflict.why")}</strong>
          </p>
          <p>{entry.refusal?.detail}</p>
        </div>
        <div className={styles["sides"]}>
          <section className={`${styles["side"] ?? ""} ${styles["mine"] ?? ""}`}>
            <h3 className="row">
              <Smartphone aria-hidden width="1.1em" /> {t("conflict.yours")}
            </h3>
            <Mine entry={entry} plan={plan.data} />
          </section>
          <section className={styles["side"]}>
            <h3 className="row">
              <Monitor aria-hidden width="1.1em" /> {t("conflict.theirs")}
            </h3>
            <Theirs entry={entry} plan={plan.data} />
          </section>
        </div>
        <div className={styles["choices"]}>
          <h3>{t("conflict.choose")}</h3>
          {choices.map(({ id, request }) => (
            <button
              key={id}
              type="button"
              className={styles["choice"]}
              onClick={() => carryOut({ kind: "send", request })}
            >
              <strong>{t(`conflict.${id}`)}</strong>
              <small>
                {t(`conflict.${id}Text`, {
                  number: plan.data?.number ?? "",
                  name: manager?.name ?? "",
                })}
              </small>
            </button>
          ))}
          {isAside ? (
            <Form
              problem={null}
              onSubmit={() => carryOut({ kind: "put aside", reason: reason.trim() })}
              footer={
                <Button
                  type="submit"
                  look="danger"
                  size="large"
                  icon={<Archive aria-hidden />}
                  disabled={reason.trim() === ""}
                >
                  {t("conflict.asideSend")}
                </Button>
              }
            >
              <TextArea
                label={t("conflict.asideReason")}
                required
                maxLength={500}
                value={reason}
                onChange={setReason}
              />
            </Form>
          ) : (
            <button type="button" className={styles["choice"]} onClick={() => setAside(true)}>
              <strong>{t("conflict.aside")}</strong>
              <small>{t("conflict.asideText")}</small>
            </button>
          )}
        </div>
      </div>
    </Card>
  );
};
