import { useTranslation } from "react-i18next";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { SourceNote } from "../../components/findings.tsx";
import { useFormat } from "../../language/format.ts";
import { useSugarTests } from "./queries.ts";

/** How much sugar each test needs for this animal, when to sample, and the test's own cut-off. */
export const SugarTests = ({ horseId }: { readonly horseId: string }) => {
  const { t } = useTranslation("laboratory");
  const format = useFormat();
  const tests = useSugarTests(horseId);
  if (tests.data === undefined) return null;
  return (
    <Card
      title={t("sugarTitle", { kg: format.number(tests.data.weightKg, 0) })}
      isFlush
      className="no-print"
    >
      <Rows
        label={t("sugarTests")}
        rows={tests.data.items}
        keyOf={(one) => one.protocol}
        columns={[
          {
            key: "test",
            label: t("protocol"),
            hideLabelOnPhone: true,
            cell: (one) => <strong>{one.protocol}</strong>,
          },
          {
            key: "amount",
            label: t("sugarAmount"),
            cell: (one) => `${format.number(one.amount, 0)} ${one.unit}`,
          },
          {
            key: "when",
            label: t("sugarWhen"),
            cell: (one) =>
              one.fromMinute === one.toMinute
                ? t("sugarMinute", { minute: one.fromMinute })
                : t("sugarMinutes", { from: one.fromMinute, to: one.toMinute }),
          },
          {
            key: "cutoff",
            label: t("sugarCutoff"),
            cell: (one) => (
              <>
                {t("sugarAbove", { value: format.number(one.cutoffUiuPerMl, 0) })}
                <SourceNote source={one.source} />
              </>
            ),
          },
        ]}
      />
    </Card>
  );
};
