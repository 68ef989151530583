import type { OwnerHorse } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { useFormat } from "../../language/format.ts";

/** What the plan is likely to cost, from and to, and what is in it. */
export const CostLine = ({ cost }: { readonly cost: NonNullable<OwnerHorse["asked"]>["cost"] }) => {
  const { t } = useTranslation("portal");
  const format = useFormat();
  if (cost === null) return null;
  return (
    <p>
      {t("cost", {
        from: format.number(cost.fromAmount),
        to: format.number(cost.toAmount),
        currency: cost.currency,
      })}{" "}
      {cost.covers}
    </p>
  );
};
