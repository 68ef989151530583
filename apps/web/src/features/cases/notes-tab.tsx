import type { HandoffNote } from "@heelward/contracts";
import { MailCheck, PenLine } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { Button } from "../../components/button.tsx";
import type { Choice } from "../../components/picker.tsx";
import { EmptyState } from "../../components/states.tsx";
import { NoteCard } from "../../parts/note-card.tsx";
import { lazyPart } from "../../components/lazy-part.tsx";

const WriteNoteDialog = lazyPart(() =>
  import("../../parts/write-note-dialog.tsx").then((m) => m.WriteNoteDialog),
);

export const NotesTab = ({
  notes,
  horse,
}: {
  readonly notes: readonly HandoffNote[];
  readonly horse: Choice;
}) => {
  const { t } = useTranslation("cases");
  const [isWriting, setWriting] = useState(false);
  return (
    <div className="stack">
      <div className="row no-print">
        <Button look="primary" icon={<PenLine aria-hidden />} onClick={() => setWriting(true)}>
          {t("writeNote")}
        </Button>
      </div>
      {isWriting ? <WriteNoteDialog horse={horse} onClose={() => setWriting(false)} /> : null}
      {notes.length === 0 ? (
        <EmptyState icon={<MailCheck aria-hidden />} title={t("noNotes")} />
      ) : (
        notes.map((note) => <NoteCard key={note.id} note={note} showHorse={false} />)
      )}
    </div>
  );
};
