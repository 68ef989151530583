import type { LabResult } from "@heelward/contracts";
import { CircleCheck, FlaskConical } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { TextArea } from "../../components/field.tsx";
import { Findings } from "../../components/findings.tsx";
import { ErrorState } from "../../components/states.tsx";
import { typedText } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import styles from "./case-file.module.css";

/** A vet reads a result; only then, and only if the vet says so, does the owner see it. */
const ReadForm = ({ result }: { readonly result: LabResult }) => {
  const { t } = useTranslation("cases");
  const mark = useWrite("readLabResult");
  const [words, setWords] = useState("");
  const send = (release: boolean) => {
    const text = typedText(words);
    mark.mutate({
      params: { resultId: result.id },
      ifMatch: result.version,
      body: { release, ...(text && { words: text }) },
    });
  };
  return (
    <div className="stack-tight">
      <TextArea label={t("labWords")} isOptional value={words} onChange={setWords} />
      {mark.error === null ? null : <ErrorState error={mark.error} />}
      <div className="row">
        <Button look="primary" isBusy={mark.isPending} onClick={() => send(true)}>
          {t("releaseLab")}
        </Button>
        <Button isBusy={mark.isPending} onClick={() => send(false)}>
          {t("readLab")}
        </Button>
      </div>
    </div>
  );
};

const ResultBlock = ({ result }: { readonly result: LabResult }) => {
  const { t } = useTranslation("cases");
  const format = useFormat();
  const limits = [
    result.rangeLow !== null && result.rangeHigh !== null
      ? t("range", {
          low: format.number(result.rangeLow, 2),
          high: format.number(result.rangeHigh, 2),
        })
      : "",
    result.cutoff === null ? "" : t("cutoff", { value: format.number(result.cutoff, 2) }),
    result.assay ?? "",
    result.laboratory ?? "",
  ].filter((one) => one !== "");
  return (
    <article className={styles["block"]}>
      <div className="row">
        <strong>
          {result.test} {format.number(result.value, 2)} {result.unit}
        </strong>
        <span className="quiet small">{[format.date(result.takenOn), ...limits].join(" · ")}</span>
      </div>
      <div className="row">
        <Badge
          tone={result.readBy === null ? "today" : "fine"}
          icon={result.readBy === null ? <FlaskConical aria-hidden /> : <CircleCheck aria-hidden />}
        >
          {result.readBy === null ? t("labUnread") : t("labRead", { name: result.readBy.name })}
        </Badge>
        {result.releasedAt === null ? null : <Badge tone="fine">{t("labReleased")}</Badge>}
      </div>
      {result.reading === null ? null : <p>{result.reading}</p>}
      <Findings findings={result.findings} hidePasses />
      {result.readBy === null ? <ReadForm result={result} /> : null}
    </article>
  );
};

export const LabCard = ({ results }: { readonly results: readonly LabResult[] }) => {
  const { t } = useTranslation("cases");
  return (
    <Card title={t("lab")} isFlush>
      {results.length === 0 ? (
        <p className={`${styles["block"] ?? ""} quiet`}>{t("noLab")}</p>
      ) : (
        results.map((result) => <ResultBlock key={result.id} result={result} />)
      )}
    </Card>
  );
};
