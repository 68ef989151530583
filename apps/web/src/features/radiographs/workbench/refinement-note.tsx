import { Undo2 } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Button } from "../../../components/button.tsx";
import { useFormat } from "../../../language/format.ts";
import type { Refinement } from "./machine/refine.ts";

/** What the edge search moved and by how much, what it left alone and why; with the way back. */
export const RefinementNote = ({
  refinement,
  labels,
  onUndo,
}: {
  readonly refinement: Refinement;
  readonly labels: ReadonlyMap<string, string>;
  readonly onUndo: () => void;
}) => {
  const { t } = useTranslation("radiographs");
  const format = useFormat();
  return (
    <output className="stack-tight">
      <strong>
        {refinement.moves.length === 0
          ? t("nothingMoved")
          : t("movedCount", { count: refinement.moves.length })}
      </strong>
      {refinement.moves.length === 0 ? null : (
        <>
          <ul className="small">
            {refinement.moves.map((move) => (
              <li key={move.key}>
                {t("movedBy", {
                  name: labels.get(move.key) ?? move.key,
                  px: format.number(
                    Math.hypot(move.to.x - move.from.x, move.to.y - move.from.y),
                    2,
                  ),
                })}
              </li>
            ))}
          </ul>
          <p className="quiet small">{t("lookAgain")}</p>
          <div>
            <Button icon={<Undo2 aria-hidden />} onClick={onUndo}>
              {t("undoEdges")}
            </Button>
          </div>
        </>
      )}
      {refinement.unmoved.length === 0 ? null : (
        <ul className="quiet small">
          {refinement.unmoved.map((one) => (
            <li key={one.id}>
              {t(`edges.${one.id}`)}: {t(`unmoved.${one.reason}`)}
            </li>
          ))}
        </ul>
      )}
    </output>
  );
};
