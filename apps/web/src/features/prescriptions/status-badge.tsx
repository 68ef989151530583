import {
  CircleCheck,
  CircleX,
  FilePen,
  MessageCircleQuestion,
  PenLine,
  Replace,
  ThumbsUp,
  Undo2,
} from "lucide-react";
import { useTranslation } from "react-i18next";
import { Badge } from "../../components/badges.tsx";
import type { Prescription } from "./queries.ts";

const LOOKS = {
  draft: ["today", FilePen],
  signed: ["soon", PenLine],
  accepted: ["fine", ThumbsUp],
  queried: ["today", MessageCircleQuestion],
  declined: ["now", CircleX],
  done: ["fine", CircleCheck],
  superseded: ["plain", Replace],
  withdrawn: ["plain", Undo2],
} as const;

/** Where a plan stands. */
export const StatusBadge = ({ status }: { readonly status: Prescription["status"] }) => {
  const { t } = useTranslation("prescriptions");
  const [tone, Icon] = LOOKS[status];
  return (
    <Badge tone={tone} icon={<Icon aria-hidden />}>
      {t(`status.${status}`)}
    </Badge>
  );
};
