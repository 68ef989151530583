import { useQueryClient } from "@tanstack/react-query";
import { CircleCheck, OctagonX, PenLine } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { call, newKey } from "../../api/client.ts";
import { ProblemError } from "../../api/problem-error.ts";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Link } from "../../components/link.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, ErrorState, QueryView } from "../../components/states.tsx";
import { typedText } from "../../components/use-draft.ts";
import { todayIn } from "../../language/format.ts";
import { CourseToSign } from "./course-to-sign.tsx";
import { PlanToSign } from "./plan-to-sign.tsx";
import { type Drafts, useDrafts } from "./queries.ts";
import { hindranceOf, isPastCeiling, overridesOf, type ReadBack, UNREAD } from "./read-back.ts";
import { type Outcome, signInTurn, type ToSign } from "./sign-in-turn.ts";
import styles from "./signing.module.css";

type Read = Readonly<Record<string, ReadBack>>;

/** A draft that changed is another one and must be read again. */
const keyOf = ({ id, version }: { readonly id: string; readonly version: number }): string =>
  `${id} ${String(version)}`;

const planSignatures = (
  { plans }: Drafts,
  read: Read,
  what: (number: number) => string,
): readonly ToSign[] =>
  plans.flatMap(({ plan, films }) => {
    const own = read[keyOf(plan)] ?? UNREAD;
    const ids = films.map((film) => film.id);
    if (!own.isConfirmed || hindranceOf(plan.findings, ids, own) !== undefined) return [];
    const longer = typedText(own.longer);
    const key = newKey();
    return [
      {
        key: plan.id,
        what: what(plan.number),
        horse: plan.horse.name,
        send: () =>
          call(
            "signPrescription",
            {
              params: { prescriptionId: plan.id },
              ifMatch: plan.version,
              body: {
                readBack: { filmOpened: true, targetsConfirmed: true },
                overrides: overridesOf(plan.findings, own),
                ...(isPastCeiling(plan.findings) && longer !== undefined
                  ? { longerIntervalReason: longer }
                  : {}),
              },
            },
            { key },
          ),
      },
    ];
  });

const courseSignatures = ({ courses }: Drafts, read: Read): readonly ToSign[] =>
  courses.flatMap(({ course }) => {
    const own = read[keyOf(course)] ?? UNREAD;
    if (
      !own.isConfirmed ||
      hindranceOf(course.findings, [], own) !== undefined ||
      course.startOn < todayIn(course.timeZone)
    )
      return [];
    const key = newKey();
    return [
      {
        key: course.id,
        what: course.drugName,
        horse: course.horse.name,
        send: () =>
          call(
            "signCourse",
            {
              params: { courseId: course.id },
              ifMatch: course.version,
              body: { overrides: overridesOf(course.findings, own) },
            },
            { key },
          ),
      },
    ];
  });

const WORDS = { signed: "signedOne", failed: "failedOne", "not tried": "stoppedOne" } as const;

const Result = ({ outcomes }: { readonly outcomes: readonly Outcome[] }) => {
  const { t } = useTranslation("signing");
  const signed = outcomes.filter((one) => one.state === "signed").length;
  return (
    <Card title={t("result")}>
      <div className="stack-tight" aria-live="polite">
        <p>
          <strong>
            {signed === outcomes.length
              ? t("allSigned")
              : t("someFailed", { signed, failed: outcomes.length - signed })}
          </strong>
        </p>
        {outcomes.some((one) => one.state === "not tried") ? <p>{t("stopped")}</p> : null}
        <ul className={styles["outcome"]}>
          {outcomes.map((one) => (
            <li key={one.key} data-state={one.state}>
              {one.state === "signed" ? <CircleCheck aria-hidden /> : <OctagonX aria-hidden />}
              <div>
                {t(WORDS[one.state], { what: one.what, horse: one.horse })}
                {one.error === undefined ? null : <ErrorState error={one.error} />}
              </div>
            </li>
          ))}
        </ul>
      </div>
    </Card>
  );
};

