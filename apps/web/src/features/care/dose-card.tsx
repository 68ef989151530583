import type { CareDay } from "@heelward/contracts";
import { Check, PhoneCall } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useCurrent, useIsRole } from "../../app/current-session.tsx";
import { Button } from "../../components/button.tsx";
import { classNames } from "../../components/class-names.ts";
import { Link } from "../../components/link.tsx";
import { useFormat } from "../../language/format.ts";
import { DoseState } from "./dose-state.tsx";
import { RecordDialog, type Outcome } from "./record-dialog.tsx";
import { telHref } from "../../parts/tel-href.ts";
import styles from "./care.module.css";

export type Dose = CareDay["doses"][number];

const OPEN: readonly Dose["state"][] = ["due", "late", "later"];
const STOPPED: readonly Dose["state"][] = ["held", "needs vet"];

/** True while something must still be written down for a dose. */
export const isToDo = (dose: Dose): boolean => dose.state === "due" || dose.state === "late";

/** True while a dose must not be given before a vet says so. */
export const isStopped = (dose: Dose): boolean => STOPPED.includes(dose.state);

/** One dose: the horse, the amount as the yard measures it, and what happened, in one tap. */
export const DoseCard = ({
  dose,
  phone,
}: {
  readonly dose: Dose;
  readonly phone: string | null;
}) => {
  const { t } = useTranslation("care");
  const format = useFormat();
  const { session } = useCurrent();
  const mayRecord = useIsRole("carer", "vet");
  const record = useWrite("recordDose");
  const [asked, setAsked] = useState<Outcome>();
  const mustWait = isStopped(dose);
  const number = phone ?? session.practice.phone;
  // A dose at its time is one tap; any other asks when it was.
  const give = () =>
    dose.state === "due"
      ? record.mutate(
          {
            params: { courseId: dose.courseId },
            body: {
              scheduledAt: dose.scheduledAt,
              givenAt: new Date().toISOString(),
              outcome: "given",
            },
          },
          // A refused tick is shown where it can be answered: it may be inside the horse already.
          { onError: () => setAsked("given") },
        )
      : setAsked("given");
  return (
    <li
      className={classNames(
        styles["dose"],
        isToDo(dose) && styles["toDo"],
        mustWait && styles["stopped"],
      )}
    >
      {asked === undefined ? null : (
        <RecordDialog
          dose={dose}
          outcome={asked}
          refusal={asked === "given" ? record.error : null}
          onClose={() => {
            record.reset();
            setAsked(undefined);
          }}
        />
      )}
      <div className={styles["doseHead"]}>
        <time className={styles["time"]} dateTime={dose.scheduledAt}>
          {format.time(dose.scheduledAt)}
        </time>
        <div>
          <Link href={`/medication/${dose.horse.id}?tab=doses`} className={styles["horse"]}>
            {dose.horse.name}
          </Link>
          <p className={styles["what"]}>
            <strong>{dose.measure}</strong> {dose.drugName},{" "}
            {t(`routes.${dose.route as "oral"}`, { defaultValue: dose.route })}
          </p>
        </div>
        <DoseState state={dose.state} />
      </div>
      {dose.detail === "" || dose.state === "due" || dose.state === "later" ? null : (
        <p className={mustWait ? styles["stopText"] : "quiet"}>
          {mustWait ? <strong>{t("doNotGive")} </strong> : null}
          {dose.detail}
        </p>
      )}
      {mustWait && number !== null ? (
        <a className={styles["ringSmall"]} href={telHref(number)}>
          <PhoneCall aria-hidden />
          {t("ring")}, {number}
        </a>
      ) : null}
      {mayRecord && OPEN.includes(dose.state) ? (
        <div className={`${styles["buttons"] ?? ""} no-print`}>
          <Button
            look={dose.state === "later" ? "plain" : "primary"}
            size="large"
            className={styles["give"]}
            icon={<Check aria-hidden />}
            isBusy={record.isPending}
            onClick={give}
          >
            {t("given")}
          </Button>
          {dose.state === "later"
            ? null
            : (["refused", "spat out", "not given"] as const).map((outcome) => (
                <Button
                  key={outcome}
                  size="large"
                  disabled={record.isPending}
                  onClick={() => setAsked(outcome)}
                >
                  {t(`states.${outcome}`)}
                </Button>
              ))}
        </div>
      ) : null}
    </li>
  );
};
