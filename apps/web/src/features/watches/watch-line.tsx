import type { LimbWatch } from "@heelward/contracts";
import { CircleCheck, Clock, TriangleAlert } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { TextArea } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { typedText } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";

const EndDialog = ({
  watch,
  onClose,
}: {
  readonly watch: LimbWatch;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["watches", "common"]);
  const end = useWrite("endLimbWatch");
  const [text, setText] = useState("");
  const reason = typedText(text);
  return (
    <Dialog
      title={t("endTitle", { foot: t(`common:foot.${watch.watchedFoot}`) })}
      isOpen
      onClose={onClose}
    >
      <Form
        problem={end.error}
        onSubmit={() =>
          reason === undefined
            ? undefined
            : end.mutate(
                { params: { watchId: watch.id }, ifMatch: watch.version, body: { reason } },
                { onSuccess: onClose },
              )
        }
        footer={
          <Button
            look="primary"
            type="submit"
            disabled={reason === undefined}
            isBusy={end.isPending}
          >
            {t("end")}
          </Button>
        }
      >
        <TextArea
          label={t("endReason")}
          name="reason"
          maxLength={500}
          value={text}
          onChange={setText}
        />
      </Form>
    </Dialog>
  );
};

/** One watch: the foot, why, what is still to check today, and how it ended. */
export const WatchLine = ({ watch }: { readonly watch: LimbWatch }) => {
  const { t } = useTranslation(["watches", "common"]);
  const format = useFormat();
  const isVet = useIsRole("vet");
  const [isEnding, setEnding] = useState(false);
  const isOver = watch.endedAt !== null;
  return (
    <li className="spread">
      <div className="stack-tight">
        <div className="row">
          <strong>{t(`common:foot.${watch.watchedFoot}`)}</strong>
          {isOver ? null : watch.dueToday > 0 ? (
            <Badge tone="today" icon={<Clock aria-hidden />}>
              {t("due", { count: watch.dueToday })}
            </Badge>
          ) : (
            <Badge tone="fine" icon={<CircleCheck aria-hidden />}>
              {t("done")}
            </Badge>
          )}
          {isOver || watch.missedYesterday === 0 ? null : (
            <Badge tone="now" icon={<TriangleAlert aria-hidden />}>
              {t("missed", { count: watch.missedYesterday })}
            </Badge>
          )}
        </div>
        <p>{t(`because.${watch.cause}`, { foot: t(`common:foot.${watch.hurtLimb}`) })}</p>
        <p className="quiet small">
          {t("running", {
            when: format.shortDateTime(watch.startedAt),
            name: watch.startedBy.name,
          })}
          {". "}
          {watch.lastCheckAt === null
            ? t("never")
            : t("last", { when: format.relative(watch.lastCheckAt) })}
        </p>
        {watch.endedAt === null ? null : (
          <p>
            {t("ended", {
              when: format.shortDateTime(watch.endedAt),
              reason: watch.endReason ?? "",
            })}
          </p>
        )}
      </div>
      {isVet && !isOver ? <Button onClick={() => setEnding(true)}>{t("end")}</Button> : null}
      {isEnding ? <EndDialog watch={watch} onClose={() => setEnding(false)} /> : null}
    </li>
  );
};