const Orders = ({ orders }: { readonly orders: Drafts["orders"] }) => {
  const { t } = useTranslation(["signing", "common"]);
  return (
    <Card title={t("orders")}>
      <div className="stack-tight">
        <p className="quiet">{t("ordersLead")}</p>
        <ul className="stack-tight">
          {orders.map(({ order, horse, yard }) => (
            <li key={order.id}>
              <strong>{horse.name}</strong>, {yard}:{" "}
              {t("order", {
                kind: t(`kinds.${order.kind}`),
                foot: t(`common:foot.${order.foot}`),
              })}
              . {order.reason}{" "}
              <Link href={`/cases/${order.caseId}/procedures`}>{t("toOrder")}</Link>
            </li>
          ))}
        </ul>
      </div>
    </Card>
  );
};

const SigningDesk = ({ drafts }: { readonly drafts: Drafts }) => {
  const { t } = useTranslation("signing");
  const client = useQueryClient();
  const [read, setRead] = useState<Read>({});
  const [progress, setProgress] = useState<{ readonly done: number; readonly all: number }>();
  const [outcomes, setOutcomes] = useState<readonly Outcome[]>([]);
  const toSign = [
    ...planSignatures(drafts, read, (number) => t("plan", { number })),
    ...courseSignatures(drafts, read),
  ];
  const count = toSign.length;
  const keep = (key: string) => (next: ReadBack) =>
    setRead((before) => ({ ...before, [key]: next }));
  const sign = async () => {
    setOutcomes([]);
    setProgress({ done: 0, all: count });
    const found = await signInTurn(
      toSign,
      (error) => error instanceof ProblemError && error.slug === "reauthentication-required",
      (done) => setProgress({ done, all: count }),
    );
    setProgress(undefined);
    setOutcomes(found);
    await client.invalidateQueries();
  };
  const isEmpty = drafts.plans.length + drafts.courses.length === 0;
  return (
    <div className="stack">
      {outcomes.length === 0 ? null : <Result outcomes={outcomes} />}
      {isEmpty ? (
        <EmptyState icon={<PenLine aria-hidden />} title={t("emptyTitle")}>
          {t("emptyText")}
        </EmptyState>
      ) : (
        <p className="quiet">{t("explain")}</p>
      )}
      {drafts.plans.map((draft) => (
        <PlanToSign
          key={keyOf(draft.plan)}
          draft={draft}
          read={read[keyOf(draft.plan)] ?? UNREAD}
          onRead={keep(keyOf(draft.plan))}
        />
      ))}
      {drafts.courses.map((draft) => (
        <CourseToSign
          key={keyOf(draft.course)}
          draft={draft}
          read={read[keyOf(draft.course)] ?? UNREAD}
          onRead={keep(keyOf(draft.course))}
        />
      ))}
      {drafts.orders.length === 0 ? null : <Orders orders={drafts.orders} />}
      {isEmpty ? null : (
        <div className={styles["foot"]}>
          <p className="small" aria-live="polite">
            {progress === undefined
              ? `${t("confirmed", { count })}. ${t("meaning")}`
              : t("signing", progress)}
          </p>
          <Button
            look="primary"
            icon={<PenLine aria-hidden />}
            disabled={count === 0}
            isBusy={progress !== undefined}
            onClick={() => void sign()}
          >
            {t("sign", { count })}
          </Button>
        </div>
      )}
    </div>
  );
};

/** Drafts in full, confirmed one by one, signed with one confirmation, each a record of its own. */
export const SigningPage = () => {
  const { t } = useTranslation("signing");
  const drafts = useDrafts();
  return (
    <>
      <PageHeader
        title={t("title")}
        lead={
          drafts.data === undefined
            ? undefined
            : t("lead", { count: drafts.data.plans.length + drafts.data.courses.length })
        }
      />
      <QueryView query={drafts} lines={10}>
        {(data) => <SigningDesk drafts={data} />}
      </QueryView>
    </>
  );
};
