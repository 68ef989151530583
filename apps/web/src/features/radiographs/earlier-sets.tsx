import type { LandmarkSetView } from "@heelward/contracts";
import { Eye, EyeOff, PencilLine } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Findings } from "../../components/findings.tsx";
import { useFormat } from "../../language/format.ts";

/** Every reading of a film: who, when, what the checks said; shown faintly or taken as a start. */
export const EarlierSets = ({
  sets,
  shownId,
  onShow,
  onStart,
}: {
  readonly sets: readonly LandmarkSetView[];
  readonly shownId: string | undefined;
  readonly onShow: (id: string | undefined) => void;
  readonly onStart: ((set: LandmarkSetView) => void) | undefined;
}) => {
  const { t } = useTranslation("radiographs");
  const format = useFormat();
  return (
    <Card title={t("sets")}>
      {sets.length === 0 ? (
        <p className="quiet">{t("noSets")}</p>
      ) : (
        <ol reversed className="stack">
          {sets.map((set) => (
            <li key={set.id} value={set.number}>
              <div className="stack-tight">
                <div>
                  {t("setBy", { name: set.placedBy.name, when: format.dateTime(set.placedAt) })}
                  {set.note === null ? null : <p className="quiet small">{set.note}</p>}
                </div>
                <div className="row">
                  <Button
                    look="quiet"
                    icon={shownId === set.id ? <EyeOff aria-hidden /> : <Eye aria-hidden />}
                    aria-pressed={shownId === set.id}
                    onClick={() => onShow(shownId === set.id ? undefined : set.id)}
                  >
                    {shownId === set.id ? t("hideSet") : t("showSet")}
                  </Button>
                  {onStart === undefined ? null : (
                    <Button
                      look="quiet"
                      icon={<PencilLine aria-hidden />}
                      onClick={() => onStart(set)}
                    >
                      {t("startFromSet")}
                    </Button>
                  )}
                </div>
                <Findings findings={set.findings} hidePasses />
              </div>
            </li>
          ))}
        </ol>
      )}
    </Card>
  );
};
