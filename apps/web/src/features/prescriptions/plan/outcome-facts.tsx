import type { FootPlanView } from "@heelward/contracts";
import type { Remaining, TrimInput, TrimOutcome } from "@heelward/domain/trim";
import { CircleCheck, TriangleAlert } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Badge } from "../../../components/badges.tsx";
import { Facts } from "../../../components/data-list.tsx";
import { useFormat } from "../../../language/format.ts";

/** What remains under a floor, tested at the lower end of its interval. */
const Left = ({ remaining }: { readonly remaining: Remaining }) => {
  const { t } = useTranslation("prescriptions");
  const format = useFormat();
  const isEnough = remaining.low95Mm >= remaining.floorMm;
  return (
    <span className="stack-tight">
      <span>
        {format.number(remaining.valueMm)} mm{" "}
        <span className="quiet small">
          {t("atLeast", { low: format.number(remaining.low95Mm) })}
        </span>
      </span>
      <span>
        <Badge
          tone={isEnough ? "fine" : "now"}
          icon={isEnough ? <CircleCheck aria-hidden /> : <TriangleAlert aria-hidden />}
        >
          {isEnough
            ? t("floorKept", { floor: format.number(remaining.floorMm) })
            : t("floorPassed", { floor: format.number(remaining.floorMm) })}
        </Badge>
      </span>
    </span>
  );
};

/** What follows from the plan at once: angle, sole, wall, lever and load. */
export const OutcomeFacts = ({
  input,
  plan,
  outcome,
}: {
  readonly input: TrimInput;
  readonly plan: FootPlanView;
  readonly outcome: TrimOutcome;
}) => {
  const { t } = useTranslation("prescriptions");
  const format = useFormat();
  const { after, lever, bearing, trim } = outcome;
  const band = plan.palmarAngleTargetDegrees;
  const isInBand =
    after.palmarAngleDegrees >= band.low - 0.05 && after.palmarAngleDegrees <= band.high + 0.05;
  const now = input.measures.palmarAngleDegrees.value - (input.measures.wedgeInPlaceDegrees ?? 0);
  return (
    <Facts
      items={[
        [
          t("palmarAfter"),
          <span key="angle" className="stack-tight">
            <span>
              {format.number(now)}° → {format.number(after.palmarAngleDegrees)}°
            </span>
            <span>
              <Badge
                tone={isInBand ? "fine" : "soon"}
                icon={isInBand ? <CircleCheck aria-hidden /> : undefined}
              >
                {isInBand ? t("inBand") : t("notInBand")} {format.number(band.low)}–
                {format.number(band.high)}°
              </Badge>
            </span>
          </span>,
        ],
        [
          t("breakoverAfter"),
          `${format.number(input.measures.breakoverDistanceMm.value)} → ${format.number(after.breakoverFromP3TipMm)} mm`,
        ],
        [t("soleTip"), <Left key="tip" remaining={after.soleTipMm} />],
        [t("soleWing"), <Left key="wing" remaining={after.soleWingMm} />],
        [t("wallLeft"), <Left key="wall" remaining={after.wallDistalMm} />],
        [
          t("toeSplit"),
          t("toeParts", {
            dressed: format.number(trim.wallDressingMm),
            bevel: format.number(trim.bevelBackMm),
            shoe: format.number(trim.shoeSetBackMm),
          }),
        ],
        ...(lever === undefined
          ? []
          : [
              [
                t("lever"),
                `${format.number(lever.beforeMm)} → ${format.number(lever.afterMm)} mm (${format.number(lever.changePercent, 0)} %)`,
              ] as const,
            ]),
        [
          t("pressure"),
          t("pressureWords", {
            kPa: format.number(bearing.pressureKPa, 0),
            share: format.number(bearing.pressureToPlain * 100, 0),
          }),
        ],
      ]}
    />
  );
};
