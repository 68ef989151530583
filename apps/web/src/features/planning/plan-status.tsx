import { Ban, CircleCheck, CircleX, Hourglass, LoaderCircle } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Badge } from "../../components/badges.tsx";
import type { Plan } from "./queries.ts";

const LOOKS = {
  waiting: ["plain", Hourglass],
  running: ["soon", LoaderCircle],
  done: ["fine", CircleCheck],
  cancelled: ["plain", Ban],
  failed: ["now", CircleX],
} as const;

/** How far a plan is. */
export const PlanStatus = ({ status }: Pick<Plan, "status">) => {
  const { t } = useTranslation("planning");
  const [tone, Icon] = LOOKS[status];
  return (
    <Badge tone={tone} icon={<Icon aria-hidden />}>
      {t(`status.${status}`)}
    </Badge>
  );
};
