import type { DocumentView } from "@heelward/contracts";
import { FileText, ImagePlus } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../api/client.ts";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { EmptyState } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import styles from "./case-file.module.css";
import { lazyPart } from "../../components/lazy-part.tsx";

const AddDocumentDialog = lazyPart(() =>
  import("../../parts/add-document-dialog.tsx").then((m) => m.AddDocumentDialog),
);

const DocumentCard = ({ one }: { readonly one: DocumentView }) => {
  const { t } = useTranslation("cases");
  const format = useFormat();
  const address = addressOf("readDocumentContent", { params: { documentId: one.id } });
  const name = one.caption ?? one.fileName;
  return (
    <li className="stack-tight">
      <a href={address} target="_blank" rel="noreferrer" aria-label={`${t("download")}: ${name}`}>
        {one.mediaType.startsWith("image/") ? (
          <img src={address} alt={name} loading="lazy" />
        ) : (
          <span className={styles["paper"]}>
            <FileText aria-hidden />
          </span>
        )}
      </a>
      <div>
        {name}
        <div className="quiet small">
          {format.day(one.takenAt)} · {one.addedBy.name}
        </div>
        {one.forOwner ? <Badge tone="fine">{t("forOwner")}</Badge> : null}
      </div>
    </li>
  );
};

export const DocumentsTab = ({
  documents,
  horseId,
}: {
  readonly documents: readonly DocumentView[];
  readonly horseId: string;
}) => {
  const { t } = useTranslation("cases");
  const [isAdding, setAdding] = useState(false);
  return (
    <Card
      title={t("tab.documents")}
      actions={
        <Button icon={<ImagePlus aria-hidden />} onClick={() => setAdding(true)}>
          {t("addDocument")}
        </Button>
      }
    >
      {isAdding ? <AddDocumentDialog horseId={horseId} onClose={() => setAdding(false)} /> : null}
      {documents.length === 0 ? (
        <EmptyState icon={<ImagePlus aria-hidden />} title={t("noDocuments")} />
      ) : (
        <ul className={styles["shots"]}>
          {documents.map((one) => (
            <DocumentCard key={one.id} one={one} />
          ))}
        </ul>
      )}
    </Card>
  );
};
