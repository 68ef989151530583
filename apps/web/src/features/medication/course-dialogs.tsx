import type { CourseView } from "@heelward/contracts";
import { addDays } from "@heelward/domain/time";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { TextArea, TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { typedText } from "../../components/use-draft.ts";
import { todayIn, useFormat } from "../../language/format.ts";
import { Verdict } from "./check-panel.tsx";
import { ReasonFields, useReasons, warningsOf } from "./overrides.tsx";
import { RateTable } from "./plan-view.tsx";
import { planOf } from "./queries.ts";

interface Props {
  readonly course: CourseView;
  readonly onClose: () => void;
}

const Footer = ({
  label,
  isBusy,
  isDanger = false,
  isDisabled = false,
  onClose,
}: {
  readonly label: string;
  readonly isBusy: boolean;
  readonly isDanger?: boolean;
  readonly isDisabled?: boolean;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation();
  return (
    <>
      <Button
        type="submit"
        look={isDanger ? "danger" : "primary"}
        isBusy={isBusy}
        disabled={isDisabled}
      >
        {label}
      </Button>
      <Button look="quiet" onClick={onClose}>
        {t("cancel")}
      </Button>
    </>
  );
};

/** Reading back what is signed, a reason for each warning, the note to the yard. */
export const SignDialog = ({ course, onClose }: Props) => {
  const { t } = useTranslation("medication");
  const format = useFormat();
  const sign = useWrite("signCourse");
  const reasons = useReasons();
  const [note, setNote] = useState("");
  const warnings = warningsOf(course.findings);
  const plan = planOf(course.plan);
  const noteToYard = typedText(note);
  return (
    <Dialog
      title={t("signTitle", { drug: course.drugName, horse: course.horse.name })}
      isOpen
      isWide
      onClose={onClose}
    >
      <Form
        problem={sign.error}
        onSubmit={() =>
          sign.mutate(
            {
              params: { courseId: course.id },
              ifMatch: course.version,
              body: {
                overrides: reasons.overridesFor(warnings),
                ...(noteToYard === undefined ? {} : { noteToYard }),
              },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <Footer
            label={t("signButton")}
            isBusy={sign.isPending}
            isDisabled={reasons.overridesFor(warnings).length < warnings.length}
            onClose={onClose}
          />
        }
      >
        <h3>{t("signRead")}</h3>
        {plan === undefined ? null : <RateTable plan={plan} />}
        <Verdict findings={course.findings} />
        <ReasonFields findings={course.findings} reasons={reasons} />
        <TextArea
          label={t("noteToYard")}
          name="noteToYard"
          isOptional
          rows={2}
          value={note}
          onChange={setNote}
        />
        <p className="quiet">{t("signMeans", { date: format.date(course.startOn) })}</p>
      </Form>
    </Dialog>
  );
};

const ACTS = {
  hold: { operation: "holdCourse", title: "holdTitle", means: "holdMeans", label: "hold" },
  release: {
    operation: "releaseCourse",
    title: "releaseTitle",
    means: "releaseMeans",
    label: "release",
  },
  stop: { operation: "stopCourse", title: "stopTitle", means: "stopMeans", label: "stop" },
} as const;

/** Hold, release or stop, each with its reason. */
export const ReasonDialog = ({
  course,
  act,
  onClose,
}: Props & { readonly act: keyof typeof ACTS }) => {
  const { t } = useTranslation("medication");
  const { operation, title, means, label } = ACTS[act];
  const write = useWrite(operation);
  const [reason, setReason] = useState("");
  return (
    <Dialog title={t(title, { drug: course.drugName })} isOpen onClose={onClose}>
      <Form
        problem={write.error}
        onSubmit={() =>
          write.mutate(
            { params: { courseId: course.id }, ifMatch: course.version, body: { reason } },
            { onSuccess: onClose },
          )
        }
        footer={
          <Footer
            label={t(label)}
            isBusy={write.isPending}
            isDanger={act !== "release"}
            onClose={onClose}
          />
        }
      >
        <p>{t(means)}</p>
        <TextArea
          label={t("holdReason")}
          name="reason"
          rows={3}
          value={reason}
          onChange={setReason}
        />
      </Form>
    </Dialog>
  );
};

const REVIEW_DAYS = 14;

/** The vet looked again and carries on until the next review. */
export const ReviewDialog = ({ course, onClose }: Props) => {
  const { t } = useTranslation("medication");
  const review = useWrite("reviewCourse");
  const [reviewOn, setReviewOn] = useState(() => addDays(todayIn(course.timeZone), REVIEW_DAYS));
  const [reason, setReason] = useState("");
  return (
    <Dialog title={t("reviewTitle", { drug: course.drugName })} isOpen onClose={onClose}>
      <Form
        problem={review.error}
        onSubmit={() =>
          review.mutate(
            {
              params: { courseId: course.id },
              ifMatch: course.version,
              body: { reviewOn, reason },
            },
            { onSuccess: onClose },
          )
        }
        footer={<Footer label={t("reviewAction")} isBusy={review.isPending} onClose={onClose} />}
      >
        <p>{t("reviewMeans")}</p>
        <TextField
          label={t("nextReview")}
          name="reviewOn"
          type="date"
          value={reviewOn}
          onChange={setReviewOn}
        />
        <TextArea
          label={t("holdReason")}
          name="reason"
          rows={3}
          value={reason}
          onChange={setReason}
        />
      </Form>
    </Dialog>
  );
};
