import { ClipboardPen, FileText, FolderOpen } from "lucide-react";
import type { RouteDay } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { ButtonLink } from "../components/button.tsx";

type StopHorse = RouteDay["stops"][number]["horses"][number];

/** What a farrier opens for a horse of the day: its plan, the record of the work, its case. */
export const HorseActions = ({
  horse,
  size,
}: {
  readonly horse: StopHorse;
  readonly size: "usual" | "large";
}) => {
  const { t } = useTranslation("routes");
  return (
    <>
      {horse.prescriptionId === null ? null : (
        <ButtonLink
          href={`/prescriptions/${horse.prescriptionId}`}
          size={size}
          icon={<FileText aria-hidden />}
        >
          {t("plan")}
          <span className="only-read"> {t("planOf", { horse: horse.name })}</span>
        </ButtonLink>
      )}
      <ButtonLink
        href={`/shoeing/${horse.id}`}
        look="primary"
        size={size}
        icon={<ClipboardPen aria-hidden />}
      >
        {t("record")}
        <span className="only-read"> {t("recordOf", { horse: horse.name })}</span>
      </ButtonLink>
      {horse.caseId === null ? null : (
        <ButtonLink href={`/cases/${horse.caseId}`} size={size} icon={<FolderOpen aria-hidden />}>
          {t("caseFile")}
          <span className="only-read"> {t("caseOf", { horse: horse.name })}</span>
        </ButtonLink>
      )}
    </>
  );
};
