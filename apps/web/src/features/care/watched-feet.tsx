import type { LimbWatch } from "@heelward/contracts";
import {
  DIGITAL_PULSES,
  type DigitalPulse,
  HOOF_HEATS,
  type HoofHeat,
} from "@heelward/domain/examination";
import { CircleCheck, Clock, Hand, PhoneCall, TriangleAlert } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { ChoiceField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { Term } from "../../components/term.tsx";
import { useDraft } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import { telHref } from "../../parts/tel-href.ts";
import { useOpenWatches } from "./queries.ts";
import styles from "./care.module.css";

type Stance = "usual" | "rests";
const firstDraft = {
  pulse: "" as DigitalPulse | "",
  heat: "" as HoofHeat | "",
  stance: "" as Stance | "",
};

const RingNow = ({ phone }: { readonly phone: string | null }) => {
  const { t } = useTranslation("watches");
  return (
    <section className={styles["red"]} role="alert">
      <p>{t("restsCaution")}</p>
      {phone === null ? null : (
        <a className={styles["redRing"]} href={telHref(phone)}>
          <PhoneCall aria-hidden />
          {phone}
        </a>
      )}
    </section>
  );
};

/** Three things to feel and see on one foot. Kept as a yard check, so that a red flag reaches the vet. */
const TickDialog = ({
  watch,
  phone,
  onClose,
  onSaved,
}: {
  readonly watch: LimbWatch;
  readonly phone: string | null;
  readonly onClose: () => void;
  readonly onSaved: () => void;
}) => {
  const { t } = useTranslation(["watches", "examinations", "common"]);
  const check = useWrite("checkHorse");
  const [{ pulse, heat, stance }, set] = useDraft(firstDraft);
  const isComplete = pulse !== "" && heat !== "" && stance !== "";
  return (
    <Dialog
      title={t("tickTitle", {
        horse: watch.horseName,
        foot: t(`common:foot.${watch.watchedFoot}`),
      })}
      isOpen
      onClose={onClose}
    >
      <Form
        problem={check.error}
        onSubmit={() =>
          isComplete
            ? check.mutate(
                {
                  params: { horseId: watch.horseId },
                  body: {
                    digitalPulses: { [watch.watchedFoot]: pulse },
                    hoofHeat: { [watch.watchedFoot]: heat },
                    signs: stance === "rests" ? ["supportLimbSuddenlyRested"] : [],
                    examinedAt: new Date().toISOString(),
                  },
                },
                { onSuccess: onSaved },
              )
            : undefined
        }
        footer={
          <Button
            look="primary"
            size="large"
            type="submit"
            disabled={!isComplete}
            isBusy={check.isPending}
          >
            {t("saveTick")}
          </Button>
        }
      >
        <p>{t("tickHint")}</p>
        <p className="row">
          <Term word="footPulse" />
          <Term word="supportLimb" />
        </p>
        <ChoiceField
          label={t("pulse")}
          name={`digitalPulses/${watch.watchedFoot}`}
          value={pulse}
          onChange={set("pulse")}
          options={DIGITAL_PULSES.map((one) => ({
            value: one,
            label: t(`examinations:pulses.${one}`),
          }))}
        />
        <ChoiceField
          label={t("heat")}
          name={`hoofHeat/${watch.watchedFoot}`}
          value={heat}
          onChange={set("heat")}
          options={HOOF_HEATS.map((one) => ({ value: one, label: t(`examinations:heats.${one}`) }))}
        />
        <ChoiceField
          label={t("stance")}
          value={stance}
          onChange={set("stance")}
          options={(["usual", "rests"] as const).map((value) => ({
            value,
            label: t(`stances.${value}`),
          }))}
        />
        {stance === "rests" ? <RingNow phone={phone} /> : null}
      </Form>
    </Dialog>
  );
};

/** Feet under watch: what is still to check today, one press each. */
export const WatchedFeet = ({
  yardId,
  phone,
}: {
  readonly yardId: string;
  readonly phone: string | null;
}) => {
  const { t } = useTranslation(["watches", "common"]);
  const format = useFormat();
  const mayCheck = useIsRole("carer", "vet");
  const watches = useOpenWatches(yardId);
  const [ticking, setTicking] = useState<LimbWatch>();
  const [saved, setSaved] = useState<string>();
  const items = watches.data?.items ?? [];
  if (items.length === 0) return null;
  return (
    <section className="stack-tight" aria-label={t("under")}>
      <h2>{t("under")}</h2>
      <output>{saved === undefined ? null : t("saved", { horse: saved })}</output>
      <ul className={styles["checks"]}>
        {items.map((watch) => (
          <li key={watch.id} className={styles["check"]}>
            <div className="stack-tight">
              <div className="row">
                <span className={styles["horse"]}>
                  {t("footOf", {
                    horse: watch.horseName,
                    foot: t(`common:foot.${watch.watchedFoot}`),
                  })}
                </span>
                {watch.dueToday > 0 ? (
                  <Badge tone="today" icon={<Clock aria-hidden />}>
                    {t("due", { count: watch.dueToday })}
                  </Badge>
                ) : (
                  <Badge tone="fine" icon={<CircleCheck aria-hidden />}>
                    {t("done")}
                  </Badge>
                )}
                {watch.missedYesterday === 0 ? null : (
                  <Badge tone="now" icon={<TriangleAlert aria-hidden />}>
                    {t("missed", { count: watch.missedYesterday })}
                  </Badge>
                )}
              </div>
              <p className="quiet">
                {t(`because.${watch.cause}`, { foot: t(`common:foot.${watch.hurtLimb}`) })}{" "}
                {watch.lastCheckAt === null
                  ? t("never")
                  : t("last", { when: format.relative(watch.lastCheckAt) })}
              </p>
            </div>
            {mayCheck ? (
              <div className={`${styles["checkActions"] ?? ""} no-print`}>
                <Button
                  look={watch.dueToday > 0 ? "primary" : "plain"}
                  size="large"
                  icon={<Hand aria-hidden />}
                  onClick={() => {
                    setSaved(undefined);
                    setTicking(watch);
                  }}
                >
                  {t("tick")}
                </Button>
              </div>
            ) : null}
          </li>
        ))}
      </ul>
      {ticking === undefined ? null : (
        <TickDialog
          watch={ticking}
          phone={phone}
          onClose={() => setTicking(undefined)}
          onSaved={() => {
            setSaved(ticking.horseName);
            setTicking(undefined);
          }}
        />
      )}
    </section>
  );
};
