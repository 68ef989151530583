import { MailCheck, PenLine } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useSearchState } from "../../app/use-address.ts";
import { Button } from "../../components/button.tsx";
import { ChoiceField } from "../../components/field.tsx";
import { ListView } from "../../components/list-view.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState } from "../../components/states.tsx";
import { NoteCard } from "../../parts/note-card.tsx";
import { useNotes } from "./queries.ts";
import { lazyPart } from "../../components/lazy-part.tsx";

const WriteNoteDialog = lazyPart(() =>
  import("../../parts/write-note-dialog.tsx").then((m) => m.WriteNoteDialog),
);

const SHOWN = ["open", "acknowledged", "all"] as const;

export const HandoffsPage = () => {
  const { t } = useTranslation("handoffs");
  const { get, set } = useSearchState();
  const shown = SHOWN.find((one) => one === get("show")) ?? "open";
  const notes = useNotes(shown === "all" ? undefined : shown);
  const [isWriting, setWriting] = useState(false);
  return (
    <>
      <PageHeader
        title={t("title")}
        lead={t("lead")}
        actions={
          <Button look="primary" icon={<PenLine aria-hidden />} onClick={() => setWriting(true)}>
            {t("write")}
          </Button>
        }
      />
      {isWriting ? <WriteNoteDialog onClose={() => setWriting(false)} /> : null}
      <div className="stack">
        <ChoiceField
          label={<span className="only-read">{t("show")}</span>}
          value={shown}
          onChange={(next) => set({ show: next === "open" ? "" : next })}
          options={[
            { value: "open", label: t("open") },
            { value: "acknowledged", label: t("acknowledgedOnes") },
            { value: "all", label: t("all") },
          ]}
        />
        <ListView
          query={notes}
          empty={
            <EmptyState icon={<MailCheck aria-hidden />} title={t("none")}>
              {t("noneText")}
            </EmptyState>
          }
        >
          {(items) => (
            <div className="stack">
              {items.map((note) => (
                <NoteCard key={note.id} note={note} />
              ))}
            </div>
          )}
        </ListView>
      </div>
    </>
  );
};
