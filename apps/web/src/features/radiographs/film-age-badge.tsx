import type { RadiographView } from "@heelward/contracts";
import { FileClock } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Badge } from "../../components/badges.tsx";

const TONES = { amber: "today", red: "now" } as const;

/** Says when the foot may have outgrown its film; nothing while the film is fresh. */
export const FilmAgeBadge = ({ film }: { readonly film: RadiographView }) => {
  const { t } = useTranslation("radiographs");
  if (film.ageState === "fresh") return null;
  return (
    <Badge tone={TONES[film.ageState]} icon={<FileClock aria-hidden />}>
      {t(`stale.${film.ageState}`, { count: film.ageDays })}
    </Badge>
  );
};
