import type { CourseView } from "@heelward/contracts";
import { ArrowRight } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { NumberField, TextArea } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { ErrorState } from "../../components/states.tsx";
import { typedNumber } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import { Verdict } from "./check-panel.tsx";
import { useShiftCheck } from "./queries.ts";
import { useRested } from "./use-rested.ts";
import styles from "./medication.module.css";

/** After a late dose: the next one and all after it come later, checked before it is signed. */
export const ShiftDialog = ({
  course,
  onClose,
}: {
  readonly course: CourseView;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["medication", "common"]);
  const format = useFormat(course.timeZone);
  const shift = useWrite("shiftCourse");
  const [typed, setTyped] = useState<string>();
  const [reason, setReason] = useState("");
  const asked = useRested(typed);
  const check = useShiftCheck(course.id, asked === undefined ? undefined : typedNumber(asked));
  const minutes = typed ?? (check.data === undefined ? "" : String(check.data.byMinutes));
  const byMinutes = typedNumber(minutes);
  return (
    <Dialog title={t("shift.title", { drug: course.drugName })} isOpen isWide onClose={onClose}>
      <Form
        problem={shift.error}
        onSubmit={() => {
          if (byMinutes === undefined) return;
          shift.mutate(
            {
              params: { courseId: course.id },
              ifMatch: course.version,
              body: { byMinutes, reason },
            },
            { onSuccess: onClose },
          );
        }}
        footer={
          <>
            <Button
              type="submit"
              look="primary"
              isBusy={shift.isPending}
              disabled={check.data?.allowed !== true || check.data.byMinutes !== byMinutes}
            >
              {t("shift.sign")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <p>{t("shift.means")}</p>
        <NumberField
          label={t("shift.minutes")}
          name="byMinutes"
          unit="min"
          hint={
            check.data === undefined || check.data.offeredMinutes === 0
              ? t("shift.onTime")
              : t("shift.offered", { count: check.data.offeredMinutes })
          }
          value={minutes}
          onChange={setTyped}
        />
        {check.error === null ? null : <ErrorState error={check.error} />}
        {check.data === undefined ? null : (
          <>
            <ul className={styles["shifted"]}>
              {check.data.before.map((before, index) => (
                <li key={before}>
                  <span className="quiet">{format.shortDateTime(before)}</span>
                  <ArrowRight aria-label={t("shift.becomes")} />
                  <strong>{format.shortDateTime(check.data.after[index] ?? before)}</strong>
                </li>
              ))}
            </ul>
            <Verdict findings={check.data.findings} />
          </>
        )}
        <TextArea
          label={t("holdReason")}
          name="reason"
          rows={2}
          value={reason}
          onChange={setReason}
        />
      </Form>
    </Dialog>
  );
};
