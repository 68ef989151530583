import type { Answer } from "../../api/operations.ts";
import { BellRing, CircleDashed, Clock } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Badge } from "../../components/badges.tsx";

const LOOKS = {
  "vet now": ["now", BellRing],
  "vet today": ["today", Clock],
  "ask on": ["plain", CircleDashed],
} as const;

/** How soon the vet must come, in a word. */
export const CallUrgency = ({
  urgency,
}: {
  readonly urgency: Answer<"judgePhoneCall">["urgency"];
}) => {
  const { t } = useTranslation("cases");
  const [tone, Icon] = LOOKS[urgency];
  return (
    <Badge tone={tone} icon={<Icon aria-hidden />}>
      {t(`call.urgency.${urgency}`)}
    </Badge>
  );
};
