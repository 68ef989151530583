import type { Horse } from "@heelward/contracts";
import { Check, CircleCheckBig, TriangleAlert } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useGo } from "../../app/use-address.ts";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { ChoiceField, TextArea } from "../../components/field.tsx";
import { FEET } from "../../components/foot-diagram.tsx";
import { Form } from "../../components/form.tsx";
import { useFormat } from "../../language/format.ts";
import { nowIn } from "../../language/wall-clock.ts";
import { isKeptOnDevice } from "../../offline/kept-on-device.ts";
import { usePlannerFigures } from "../../parts/planner-figures.ts";
import {
  type AsDoneDraft,
  bodyOf,
  departuresOf,
  fillAsPlanned,
  lacking,
  type Plan,
  type Sore,
  startDraft,
  toggleFoot,
  withFoot,
} from "./as-done.ts";
import { FootDoneCard } from "./foot-done-card.tsx";
import { NextReset } from "./next-reset.tsx";
import { Photos } from "./photos.tsx";
import { useShoeingRecords } from "./queries.ts";
import styles from "./shoeing.module.css";
import { useKeptDraft } from "./use-kept-draft.ts";
import { VoiceNote } from "./voice-note.tsx";

const SORE: readonly Sore[] = ["0", "1", "2", "3", "4"];

const SoreChoice = ({
  label,
  name,
  value,
  onChange,
}: {
  readonly label: string;
  readonly name: string;
  readonly value: Sore;
  readonly onChange: (value: Sore) => void;
}) => {
  const { t } = useTranslation("shoeing");
  return (
    <ChoiceField
      label={label}
      name={name}
      isOptional
      value={value}
      onChange={onChange}
      options={SORE.map((one) => ({ value: one, label: t(`sore.${one as "0"}`) }))}
    />
  );
};

/** What was done, filled in beside the horse. */
export const AsDoneForm = ({
  horse,
  plan: signed,
}: {
  readonly horse: Horse;
  readonly plan: Plan | undefined;
}) => {
  const { t } = useTranslation(["shoeing", "common"]);
  const format = useFormat(horse.yard.timeZone);
  const go = useGo();
  const record = useWrite("recordShoeing");
  const tolerances = usePlannerFigures()?.tolerances;
  const plan =
    signed === undefined || tolerances === undefined ? signed : { ...signed, tolerances };
  const { draft, setDraft, forget } = useKeptDraft(horse.id, plan?.id, () => startDraft(plan));
  const set = (change: Partial<AsDoneDraft>) => setDraft({ ...draft, ...change });
  const departures = departuresOf(draft, plan);
  const lacks = lacking(draft, plan);
  const records = useShoeingRecords(horse.id);
  const send = () =>
    record.mutate(
      {
        params: { horseId: horse.id },
        body: bodyOf(
          draft,
          plan,
          nowIn(horse.yard.timeZone),
          records.data === undefined ? undefined : (records.data.items[0]?.id ?? null),
        ),
      },
      {
        onSuccess: (done) => {
          forget();
          go(isKeptOnDevice(done) ? "/day?kept=yes" : `/shoeing/${horse.id}/records/${done.id}`);
        },
      },
    );
  return (
    <Form
      problem={record.error}
      onSubmit={send}
      footer={
        <div className="stack">
          <Button
            look="primary"
            size="large"
            isWide
            type="submit"
            icon={<CircleCheckBig aria-hidden />}
            isBusy={record.isPending}
            disabled={lacks.length > 0}
          >
            {t("send")}
          </Button>
          {lacks.length === 0 ? null : (
            <output className="quiet small">
              {t("lack", { items: format.list(lacks.map((one) => t(`lacks.${one}`))) })}
            </output>
          )}
          <p className="quiet small">{t("kept")}</p>
        </div>
      }
    >
      {plan === undefined ? (
        <Card>
          <p>{t("noPlan")}</p>
          <div className="row">
            {FEET.map((foot) => (
              <Button
                key={foot}
                aria-pressed={draft.feet.some((one) => one.foot === foot)}
                icon={
                  draft.feet.some((one) => one.foot === foot) ? <Check aria-hidden /> : undefined
                }
                onClick={() => setDraft(toggleFoot(draft, foot))}
              >
                {t(`common:foot.${foot}`)}
              </Button>
            ))}
          </div>
        </Card>
      ) : (
        <button
          type="button"
          className={styles["asPlanned"]}
          aria-pressed={draft.asPlanned && departures.length === 0}
          onClick={() => setDraft(fillAsPlanned(draft, plan))}
        >
          <CircleCheckBig aria-hidden />
          <span>
            <strong>{t("asPlanned")}</strong>
            <small>{t("asPlannedHint")}</small>
          </span>
        </button>
      )}
      <div className={styles["feet"]}>
        {draft.feet.map((foot, index) => (
          <FootDoneCard
            key={`${foot.foot}${String(draft.asPlanned)}`}
            foot={foot}
            index={index}
            plan={plan?.feet.find((one) => one.foot === foot.foot)}
            onChange={(next) => setDraft(withFoot(draft, next))}
          />
        ))}
      </div>
      {departures.length === 0 ? null : (
        <Card title={t("departures")}>
          <div className="stack">
            <ul className={styles["departures"]}>
              {departures.map((one) => (
                <li key={one}>
                  <TriangleAlert aria-hidden /> {one}
                </li>
              ))}
            </ul>
            <TextArea
              label={t("departuresWhy")}
              name="departures"
              required
              maxLength={2000}
              value={draft.departures}
              onChange={(text) => set({ departures: text })}
            />
          </div>
        </Card>
      )}
      <Card title={t("comfort")}>
        <div className="stack">
          <SoreChoice
            label={t("before")}
            name="comfortBefore"
            value={draft.soreBefore}
            onChange={(soreBefore) => set({ soreBefore })}
          />
          <SoreChoice
            label={t("after")}
            name="comfortAfter"
            value={draft.soreAfter}
            onChange={(soreAfter) => set({ soreAfter })}
          />
          {draft.soreBefore !== "" && draft.soreAfter > draft.soreBefore ? (
            <p className={styles["worse"]} role="alert">
              <TriangleAlert aria-hidden /> {t("worse")}
            </p>
          ) : null}
        </div>
      </Card>
      <Card title={t("photos")}>
        <Photos
          horseId={horse.id}
          feet={draft.feet.map((foot) => foot.foot)}
          shots={draft.shots}
          onShot={(shot) => setDraft((before) => ({ ...before, shots: [...before.shots, shot] }))}
        />
      </Card>
      <Card title={t("next")}>
        <NextReset
          draft={draft}
          intervalDays={plan?.intervalDays ?? horse.resetIntervalDays ?? 28}
          timeZone={horse.yard.timeZone}
          onChange={set}
        />
      </Card>
      <Card title={t("words")}>
        <div className="stack">
          <VoiceNote
            horseId={horse.id}
            ids={draft.voiceIds}
            onAdd={(id) =>
              setDraft((before) => ({ ...before, voiceIds: [...before.voiceIds, id] }))
            }
          />
          <TextArea
            label={t("notes")}
            name="notes"
            hint={t("notesHint")}
            isOptional
            maxLength={2000}
            value={draft.notes}
            onChange={(notes) => set({ notes })}
          />
          <TextArea
            label={t("noteToVet")}
            name="noteToVet"
            hint={t("noteToVetHint")}
            isOptional
            maxLength={400}
            value={draft.noteToVet}
            onChange={(noteToVet) => set({ noteToVet })}
          />
        </div>
      </Card>
    </Form>
  );
};
