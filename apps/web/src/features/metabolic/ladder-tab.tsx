import type { Horse, MovementLadderView } from "@heelward/contracts";
import { ArrowDown, ArrowUp, CircleCheck, CircleX, Footprints, TriangleAlert } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { classNames } from "../../components/class-names.ts";
import { SourceNote } from "../../components/findings.tsx";
import { lazyPart } from "../../components/lazy-part.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { useLadder } from "./queries.ts";
import styles from "./metabolic.module.css";

const StartLadderDialog = lazyPart(() =>
  import("./ladder-dialogs.tsx").then((m) => m.StartLadderDialog),
);
const MoveDialog = lazyPart(() => import("./ladder-dialogs.tsx").then((m) => m.MoveDialog));

const Actions = ({ ladder }: { readonly ladder: MovementLadderView }) => {
  const { t } = useTranslation("recovery");
  const isVet = useIsRole("vet");
  const mayStepBack = useIsRole("vet", "carer");
  const [move, setMove] = useState<"up" | "back" | "end">();
  if (!mayStepBack) return null;
  return (
    <>
      {move === undefined ? null : (
        <MoveDialog ladder={ladder} move={move} onClose={() => setMove(undefined)} />
      )}
      {isVet ? (
        <Button
          look="primary"
          icon={<ArrowUp aria-hidden />}
          disabled={!ladder.mayMoveUp}
          onClick={() => setMove("up")}
        >
          {t("ladder.up")}
        </Button>
      ) : null}
      <Button look="danger" icon={<ArrowDown aria-hidden />} onClick={() => setMove("back")}>
        {t("ladder.back")}
      </Button>
      {isVet ? (
        <Button look="quiet" icon={<CircleX aria-hidden />} onClick={() => setMove("end")}>
          {t("ladder.end")}
        </Button>
      ) : null}
    </>
  );
};

const Stage = ({
  ladder,
  index,
}: {
  readonly ladder: MovementLadderView;
  readonly index: number;
}) => {
  const { t } = useTranslation("recovery");
  const format = useFormat();
  const stage = ladder.stages[index];
  if (stage === undefined) return null;
  const isNow = index === ladder.stageIndex;
  return (
    <li
      className={classNames(styles["stage"], isNow && styles["stageNow"])}
      aria-current={isNow ? "step" : undefined}
    >
      <div className="row">
        <strong>{stage.name}</strong>
        {isNow ? (
          <Badge tone="soon" icon={<Footprints aria-hidden />}>
            {t("ladder.now", { date: format.date(ladder.stageSince) })}
          </Badge>
        ) : index < ladder.stageIndex ? (
          <Badge tone="fine" icon={<CircleCheck aria-hidden />}>
            {t("ladder.done")}
          </Badge>
        ) : (
          <span className="quiet small">{t("ladder.atLeast", { count: stage.leastDays })}</span>
        )}
      </div>
      {isNow ? (
        <div className="stack-tight">
          <label>
            {t("ladder.counted", { counted: ladder.countedDays, needed: ladder.daysNeeded })}
            <progress
              className={styles["progress"]}
              value={Math.min(ladder.countedDays, ladder.daysNeeded)}
              max={ladder.daysNeeded}
            />
          </label>
          <div>
            <strong>{t("ladder.stopTitle")}</strong>
            <ul>
              {stage.stopRules.map((rule) => (
                <li key={rule}>{rule}</li>
              ))}
            </ul>
          </div>
        </div>
      ) : null}
    </li>
  );
};

const Moves = ({ ladder }: { readonly ladder: MovementLadderView }) => {
  const { t } = useTranslation("recovery");
  const format = useFormat();
  if (ladder.moves.length === 0) return null;
  return (
    <Card title={t("ladder.moves")}>
      <ul className={styles["plain"]}>
        {ladder.moves.toReversed().map((move) => (
          <li key={move.at}>
            <strong>{format.shortDateTime(move.at)}</strong>{" "}
            {t(
              move.to > move.from
                ? "ladder.movedUp"
                : move.to < move.from
                  ? "ladder.movedBack"
                  : "ladder.stayed",
              { stage: ladder.stages[move.to]?.name ?? "" },
            )}
            : {move.reason} <span className="quiet">({move.by.name})</span>
          </li>
        ))}
      </ul>
    </Card>
  );
};

/** The live ladder: where the horse stands, which days count, and what sends it back. */
export const LadderTab = ({
  horseId,
  horse,
}: {
  readonly horseId: string;
  /** Left out for those who only read. */
  readonly horse?: Horse;
}) => {
  const { t } = useTranslation("recovery");
  const ladder = useLadder(horseId);
  const isVet = useIsRole("vet");
  const [isOpen, setOpen] = useState(false);
  return (
    <QueryView query={ladder} lines={6}>
      {(data) =>
        data === null ? (
          <>
            {isOpen && horse !== undefined ? (
              <StartLadderDialog horse={horse} onClose={() => setOpen(false)} />
            ) : null}
            <EmptyState
              icon={<Footprints aria-hidden />}
              title={t("ladder.none")}
              {...(isVet && horse !== undefined && horse.openCaseId !== null
                ? {
                    action: (
                      <Button look="primary" onClick={() => setOpen(true)}>
                        {t("ladder.start")}
                      </Button>
                    ),
                  }
                : {})}
            >
              {t("ladder.noneText")}
            </EmptyState>
          </>
        ) : (
          <div className="stack">
            <Card title={t("ladder.title")} actions={<Actions ladder={data} />}>
              <div className="stack">
                {data.painFlag === null ? null : (
                  <p className={styles["pain"]}>
                    <TriangleAlert aria-hidden />
                    <span>
                      {data.painFlag} {t("ladder.noUp")}
                    </span>
                  </p>
                )}
                <p className="quiet">{t("ladder.lead", { count: data.tailDays })}</p>
                <ol className={styles["stages"]}>
                  {data.stages.map((stage, index) => (
                    <Stage key={stage.name} ladder={data} index={index} />
                  ))}
                </ol>
                <SourceNote source={data.source} />
              </div>
            </Card>
            <Moves ladder={data} />
          </div>
        )
      }
    </QueryView>
  );
};
