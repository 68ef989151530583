import type { FindingView } from "@heelward/contracts";
import { Eye, PenLine } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../../api/client.ts";
import { ProblemError } from "../../../api/problem-error.ts";
import { useWrite } from "../../../api/use-call.ts";
import { Button } from "../../../components/button.tsx";
import { Dialog } from "../../../components/dialog.tsx";
import { CheckField, TextArea } from "../../../components/field.tsx";
import { Findings } from "../../../components/findings.tsx";
import { Form } from "../../../components/form.tsx";
import { typedText } from "../../../components/use-draft.ts";
import { useFormat } from "../../../language/format.ts";
import { useDeviceNames } from "../../../parts/planner-figures.ts";
import type { Prescription } from "../queries.ts";
import styles from "./editor.module.css";

const CEILING = "cycle/interval-ceiling@1";

/** Warnings that are answered in the vet's own words, each rule once. */
const toAnswer = (findings: readonly FindingView[]): readonly FindingView[] =>
  findings.filter(
    (one, index) =>
      one.outcome === "warn" &&
      one.rule !== CEILING &&
      findings.findIndex((other) => other.rule === one.rule && other.outcome === "warn") === index,
  );

const FilmsOpened = ({
  plan,
  opened,
  onOpen,
}: {
  readonly plan: Prescription;
  readonly opened: readonly string[];
  readonly onOpen: (id: string) => void;
}) => {
  const { t } = useTranslation("prescriptions");
  const [shown, setShown] = useState<string>();
  const src = (id: string) => addressOf("readFilmPreview", { params: { radiographId: id } });
  return (
    <div className="stack-tight">
      <p>{t("sign.openFilms")}</p>
      <div className={styles["films"]}>
        {plan.radiographIds.map((id, index) => (
          <button
            key={id}
            type="button"
            aria-pressed={opened.includes(id)}
            onClick={() => {
              setShown(shown === id ? undefined : id);
              onOpen(id);
            }}
          >
            <img src={src(id)} alt="" />
            <span>
              <Eye aria-hidden width="1em" /> {t("sign.film", { number: index + 1 })}
              {opened.includes(id) ? ` · ${t("sign.seen")}` : ""}
            </span>
          </button>
        ))}
      </div>
      {shown === undefined ? null : (
        <div className={styles["large"]}>
          <img src={src(shown)} alt={t("sign.filmLarge")} />
        </div>
      )}
    </div>
  );
};

/** Films seen, targets read back, warnings answered, then signed with the password. */
export const SignDialog = ({
  plan,
  onClose,
}: {
  readonly plan: Prescription;
  readonly onClose: () => void;
}) => {
  const device = useDeviceNames();
  const { t } = useTranslation(["prescriptions", "common"]);
  const format = useFormat();
  const sign = useWrite("signPrescription");
  const [opened, setOpened] = useState<readonly string[]>([]);
  const [confirmed, setConfirmed] = useState<readonly string[]>([]);
  const [reasons, setReasons] = useState<Readonly<Record<string, string>>>({});
  const [longer, setLonger] = useState("");
  const [note, setNote] = useState("");
  const told = sign.error instanceof ProblemError ? sign.error.findings : [];
  const findings = told.length > 0 ? told : plan.findings;
  const warnings = toAnswer(findings);
  const blocks = findings.filter((one) => one.outcome === "block" && one.rule !== CEILING);
  const isLonger = findings.some((one) => one.rule === CEILING && one.outcome !== "pass");
  const filmOpened = plan.radiographIds.every((id) => opened.includes(id));
  const isRead = plan.feet.every((foot) => confirmed.includes(foot.foot));
  const isAnswered =
    warnings.every((one) => typedText(reasons[one.rule] ?? "") !== undefined) &&
    (!isLonger || typedText(longer) !== undefined);
  const send = () => {
    const words = typedText(note);
    const why = typedText(longer);
    sign.mutate(
      {
        params: { prescriptionId: plan.id },
        ifMatch: plan.version,
        body: {
          readBack: { filmOpened, targetsConfirmed: true },
          overrides: warnings.map((one) => ({
            rule: one.rule,
            reason: (reasons[one.rule] ?? "").trim(),
          })),
          ...(isLonger && why !== undefined ? { longerIntervalReason: why } : {}),
          ...(words === undefined ? {} : { note: words }),
        },
      },
      { onSuccess: onClose },
    );
  };
  return (
    <Dialog title={t("sign.title", { horse: plan.horse.name })} isOpen isWide onClose={onClose}>
      <Form
        problem={sign.error}
        onSubmit={send}
        footer={
          <>
            <Button
              look="primary"
              type="submit"
              icon={<PenLine aria-hidden />}
              isBusy={sign.isPending}
              disabled={!filmOpened || !isRead || !isAnswered || blocks.length > 0}
            >
              {t("sign.action")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        {blocks.length === 0 ? null : (
          <>
            <p>
              <strong>{t("sign.blocked")}</strong>
            </p>
            <Findings findings={blocks} />
          </>
        )}
        {plan.radiographIds.length === 0 ? null : (
          <FilmsOpened
            plan={plan}
            opened={opened}
            onOpen={(id) => setOpened((before) => [...new Set([...before, id])])}
          />
        )}
        <p>{t("sign.readBack")}</p>
        <ul className={styles["readBack"]}>
          {plan.feet.map((foot) => (
            <li key={foot.foot}>
              <CheckField
                label={
                  <>
                    <strong>{t(`common:foot.${foot.foot}`)}</strong>:{" "}
                    {t("sign.targets", {
                      toe: format.number(foot.toeBackMm),
                      p3: format.number(foot.breakoverFromP3TipMm),
                      heel: format.number(foot.heelRemoveMm),
                      shoe: device.shoe(foot.shoe),
                      fill: device.fill(foot.supportFill),
                      wedge: format.number(foot.wedgeDegrees),
                    })}
                  </>
                }
                value={confirmed.includes(foot.foot)}
                onChange={(isOn) =>
                  setConfirmed(
                    isOn ? [...confirmed, foot.foot] : confirmed.filter((one) => one !== foot.foot),
                  )
                }
              />
            </li>
          ))}
        </ul>
        {warnings.length === 0 ? null : <p>{t("sign.warnings")}</p>}
        {warnings.map((one) => (
          <div key={one.rule} className="stack-tight">
            <Findings findings={[one]} />
            <TextArea
              label={t("sign.reason")}
              maxLength={1000}
              required
              value={reasons[one.rule] ?? ""}
              onChange={(text) => setReasons({ ...reasons, [one.rule]: text })}
            />
          </div>
        ))}
        {isLonger ? (
          <TextArea
            label={t("sign.longer")}
            name="longerIntervalReason"
            maxLength={1000}
            required
            value={longer}
            onChange={setLonger}
          />
        ) : null}
        <TextArea
          label={t("sign.note")}
          name="note"
          hint={t("sign.noteHint")}
          isOptional
          maxLength={400}
          value={note}
          onChange={setNote}
        />
        <p className="quiet small">{t("sign.meaning")}</p>
      </Form>
    </Dialog>
  );
};
