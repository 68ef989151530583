import type { CourseView, DoseRecord } from "@heelward/contracts";
import {
  Ban,
  CircleCheck,
  CircleOff,
  CirclePause,
  CircleStop,
  CircleX,
  Flag,
  PencilLine,
  Play,
} from "lucide-react";
import { useTranslation } from "react-i18next";
import { Badge } from "../../components/badges.tsx";

const STATUSES = {
  draft: ["today", PencilLine],
  signed: ["fine", Play],
  held: ["now", CirclePause],
  stopped: ["plain", CircleStop],
  finished: ["plain", Flag],
} as const;

export const CourseBadge = ({ status }: { readonly status: CourseView["status"] }) => {
  const { t } = useTranslation("medication");
  const [tone, Icon] = STATUSES[status];
  return (
    <Badge tone={tone} icon={<Icon aria-hidden />}>
      {t(`statuses.${status}`)}
    </Badge>
  );
};

const OUTCOMES = {
  given: ["fine", CircleCheck],
  refused: ["today", Ban],
  "spat out": ["today", CircleX],
  "not given": ["plain", CircleOff],
} as const;

export const OutcomeBadge = ({ outcome }: { readonly outcome: DoseRecord["outcome"] }) => {
  const { t } = useTranslation("medication");
  const [tone, Icon] = OUTCOMES[outcome];
  return (
    <Badge tone={tone} icon={<Icon aria-hidden />}>
      {t(`outcomes.${outcome}`)}
    </Badge>
  );
};
