import type { Comparison } from "@heelward/domain/geometry";
import { definitionOf, footValueOf, type MeasuredFilm } from "@heelward/domain/geometry";
import { CircleCheck, Equal, TriangleAlert } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Badge } from "../../../components/badges.tsx";
import { Rows } from "../../../components/data-list.tsx";
import { useFormat } from "../../../language/format.ts";
import { signed } from "../workbench/measure-film.ts";
import { digitsOf, UNITS } from "../workbench/measures-panel.tsx";

export type Verdict = "real" | "within error" | "refused";

const LOOKS = {
  real: ["today", TriangleAlert],
  "within error": ["plain", Equal],
  refused: ["plain", CircleCheck],
} as const;

/** Whether a change is more than reading error, in words. */
export const VerdictBadge = ({ verdict }: { readonly verdict: Verdict }) => {
  const { t } = useTranslation("radiographs");
  const [tone, Icon] = LOOKS[verdict];
  return (
    <Badge tone={tone} icon={<Icon aria-hidden />}>
      {t(`verdict.${verdict}`)}
    </Badge>
  );
};

const withUnit = (text: string, unit: keyof typeof UNITS): string =>
  unit === "deg" ? `${text}°` : `${text} ${UNITS[unit]}`.trim();

/** Every measure of two films with its change and whether that is more than reading error. */
export const ChangesTable = ({
  changes,
  before,
  after,
}: {
  readonly changes: readonly Comparison[];
  readonly before: MeasuredFilm;
  readonly after: MeasuredFilm;
}) => {
  const { t } = useTranslation("radiographs");
  const format = useFormat();
  const say = (key: Comparison["key"], value: number | undefined | null) => {
    const { unit } = definitionOf(key);
    if (value === undefined || value === null) return "–";
    return withUnit(format.number(value, digitsOf(unit)), unit);
  };
  return (
    <Rows
      label={t("whatChanged")}
      rows={changes}
      keyOf={(one) => one.key}
      columns={[
        {
          key: "measure",
          label: t("measure"),
          cell: (one) => <strong>{definitionOf(one.key).label}</strong>,
          hideLabelOnPhone: true,
        },
        {
          key: "before",
          label: t("before"),
          cell: (one) => say(one.key, footValueOf(before, one.key)),
        },
        {
          key: "after",
          label: t("after"),
          cell: (one) => say(one.key, footValueOf(after, one.key)),
        },
        {
          key: "change",
          label: t("change"),
          cell: (one) =>
            one.difference === null ? (
              one.text
            ) : (
              <>
                {withUnit(
                  signed(one.difference, digitsOf(definitionOf(one.key).unit), format.number),
                  definitionOf(one.key).unit,
                )}{" "}
                <span className="quiet small">± {say(one.key, one.smallestRealChange)}</span>
              </>
            ),
        },
        { key: "verdict", label: "", cell: (one) => <VerdictBadge verdict={one.verdict} /> },
      ]}
    />
  );
};
